"""``evenround grade``: every size of a brief as one family."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated

import typer

from . import briefs
from .errors import Exit, RefusalError, note, say
from .files import check_out, hand_over
from .options import (
    MACHINE,
    BriefName,
    Force,
    OutFile,
    Seconds,
    SheetFormat,
    ShownIn,
    check_detail,
    check_seconds,
)
from .sheets import check_sheet

if TYPE_CHECKING:
    from evenround.tables.brief import Brief
    from evenround.tables.family import Graded
    from evenround.tables.plan import Unit

MOST = 100
NOTHING = (
    "BRIEF: nothing to work on; name a brief with several sizes (a TOML file), or try "
    "`--example bucket`; `evenround sample` writes a brief to start from"
)


@dataclass(frozen=True, slots=True)
class Asked:
    """The flags of one call."""

    best: int
    time_limit: float
    detail: int | None
    format: str
    unit: Unit | None
    out: str | None
    force: bool


def grade(
    brief: BriefName = None,
    example: Annotated[
        str | None,
        typer.Option(
            metavar="[garden|bucket|cowl]",
            help="A built-in brief instead; the bucket has five sizes.",
            show_default=False,
        ),
    ] = None,
    best: Annotated[int, typer.Option(metavar="K", help="How many families to list.")] = 5,
    time_limit: Seconds = 10.0,
    detail: Annotated[
        int | None,
        typer.Option(
            metavar="N", help="Round by round, the family of that rank.", show_default=False
        ),
    ] = None,
    format: Annotated[SheetFormat, typer.Option(help="What to write.")] = SheetFormat.TABLE,
    units: ShownIn = None,
    out: OutFile = None,
    force: Force = False,
) -> None:
    """Fit all sizes of BRIEF as one family.

    Shown are what sizes share and the price of sharing it. The brief's table [family] says what
    all sizes keep in common.
    """
    _check_numbers(best, time_limit, detail, format)
    check_out(out, force=force)
    check_sheet(format.value, out)
    if brief is None and example is None:
        raise RefusalError(NOTHING)
    briefs.check_source(brief, example, flags=False)
    unit: Unit | None = None if units is None else units.value
    asked = Asked(max(best, detail or 0), time_limit, detail, format.value, unit, out, force)
    raise typer.Exit(answer(brief, example, asked))


def _check_numbers(best: int, time_limit: float, detail: int | None, format: SheetFormat) -> None:
    if not 1 <= best <= MOST:
        raise RefusalError(f"--best: {best} is not between 1 and {MOST}")
    check_seconds(time_limit)
    check_detail(detail, MOST, format.value, "family")


def answer(brief: str | None, example: str | None, asked: Asked) -> Exit:
    """Solve, write, and say how it ended. Nothing is written before all of it is ready."""
    from evenround.tables.brief import BriefError

    read = briefs.loaded(brief, example)
    try:
        graded = solved(read, asked)
    except BriefError as error:
        raise RefusalError(str(error)) from None
    if not graded.grade.families:
        return _nothing(graded, asked)
    hand_over(written(graded, asked), asked.out, force=asked.force, format=asked.format)
    if asked.format in MACHINE:
        _say_beside(graded)
    if graded.grade.status == "unproven":
        say(
            f"evenround: no proof within {asked.time_limit:g} s; what is listed is the best "
            "found so far"
        )
        return Exit.NO_PROOF
    return Exit.DONE


def solved(brief: Brief, asked: Asked) -> Graded:
    """The families of a brief's sizes; BriefError where its [family] cannot be met."""
    from evenround.solver.grade import grade as families
    from evenround.tables.brief import family_of
    from evenround.tables.family import Graded

    plans, rules = family_of(brief)
    pieces = [plan.piece for plan in plans]
    found = families(pieces, rules, best=asked.best, time_limit=asked.time_limit)
    return Graded(tuple(plans), rules, found, asked.unit or plans[0].unit)


def written(graded: Graded, asked: Asked) -> str | bytes:
    """The whole text, or workbook, in the format asked for."""
    from evenround.tables import family

    if asked.format == "xlsx":
        from evenround.tables.sheets_grade import grade_workbook

        return grade_workbook(graded)
    if asked.format == "json":
        return family.to_json(graded)
    if asked.format == "csv":
        return family.to_csv(graded)
    rounds = None if asked.detail is None else _rounds(graded, asked.detail)
    if asked.format == "markdown":
        return family.markdown_page(graded, rounds)
    return family.family_page(graded) + ("" if rounds is None else f"\n{rounds}\n")


def _rounds(graded: Graded, rank: int) -> str:
    """The family of that rank round by round, or a refusal that says how many there are."""
    from evenround.tables.family import family_rounds

    for found in graded.grade.families:
        if found.rank == rank:
            return family_rounds(graded, found)
    n = len(graded.grade.families)
    there = "there is one" if n == 1 else f"there are {n}"
    raise RefusalError(f"--detail: there is no family {rank}; {there}")


def _nothing(graded: Graded, asked: Asked) -> Exit:
    """No family: an empty list for scripts, the reasons on stderr."""
    from evenround.tables.family import no_family

    if asked.format == "json":
        hand_over("[]\n", asked.out, force=asked.force, format=asked.format)
    if graded.grade.status == "unproven":
        say(
            f"evenround: nothing found within {asked.time_limit:g} s, and nothing proven impossible"
        )
        return Exit.NO_PROOF
    say(no_family(graded))
    return Exit.IMPOSSIBLE


def _say_beside(graded: Graded) -> None:
    """Assumptions, notes and cautions on stderr, so that stdout stays data."""
    from evenround.tables.family import beside

    for line in beside(graded):
        note(line)
