"""``evenround gauge``: repeated measurements of a swatch or of discs into a gauge."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import TYPE_CHECKING, Annotated, TypeVar

import typer

from .briefs import check_source, loaded
from .errors import RefusalError, note
from .files import check_out, hand_over
from .options import Force, Format, OutFile, Units, stitch_of

if TYPE_CHECKING:
    from evenround.tables.brief import Brief
    from evenround.tables.plan import Unit
    from evenround.tables.sure.measured import GaugeAnswer

MOST = 200
T = TypeVar("T")


def gauge(
    measures: Annotated[
        list[str] | None,
        typer.Argument(
            metavar="MEASURES...",
            help="Counts of a swatch, such as '19 x 15' '18.5 x 15'.",
            show_default=False,
        ),
    ] = None,
    over: Annotated[
        str | None,
        typer.Option(metavar="LENGTH", help="What they are over: 10cm or 4in.", show_default=False),
    ] = None,
    disc: Annotated[
        list[str] | None,
        typer.Option(
            metavar="DISC",
            help="Or a disc, '8 rounds, 64 sts, 6.5in'; may be given again.",
            show_default=False,
        ),
    ] = None,
    brief: Annotated[
        str | None,
        typer.Option(metavar="BRIEF", help="Show what it does to this brief.", show_default=False),
    ] = None,
    example: Annotated[
        str | None,
        typer.Option(
            metavar="[garden|bucket|cowl]", help="Or to a built-in one.", show_default=False
        ),
    ] = None,
    stitch: Annotated[
        str | None,
        typer.Option(metavar="NAME", help="The stitch measured.", show_default=False),
    ] = None,
    format: Annotated[Format, typer.Option(help="What to write.")] = Format.TABLE,
    units: Annotated[
        Units | None,
        typer.Option(help="Show lengths in these; bare lengths mean them.", show_default=False),
    ] = None,
    out: OutFile = None,
    force: Force = False,
) -> None:
    """A gauge from repeated measurements, and how sure it is.

    evenround gauge "19 x 15" "18.5 x 15" "19 x 15.5" --over 10cm

    evenround gauge --disc "7 rounds, 56 sts, 6in" --disc "8 rounds, 64 sts, 6.5in"
    """
    check_out(out, force=force)
    found: Brief | None = None
    if brief is not None or example is not None:
        check_source(brief, example, flags=False)
        found = loaded(brief, example)
    unit: Unit = "in" if _inches([over or "", *(measures or ()), *(disc or ())]) else "cm"
    if units is not None:
        unit = units.value
    elif found is not None:
        unit = found.fields.unit
    answer = _measured(measures or [], disc or [], over, unit)
    terms = found.fields.terms if found is not None else "us"
    us = None if stitch is None else stitch_of(stitch, terms)
    if found is not None:
        answer = _with_sizes(answer, found, us)
    text = _written(answer, format.value, unit, "" if stitch is None else f"{stitch.strip()} ")
    hand_over(text, out, force=force, format="text" if format is Format.TABLE else format.value)
    if format in (Format.CSV, Format.JSON):
        for line in (*answer.warnings, *answer.notes):
            note(f"evenround: {line}")


def _inches(texts: list[str]) -> bool:
    """Whether what was typed speaks of inches."""
    return any(re.search(r"\bin(ch(es)?)?\b|[0-9]in\b|\"", text.lower()) for text in texts)


def _measured(measures: list[str], discs: list[str], over: str | None, unit: Unit) -> GaugeAnswer:
    """The answer from either kind; a refusal names the one that cannot be read."""
    from evenround.tables.gauges import FOUR_INCHES
    from evenround.tables.sure.measured import TEN_CM, of_discs, of_swatches
    from evenround.tables.sure.read import read_disc, read_measure

    if bool(measures) == bool(discs):
        said = "both swatch and disc" if measures else "nothing measured"
        raise RefusalError(
            f"MEASURES: found {said}; either counts such as '19 x 15' with --over 10cm, or --disc "
            "'8 rounds, 64 sts, 6.5in'"
        )
    if len(measures) + len(discs) > MOST:
        raise RefusalError(f"MEASURES: found {len(measures) + len(discs)}; at most {MOST}")
    if discs:
        if over is not None:
            raise RefusalError("--over: a disc says its own width; leave it out")
        made = [_read(lambda each: read_disc(each, unit), "--disc", each) for each in discs]
        return of_discs(made, FOUR_INCHES if unit == "in" else TEN_CM, unit)
    if over is not None:
        try:
            read_measure("1 x 1", over)
        except ValueError:
            raise RefusalError(
                f"--over: found {over[:40]!r}; a length with its unit would be right, 10cm or 4in"
            ) from None
    counted = [_read(lambda each: read_measure(each, over), "MEASURES", each) for each in measures]
    words = {each.word for each in counted if each.word is not None}
    if len(words) > 1:
        raise RefusalError(
            f"MEASURES: found {', '.join(sorted(words))}; one stitch at a time would be right"
        )
    return of_swatches(counted, counted[0].over_cm)


def _read(read: Callable[[str], T], name: str, text: str) -> T:
    try:
        return read(text)
    except ValueError as error:
        shown = text if len(text) <= 48 and text.isprintable() else f"{text[:44]!r}..."
        raise RefusalError(f"{name}: found {shown}; {error}") from None


def _with_sizes(answer: GaugeAnswer, found: Brief, stitch: str | None) -> GaugeAnswer:
    """The answer with what it does to every size of the brief."""
    from dataclasses import replace

    from evenround.tables.brief import plan
    from evenround.tables.sure.measured import for_plan

    try:
        sizes = [for_plan(answer, plan(found, size), stitch) for size in found.sizes]
    except ValueError as error:
        raise RefusalError(f"--stitch: found {error}") from None
    return replace(answer, sizes=tuple(each for each in sizes if each is not None))


def _written(answer: GaugeAnswer, format: str, unit: Unit, stitch: str) -> str:
    from evenround.tables.sure import gauge_page as page

    if format == "json":
        return page.to_json(answer, unit)
    if format == "csv":
        return page.to_csv(answer, unit)
    return page.to_text(answer, unit, stitch, markdown=format == "markdown")
