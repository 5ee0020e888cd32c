"""``evenround fit --count``: the repeats that suit a count already on the hook."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from .errors import RefusalError
from .files import hand_over
from .options import stitch_of

if TYPE_CHECKING:
    from evenround.tables.adapt.counting import Counted, Wish
    from evenround.tables.plan import Unit
    from evenround.tables.rounds.pattern import Terms

MOST = 5000
TAKES = ("repeat", "gauge", "stitch")
"""The flags of the common case that say something about a count."""


def count_answer(
    text: str,
    figures: Sequence[str],
    texts: Mapping[str, str | None],
    *,
    terms: Terms,
    format: str,
    unit: Unit,
    out: str | None,
    force: bool,
) -> None:
    """Look at a count and show what suits it. ``texts`` has the other flags as typed."""
    for name, value in texts.items():
        if value is not None and name not in TAKES:
            flag = f"--{name.replace('_', '-')}"
            raise RefusalError(
                f"{flag}: says nothing about a count; with --count go --repeat, --figure, --gauge "
                "and --stitch"
            )
    from evenround.tables.adapt.counting import counted

    said = texts.get("stitch")
    stitch = "sc" if said is None else stitch_of(said, terms)  # the nudge's
    found = counted(
        whole_count(text),
        _wishes(texts.get("repeat"), figures),
        stitch=stitch,
        terms=terms,
        width_cm=_width(texts.get("gauge"), stitch),
    )
    content = _written(found, format, unit)
    hand_over(content, out, force=force, format="text" if format == "table" else format)


def whole_count(text: str) -> int:
    """The count as a number; a refusal says what would be right."""
    if not re.fullmatch(r"[0-9]{1,9}", text.strip(), re.ASCII) or not 1 <= int(text) <= MOST:
        shown = text if len(text) <= 20 and text.isprintable() else f"{text[:20]!r}..."
        raise RefusalError(
            f"--count: found {shown}; a whole number of stitches from 1 to {MOST:,} would be right"
        )
    return int(text)


def _wishes(repeat: str | None, figures: Sequence[str]) -> list[Wish]:
    """What is wished: repeats with commas between, then figures by name."""
    from evenround.tables.adapt.counting import wish_of_figure, wish_of_repeat

    found = []
    for each in repeat.split(",") if repeat is not None else ():
        try:
            found.append(wish_of_repeat(each))
        except ValueError as error:
            raise RefusalError(f"--repeat: found {each.strip()[:40]!r}; {error}") from None
    for name in figures:
        try:
            found.append(wish_of_figure(name))
        except ValueError as error:
            raise RefusalError(f"--figure: {error}") from None
    return found


def _width(gauge: str | None, stitch: str) -> float | None:
    """One stitch's width in cm."""
    if gauge is None:
        return None
    from evenround.tables.gauges import parse_gauge, swatched

    try:
        return swatched(stitch, parse_gauge(gauge)).gauge.width_cm
    except ValueError as error:
        raise RefusalError(f"--gauge: found {gauge[:40]!r}; {error}") from None


def _written(found: Counted, format: str, unit: Unit) -> str:
    from evenround.tables.adapt import counting_page as page

    if format == "csv":
        return page.to_csv(found)
    if format == "json":
        return page.to_json(found)
    return page.to_markdown(found, unit) if format == "markdown" else page.to_text(found, unit)
