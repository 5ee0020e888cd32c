"""``evenround fit``: the ranked hats that come out even."""

from __future__ import annotations

from typing import Annotated

import typer

from . import briefs
from .count import count_answer
from .errors import RefusalError
from .files import check_out
from .options import (
    MOST,
    BriefName,
    BrimWidth,
    Depth,
    Ease,
    EdgeRepeat,
    ExampleName,
    Flare,
    Force,
    GaugeText,
    Head,
    Meant,
    OutFile,
    Repeat,
    RepeatWidth,
    Seconds,
    Sectors,
    SheetFormat,
    StitchName,
    Terms,
    Tolerance,
    check_detail,
    check_seconds,
    flag,
)
from .sheets import check_sheet


def fit(
    brief: BriefName = None,
    example: ExampleName = None,
    size: Annotated[str | None, flag("Which size of the brief.", "NAME")] = None,
    best: Annotated[int, typer.Option(metavar="K", help="How many to list.")] = 10,
    time_limit: Seconds = 10.0,
    detail: Annotated[int | None, flag("Round by round, the candidate of that rank.", "N")] = None,
    format: Annotated[SheetFormat, typer.Option(help="What to write.")] = SheetFormat.TABLE,
    units: Meant = None,
    out: OutFile = None,
    force: Force = False,
    head: Head = None,
    ease: Ease = None,
    gauge: GaugeText = None,
    stitch: StitchName = None,
    depth: Depth = None,
    repeat: Repeat = None,
    repeat_width: RepeatWidth = None,
    brim: BrimWidth = None,
    flare: Flare = None,
    edge_repeat: EdgeRepeat = None,
    tolerance: Tolerance = None,
    sectors: Sectors = None,
    steady: Annotated[
        bool, typer.Option("--steady", help="Rank by the chance that it survives a slip of gauge.")
    ] = False,
    count: Annotated[
        str | None, flag("Instead: which repeats suit a count already on the hook.", "N")
    ] = None,
    figure: Annotated[
        list[str] | None, flag("With --count: a figure wished for, by name.", "NAME")
    ] = None,
    terms: Annotated[
        Terms | None, typer.Option(help="With --count: terms of the words.", show_default=False)
    ] = None,
) -> None:
    """List the hats that come out even, best first.

    They meet BRIEF or --example, or what flags alone say.

    With --count the repeats and figures that suit a count, and the ways to one that suits
    --repeat (several with commas) or --figure.
    """
    _check_numbers(best, time_limit, detail, format)
    check_out(out, force=force)
    check_sheet(format.value, out)
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
    if count is not None:
        _check_count(brief, example, size, detail)
        if steady:
            raise RefusalError("--steady: ranks hats; a count stands alone")
        if format is SheetFormat.XLSX:
            raise RefusalError("--format: xlsx does not go with --count; csv would be right")
        count_answer(
            count,
            figure or (),
            texts,
            terms="us" if terms is None else terms.value,
            format=format.value,
            unit="cm" if units is None else units.value,
            out=out,
            force=force,
        )
        return
    if figure or terms is not None:
        name = "--figure" if figure else "--terms"
        raise RefusalError(f"{name}: goes with --count N, a count already on the hook")
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
            steady=steady,
        )
    )


def _check_count(
    brief: str | None, example: str | None, size: str | None, detail: int | None
) -> None:
    """A count stands alone: there is no brief, no size and no candidate to look into."""
    beside = {"BRIEF": brief, "--example": example, "--size": size, "--detail": detail}
    for name, value in beside.items():
        if value is not None:
            raise RefusalError(f"{name}: found {value} beside --count; a count stands alone")


def _check_numbers(best: int, time_limit: float, detail: int | None, format: SheetFormat) -> None:
    if not 1 <= best <= MOST:
        raise RefusalError(f"--best: {best} is not between 1 and {MOST}")
    check_seconds(time_limit)
    check_detail(detail, MOST, format.value, "candidate")
