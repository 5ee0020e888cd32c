"""``evenround write``: the whole pattern of one candidate."""

from __future__ import annotations

from dataclasses import replace
from enum import StrEnum
from math import isfinite
from typing import TYPE_CHECKING, Annotated

import typer

from . import briefs
from .errors import Exit, RefusalError, say
from .files import check_out, read_input, show, write_out
from .fit import LONGEST, MOST, Units, _flag

if TYPE_CHECKING:
    from evenround.solver.candidate import Candidate, Fit
    from evenround.tables.brief import Brief
    from evenround.tables.pattern import Known
    from evenround.tables.plan import Plan, Unit


class Format(StrEnum):
    """What a pattern is written as."""

    TEXT = "text"
    MARKDOWN = "markdown"
    JSON = "json"


class Terms(StrEnum):
    """The terms a pattern is written in."""

    US = "us"
    UK = "uk"


def write(
    brief: Annotated[
        str | None, typer.Argument(metavar="BRIEF", help="A brief (TOML).", show_default=False)
    ] = None,
    example: Annotated[
        str | None, _flag("A built-in brief instead; bare: garden.", "[garden|bucket|cowl]")
    ] = None,
    size: Annotated[str | None, _flag("Which size of the brief.", "NAME")] = None,
    pick: Annotated[int, typer.Option(metavar="N", help="The candidate of that rank.")] = 1,
    terms: Annotated[
        Terms | None,
        typer.Option(help="Terms to write in; default: the brief's.", show_default=False),
    ] = None,
    format: Annotated[Format, typer.Option(help="What to write.")] = Format.TEXT,
    units: Annotated[
        Units | None,
        typer.Option(help="Show lengths in these; default: the brief's.", show_default=False),
    ] = None,
    no_shift: Annotated[
        bool, typer.Option("--no-shift", help="Increases in line, one above the other.")
    ] = False,
    time_limit: Annotated[float, typer.Option(metavar="S", help="Seconds to prove it in.")] = 10.0,
    out: Annotated[str | None, _flag("Write there, not to the terminal.", "FILE")] = None,
    force: Annotated[bool, typer.Option("--force", help="Write over an existing file.")] = False,
) -> None:
    """Write the whole pattern of one candidate: BRIEF or --example, the best unless --pick."""
    _check_numbers(pick, time_limit)
    check_out(out, force=force)
    briefs.check_source(brief, example, flags=False)
    plan, known = _planned(brief, example, size, terms)
    raise typer.Exit(
        _written(
            plan,
            known,
            pick=pick,
            format=format.value,
            unit=plan.unit if units is None else units.value,
            shift=not no_shift,
            time_limit=time_limit,
            out=out,
            force=force,
        )
    )


def _check_numbers(pick: int, time_limit: float) -> None:
    if not 1 <= pick <= MOST:
        raise RefusalError(f"--pick: {pick} is not a rank; 1 is the best candidate's")
    if not isfinite(time_limit) or not 0 < time_limit <= LONGEST:
        raise RefusalError(f"--time-limit: {time_limit:g} is not between 0 and {LONGEST:g} seconds")


def _planned(
    brief: str | None, example: str | None, size: str | None, terms: Terms | None
) -> tuple[Plan, Known]:
    """The plan in the terms to write in, and what the brief says beyond it."""
    from evenround.tables.brief import BriefError, example_brief, plan, read_brief
    from evenround.tables.pattern import known_of

    try:
        if brief is not None:
            found = read_brief(read_input(brief), brief)
        else:
            found = example_brief(example or "")
        found = _in_terms(found, terms)
        return plan(found, size), known_of(found)
    except BriefError as error:
        raise RefusalError(str(error)) from None


def _in_terms(brief: Brief, terms: Terms | None) -> Brief:
    """The brief with its sentences in the terms asked for; its stitches are known already."""
    if terms is None or terms.value == brief.fields.terms:
        return brief
    return replace(brief, fields=brief.fields.model_copy(update={"terms": terms.value}))


def _written(
    plan: Plan,
    known: Known,
    *,
    pick: int,
    format: str,
    unit: Unit,
    shift: bool,
    time_limit: float,
    out: str | None,
    force: bool,
) -> Exit:
    """Solve, write, prove, and only then show."""
    from evenround.solver import fit

    found = fit(plan.piece, best=pick, time_limit=time_limit)
    if not found.candidates:
        return _nothing(plan, found, unit, time_limit)
    text = _text(plan, known, _picked(found, pick), format, unit, shift=shift)
    if out is not None:
        write_out(out, text, force=force)
        say(f"evenround: wrote {out}")
    else:
        show(text, "utf-8" if format == "json" else None)
    if found.status == "unproven":
        say(f"evenround: no proof within {time_limit:g} s; the best found so far is written")
        return Exit.NO_PROOF
    return Exit.DONE


def _picked(found: Fit, pick: int) -> Candidate:
    for candidate in found.candidates:
        if candidate.rank == pick:
            return candidate
    raise RefusalError(f"--pick: there is no candidate {pick}; there are {len(found.candidates)}")


def _text(
    plan: Plan, known: Known, candidate: Candidate, format: str, unit: Unit, *, shift: bool
) -> str:
    from evenround.tables import pattern as patterns

    made = patterns.write_pattern(plan, candidate, known, unit=unit, shift=shift)
    if format == "json":
        return patterns.to_json(made)
    return patterns.to_markdown(made) if format == "markdown" else patterns.to_text(made)


def _nothing(plan: Plan, found: Fit, unit: Unit, time_limit: float) -> Exit:
    """No candidate: the reasons on stderr, nothing written."""
    if found.status == "unproven":
        say(f"evenround: nothing found within {time_limit:g} s, and nothing proven impossible")
        return Exit.NO_PROOF
    from evenround.tables.underneath import impossible_words

    say(impossible_words(plan, found, unit))
    return Exit.IMPOSSIBLE
