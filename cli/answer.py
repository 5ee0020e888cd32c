"""Solving a plan and handing the answer over: which text, to where, with which exit code."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .errors import Exit, RefusalError, note, say
from .files import hand_over
from .options import MACHINE

if TYPE_CHECKING:
    from evenround.solver.candidate import Candidate, Fit
    from evenround.solver.sure_fit import Steady
    from evenround.tables.plan import Plan, Unit


def answer(
    plan: Plan,
    *,
    best: int,
    time_limit: float,
    detail: int | None,
    format: str,
    unit: Unit,
    out: str | None,
    force: bool,
    steady: bool = False,
) -> Exit:
    """Solve, write, and say how it ended. Nothing is written before all of it is ready.

    ``steady``: ranked by the chance of coming within tolerance, and each told how sure it is.
    """
    sure: Steady | None = None
    if steady:
        from evenround.solver.sure_fit import steady as steadiest

        sure = steadiest(plan.piece, plan.slips, best=best, time_limit=time_limit)
        found = sure.fit
    else:
        from evenround.solver import fit

        found = fit(plan.piece, best=best, time_limit=time_limit)
    if not found.candidates:
        return _nothing(plan, found, format, unit, out, force=force, time_limit=time_limit)
    if sure is None:
        text = written(plan, found, format, unit, detail)
    else:
        text = _written_sure(plan, sure, format, unit, detail)
    hand_over(text, out, force=force, format=format)
    if format in MACHINE:
        _say_beside(plan)
    if found.status == "unproven":
        say(f"evenround: {unproven(time_limit)}")
        return Exit.NO_PROOF
    return Exit.DONE


def unproven(time_limit: float) -> str:
    """The plain words for a search that ran out of time."""
    return f"no proof within {time_limit:g} s; what is listed is the best found so far"


def written(plan: Plan, found: Fit, format: str, unit: Unit, detail: int | None) -> str | bytes:
    """The whole text, or workbook, in the format asked for."""
    if format == "xlsx":
        from evenround.tables.sheets_fit import fit_workbook

        return fit_workbook(plan, found, unit)
    if format == "json":
        from evenround.tables.export import to_json

        return to_json(plan, found)
    if format == "csv":
        from evenround.tables.export import to_csv

        return to_csv(plan, found, unit)
    return _page(plan, found, format, unit, detail)


def _written_sure(
    plan: Plan, sure: Steady, format: str, unit: Unit, detail: int | None
) -> str | bytes:
    """The same with how sure each candidate is."""
    from evenround.tables.sure import page

    if format == "xlsx":
        from evenround.tables.sheets_fit import fit_workbook

        return fit_workbook(plan, sure.fit, unit, page.steady_frame(plan, sure, unit))
    if format == "json":
        return page.steady_json(plan, sure)
    if format == "csv":
        return page.steady_csv(plan, sure, unit)
    blocks = page.steady_page(plan, sure, unit, format)
    if detail is not None:
        from evenround.tables.detail import detail as rounds
        from evenround.tables.safe import fenced

        text = rounds(plan, _chosen(sure.fit, detail), unit)
        blocks.append(fenced(text) if format == "markdown" else text)
    return "\n\n".join(blocks) + "\n"


def _page(plan: Plan, found: Fit, format: str, unit: Unit, detail: int | None) -> str:
    """The table for people, what stands under it, and one candidate's rounds if asked."""
    from evenround.tables.comparison import comparison_table, heading
    from evenround.tables.underneath import underneath

    if format == "markdown":
        from evenround.tables.export import to_markdown_page

        chosen = None if detail is None else _chosen(found, detail)
        return to_markdown_page(plan, found, unit, chosen)
    blocks = [heading(plan, found, unit), comparison_table(plan, found, unit)]
    blocks.append(underneath(plan, found, unit))
    if detail is not None:
        from evenround.tables.detail import detail as rounds

        blocks.append(rounds(plan, _chosen(found, detail), unit))
    return "\n\n".join(blocks) + "\n"


def _chosen(found: Fit, rank: int) -> Candidate:
    """The candidate of that rank, or a refusal that says how many there are."""
    for candidate in found.candidates:
        if candidate.rank == rank:
            return candidate
    count = len(found.candidates)
    raise RefusalError(f"--detail: there is no candidate {rank}; there are {count}")


def _nothing(
    plan: Plan,
    found: Fit,
    format: str,
    unit: Unit,
    out: str | None,
    *,
    force: bool,
    time_limit: float,
) -> Exit:
    """No candidates: an empty list for scripts, the reasons on stderr."""
    if format == "json":
        hand_over("[]\n", out, force=force, format=format)
    if found.status == "unproven":
        say(f"evenround: nothing found within {time_limit:g} s, and nothing proven impossible")
        return Exit.NO_PROOF
    from evenround.tables.underneath import impossible_words

    say(impossible_words(plan, found, unit))
    return Exit.IMPOSSIBLE


def _say_beside(plan: Plan) -> None:
    """Assumptions, notes and cautions on stderr, so that stdout stays data."""
    from evenround.tables.underneath import beside_lines

    for line in beside_lines(plan):
        note(line)
