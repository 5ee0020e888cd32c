"""``evenround fit``: the ranked hats that come out even."""

from __future__ import annotations

from enum import StrEnum
from math import isfinite
from typing import Annotated

import typer

from . import briefs
from .errors import RefusalError
from .files import check_out

MOST = 1000
LONGEST = 3600.0


class Format(StrEnum):
    """What a result is written as."""

    TABLE = "table"
    MARKDOWN = "markdown"
    CSV = "csv"
    JSON = "json"


class Units(StrEnum):
    """Units lengths are shown in."""

    CM = "cm"
    IN = "in"


def _flag(text: str, metavar: str) -> typer.models.OptionInfo:
    option: typer.models.OptionInfo = typer.Option(metavar=metavar, help=text, show_default=False)
    return option


def fit(
    brief: Annotated[
        str | None, typer.Argument(metavar="BRIEF", help="A brief (TOML).", show_default=False)
    ] = None,
    example: Annotated[
        str | None, _flag("A built-in brief instead; bare: garden.", "[garden|bucket|cowl]")
    ] = None,
    size: Annotated[str | None, _flag("Which size of the brief.", "NAME")] = None,
    best: Annotated[int, typer.Option(metavar="K", help="How many to list.")] = 10,
    time_limit: Annotated[float, typer.Option(metavar="S", help="Seconds to prove it in.")] = 10.0,
    detail: Annotated[int | None, _flag("Round by round, the candidate of that rank.", "N")] = None,
    format: Annotated[Format, typer.Option(help="What to write.")] = Format.TABLE,
    units: Annotated[
        Units | None,
        typer.Option(
            help="Show lengths in these; flags alone mean them too.",
            show_default=False,
        ),
    ] = None,
    out: Annotated[str | None, _flag("Write there, not to the terminal.", "FILE")] = None,
    force: Annotated[bool, typer.Option("--force", help="Write over an existing file.")] = False,
    head: Annotated[str | None, _flag("Head circumference.", "LENGTH")] = None,
    ease: Annotated[str | None, _flag("Finished size minus head; -1in is snug.", "LENGTH")] = None,
    gauge: Annotated[str | None, _flag("Such as '19 x 15 / 10cm'.", "GAUGE")] = None,
    stitch: Annotated[str | None, _flag("The stitch of the body.", "NAME")] = None,
    depth: Annotated[str | None, _flag("Middle of the crown to the brim.", "LENGTH")] = None,
    repeat: Annotated[str | None, _flag("The band's multiple.", "N")] = None,
    repeat_width: Annotated[str | None, _flag("Wished width of a repeat.", "LENGTH")] = None,
    brim: Annotated[str | None, _flag("Width of the brim.", "LENGTH")] = None,
    flare: Annotated[str | None, _flag("Degrees from straight down.", "DEGREES")] = None,
    edge_repeat: Annotated[str | None, _flag("The edging's multiple.", "N")] = None,
    tolerance: Annotated[str | None, _flag("Give or take, around the head.", "LENGTH")] = None,
    sectors: Annotated[str | None, _flag("Wished sectors of the crown.", "N")] = None,
) -> None:
    """List the hats that come out even, best first: BRIEF, --example, or flags alone."""
    _check_numbers(best, time_limit, detail, format)
    check_out(out, force=force)
    texts = {
        "head": head,
        "ease": ease,
        "gauge": gauge,
        "stitch": stitch,
        "depth": depth,
        "repeat": repeat,
        "repeat_width": repeat_width,
        "brim": brim,
        "flare": flare,
        "edge_repeat": edge_repeat,
        "tolerance": tolerance,
        "sectors": sectors,
    }
    briefs.check_source(brief, example, flags=any(v is not None for v in texts.values()))
    from .answer import answer

    plan = briefs.planned(brief, example, texts, size, None if units is None else units.value)
    raise typer.Exit(
        answer(
            plan,
            best=max(best, detail or 0),
            time_limit=time_limit,
            detail=detail,
            format=format.value,
            unit=plan.unit if units is None else units.value,
            out=out,
            force=force,
        )
    )


def _check_numbers(best: int, time_limit: float, detail: int | None, format: Format) -> None:
    if not 1 <= best <= MOST:
        raise RefusalError(f"--best: {best} is not between 1 and {MOST}")
    if not isfinite(time_limit) or not 0 < time_limit <= LONGEST:
        raise RefusalError(f"--time-limit: {time_limit:g} is not between 0 and {LONGEST:g} seconds")
    if detail is None:
        return
    if not 1 <= detail <= MOST:
        raise RefusalError(f"--detail: {detail} is not a rank; 1 is the best candidate's")
    if format in (Format.CSV, Format.JSON):
        raise RefusalError(
            f"--detail: words do not go with --format {format.value}; table or markdown would be "
            "right (the JSON has every round's count in any case)"
        )
