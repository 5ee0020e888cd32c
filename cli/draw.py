"""``evenround draw``: one picture of a candidate, as SVG or PNG."""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING, Annotated

import typer

from . import briefs
from .errors import Exit, RefusalError, say
from .files import STDOUT, check_out, hand_over
from .options import (
    BriefName,
    ExampleName,
    Force,
    LeftHanded,
    NoShift,
    ShownIn,
    check_pick,
    flag,
)

if TYPE_CHECKING:
    from evenround.solver.candidate import Candidate
    from evenround.tables.plan import Plan, Unit

TIME_LIMIT = 10.0
NARROWEST, WIDEST = 100, 8000
USUAL = 1080


class What(StrEnum):
    """What is drawn."""

    SIDE = "side"
    CROWN = "crown"
    BAND = "band"
    SECTOR = "sector"
    COUNTS = "counts"


def draw(
    brief: BriefName = None,
    example: ExampleName = None,
    size: Annotated[str | None, flag("Which size of the brief.", "NAME")] = None,
    pick: Annotated[int, typer.Option(metavar="N", help="The candidate of that rank.")] = 1,
    what: Annotated[
        What,
        typer.Option(
            help="The piece from the side, its crown from above, charts of its bands, a sector of "
            "the crown as a chart, or the stitch count against the round."
        ),
    ] = What.SIDE,
    units: ShownIn = None,
    no_shift: NoShift = False,
    left_handed: LeftHanded = False,
    width: Annotated[
        int | None, flag(f"Pixels across, of a PNG ({USUAL} unless said).", "PIXELS")
    ] = None,
    out: Annotated[str | None, flag("Write there: FILE.svg or FILE.png.", "FILE")] = None,
    force: Force = False,
) -> None:
    """Draw one candidate from its own counts, as SVG or PNG.

    Without --out the SVG goes to standard output.
    """
    check_out(out, force=force)
    kind = _kind(out)
    _check_numbers(pick, width, kind)
    briefs.check_source(brief, example, flags=False)
    plan = briefs.planned(brief, example, {}, size)
    candidate, proven = _candidate(plan, pick)
    unit: Unit = plan.unit if units is None else units.value
    picture: str | bytes = _svg(
        plan, candidate, what, unit, shift=not no_shift, left_handed=left_handed
    )
    if kind == "png":
        picture = _png(str(picture), width or USUAL)
    hand_over(picture, out, force=force, format=kind)
    if not proven:
        say(f"evenround: no proof within {TIME_LIMIT:g} s; the best found so far is drawn")
        raise typer.Exit(Exit.NO_PROOF)


def _kind(out: str | None) -> str:
    """svg or png, by the name's ending; standard output is SVG."""
    if out is None or out == STDOUT:
        return "svg"
    ending = out.rpartition(".")[2].lower() if "." in out else ""
    if ending not in ("svg", "png"):
        raise RefusalError(
            f"--out: {out} ends in neither .svg nor .png; one of them would be right"
        )
    return ending


def _check_numbers(pick: int, width: int | None, kind: str) -> None:
    check_pick(pick)
    if width is None:
        return
    if kind != "png":
        raise RefusalError("--width: an SVG has any width; it goes with --out FILE.png")
    if not NARROWEST <= width <= WIDEST:
        raise RefusalError(f"--width: {width} is not between {NARROWEST} and {WIDEST} pixels")


def _candidate(plan: Plan, pick: int) -> tuple[Candidate, bool]:
    """The candidate of that rank, and whether the ranking is proven; a refusal where there is
    none."""
    from evenround.solver import fit

    found = fit(plan.piece, best=pick, time_limit=TIME_LIMIT)
    for candidate in found.candidates:
        if candidate.rank == pick:
            return candidate, found.status == "proven"
    if found.candidates:
        many = len(found.candidates)
        raise RefusalError(f"--pick: there is no candidate {pick}; there are {many}")
    if found.status == "unproven":
        message = f"nothing found within {TIME_LIMIT:g} s, and nothing proven impossible"
        raise RefusalError(message, Exit.NO_PROOF)
    from evenround.tables.underneath import impossible_words

    say(impossible_words(plan, found, plan.unit))
    raise typer.Exit(Exit.IMPOSSIBLE)


def _svg(
    plan: Plan, candidate: Candidate, what: What, unit: Unit, *, shift: bool, left_handed: bool
) -> str:
    from evenround.tables import draw as pictures

    try:
        match what:
            case What.SIDE:
                return pictures.side_view(plan, candidate, unit)
            case What.CROWN:
                return pictures.crown_view(
                    plan, candidate, unit, shift=shift, left_handed=left_handed
                )
            case What.BAND:
                return pictures.bands_chart(plan, candidate, unit, left_handed=left_handed)
            case What.SECTOR:
                return pictures.sector_chart(plan, candidate, shift=shift, left_handed=left_handed)
            case What.COUNTS:
                return pictures.counts_plot(plan, candidate, unit)
    except pictures.NotDrawnError as error:
        raise RefusalError(f"--what: {what.value} cannot be drawn: {error}") from None


def _png(svg: str, width: int) -> bytes:
    from evenround.tables.draw import PngError, to_png

    try:
        return to_png(svg, width)
    except PngError as error:
        raise RefusalError(f"--out: {error}") from None
