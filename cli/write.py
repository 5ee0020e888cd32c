"""``evenround write``: the whole pattern of one candidate, or of a family of sizes."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING, Annotated

import typer

from . import briefs
from .errors import Exit, RefusalError, say
from .files import check_out, hand_over
from .options import (
    BriefName,
    ExampleName,
    Force,
    NoShift,
    OutFile,
    Seconds,
    ShownIn,
    Terms,
    check_pick,
    check_seconds,
    flag,
)

if TYPE_CHECKING:
    from evenround.solver.candidate import Candidate, Fit
    from evenround.tables.brief import Brief
    from evenround.tables.pattern import WrittenPattern
    from evenround.tables.plan import Plan, Unit


class Format(StrEnum):
    """What a pattern is written as."""

    TEXT = "text"
    MARKDOWN = "markdown"
    JSON = "json"


def write(
    brief: BriefName = None,
    example: ExampleName = None,
    size: Annotated[str | None, flag("Which size of the brief.", "NAME")] = None,
    all_sizes: Annotated[
        bool,
        typer.Option(
            "--all-sizes",
            help="One pattern for all sizes, solved together as `grade` does; with --size, that "
            "size of the family alone.",
        ),
    ] = False,
    pick: Annotated[
        int, typer.Option(metavar="N", help="The candidate, or family, of that rank.")
    ] = 1,
    terms: Annotated[
        Terms | None,
        typer.Option(help="Terms to write in; default: the brief's.", show_default=False),
    ] = None,
    format: Annotated[Format, typer.Option(help="What to write.")] = Format.TEXT,
    units: ShownIn = None,
    no_shift: NoShift = False,
    time_limit: Seconds = 10.0,
    out: OutFile = None,
    force: Force = False,
) -> None:
    """Write the whole pattern of one candidate, or of all sizes.

    The best, unless --pick names another.
    """
    _check_numbers(pick, time_limit)
    check_out(out, force=force)
    briefs.check_source(brief, example, flags=False)
    found = _read(brief, example, terms)
    asked = Asked(
        pick=pick,
        format=format.value,
        unit=found.fields.unit if units is None else units.value,
        shift=not no_shift,
        time_limit=time_limit,
    )
    if all_sizes:
        from .write_sizes import family_text

        text, proven = family_text(found, size, asked)
    else:
        text, proven = _candidate_text(found, size, asked)
    raise typer.Exit(_shown(text, asked, out, proven=proven, force=force))


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked for besides the brief: which rank, written how, lengths in which unit,
    increases shifted or not, proven within how many seconds."""

    pick: int
    format: str
    unit: Unit
    shift: bool
    time_limit: float


def _check_numbers(pick: int, time_limit: float) -> None:
    check_pick(pick)
    check_seconds(time_limit)


def _read(brief: str | None, example: str | None, terms: Terms | None) -> Brief:
    """The brief in the terms to write in."""
    return _in_terms(briefs.loaded(brief, example), terms)


def _in_terms(brief: Brief, terms: Terms | None) -> Brief:
    """The brief with its sentences in the terms asked for; its stitches are known already."""
    if terms is None or terms.value == brief.fields.terms:
        return brief
    return replace(brief, fields=brief.fields.model_copy(update={"terms": terms.value}))


def _candidate_text(brief: Brief, size: str | None, asked: Asked) -> tuple[str | Exit, bool]:
    """One size's pattern, proved, and whether its rank is proven; an exit code where there is
    none."""
    from evenround.solver import fit
    from evenround.tables import pattern as patterns
    from evenround.tables.brief import BriefError, plan

    try:
        planned = plan(brief, size)
    except BriefError as error:
        raise RefusalError(str(error)) from None
    found = fit(planned.piece, best=asked.pick, time_limit=asked.time_limit)
    if not found.candidates:
        return _nothing(planned, found, asked), False
    made = patterns.write_pattern(
        planned,
        _picked(found, asked.pick),
        patterns.known_of(brief),
        unit=asked.unit,
        shift=asked.shift,
    )
    return one_size(made, asked), found.status == "proven"


def one_size(made: WrittenPattern, asked: Asked) -> str:
    """A pattern in one size as asked for."""
    from evenround.tables import pattern as patterns

    if asked.format == "json":
        return patterns.to_json(made)
    return patterns.to_markdown(made) if asked.format == "markdown" else patterns.to_text(made)


def _picked(found: Fit, pick: int) -> Candidate:
    for candidate in found.candidates:
        if candidate.rank == pick:
            return candidate
    raise RefusalError(f"--pick: there is no candidate {pick}; there are {len(found.candidates)}")


def _nothing(plan: Plan, found: Fit, asked: Asked) -> Exit:
    """No candidate: the reasons on stderr, nothing written."""
    if found.status == "unproven":
        return nothing_in_time(asked)
    from evenround.tables.underneath import impossible_words

    say(impossible_words(plan, found, asked.unit))
    return Exit.IMPOSSIBLE


def nothing_in_time(asked: Asked) -> Exit:
    """Time ran out before anything was found."""
    say(f"evenround: nothing found within {asked.time_limit:g} s, and nothing proven impossible")
    return Exit.NO_PROOF


def _shown(text: str | Exit, asked: Asked, out: str | None, *, proven: bool, force: bool) -> Exit:
    """The text where it is wanted; how the command ends."""
    if isinstance(text, Exit):
        return text
    hand_over(text, out, force=force, format=asked.format)
    if not proven:
        say(f"evenround: no proof within {asked.time_limit:g} s; the best found so far is written")
        return Exit.NO_PROOF
    return Exit.DONE
