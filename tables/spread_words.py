"""A spread as what is shown: a table, Markdown, CSV, JSON."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from textwrap import wrap

from .layout import WIDTH, paragraph
from .rounds.pattern import Terms
from .safe import csv_text
from .spread import Spread, runs
from .words import plural

LABEL = 16


def heading(spread: Spread) -> str:
    """``51 stitches, 4 increases in the round: 55 stitches``."""
    where = "in a row" if spread.flat else "in the round"
    what = plural(abs(spread.changes), "increase" if spread.changes > 0 else "decrease")
    there = plural(spread.stitches, "stitch", "stitches")
    return f"{there}, {what} {where}: {plural(spread.result, 'stitch', 'stitches')}"


def to_text(spread: Spread, words: str) -> str:
    """The page at 80 columns."""
    lines = [heading(spread), ""]
    for label, value in _facts(spread):
        lines += _labelled(label, value)
    lines += ["", paragraph(words)]
    return "\n".join(lines) + "\n"


def _labelled(label: str, value: str) -> list[str]:
    first, *rest = wrap(value, WIDTH - LABEL, break_on_hyphens=False) or [""]
    return [f"{label:<{LABEL}}{first}", *(" " * LABEL + line for line in rest)]


def _facts(spread: Spread) -> Iterator[tuple[str, str]]:
    yield "on stitches", ", ".join(_places(spread))
    yield "gaps", _in_short(spread.gaps)
    yield "plain before", _in_short(spread.plain[:-1])
    yield "plain after", f"{spread.plain[-1] or 'none'} after the last{_join(spread)}"


def _places(spread: Spread) -> Iterator[str]:
    """``13`` for an increase, ``23+24`` for a decrease."""
    return ("+".join(str(stitch) for stitch in each) for each in spread.on)


def _in_short(numbers: tuple[int, ...]) -> str:
    """``13 x 3, 12``."""
    parts = []
    for low, high in runs(numbers):
        many = high - low
        parts.append(f"{numbers[low]} x {many}" if many > 1 else str(numbers[low]))
    return ", ".join(parts)


def _join(spread: Spread) -> str:
    """Where the last stitches stand: in the round the join is between them and the first."""
    return "" if spread.flat else ", up to the join"


def rows(spread: Spread) -> list[tuple[int, str, int]]:
    """For each change: its number, the stitches it is worked on, the plain stitches before."""
    places = list(_places(spread))
    return [(i, place, spread.plain[i - 1]) for i, place in enumerate(places, 1)]


COLUMNS = ("change", "on stitch", "plain before")


def to_csv(spread: Spread) -> str:
    """One line a change."""
    return csv_text([name.replace(" ", "_") for name in COLUMNS], rows(spread))


def to_markdown(spread: Spread, words: str) -> str:
    """The table, the round in words under it."""
    lines = [f"**{heading(spread)}**", "", _bar(COLUMNS), _bar("---" for _ in COLUMNS)]
    lines += [_bar(str(cell) for cell in row) for row in rows(spread)]
    last = f"{spread.plain[-1] or 'None'} plain after the last{_join(spread)}."
    return "\n".join([*lines, "", last, "", words.replace("*", "\\*")]) + "\n"


def _bar(cells: Iterable[str]) -> str:
    return f"| {' | '.join(cells)} |"


def to_json(spread: Spread, words: str, terms: Terms) -> str:
    """Everything as one object."""
    data = {
        "stitches": spread.stitches,
        "changes": spread.changes,
        "makes": spread.result,
        "flat": spread.flat,
        "shift": spread.shift,
        "on": [list(each) for each in spread.on],
        "gaps": list(spread.gaps),
        "plain": list(spread.plain),
        "terms": terms,
        "words": words,
    }
    return json.dumps(data, indent=2) + "\n"
