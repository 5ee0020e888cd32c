"""``evenround page``: a brief and its candidates as one HTML file to open, print and send."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Annotated

import typer

from . import briefs
from .errors import Exit, RefusalError, say
from .files import check_out, hand_over
from .options import BriefName, ExampleName, Force, LeftHanded, ShownIn, check_seconds, flag

if TYPE_CHECKING:
    from evenround.solver.candidate import Fit
    from evenround.solver.family import Rules
    from evenround.tables.brief import Brief
    from evenround.tables.family import Graded
    from evenround.tables.page import Answers, SizeAnswer
    from evenround.tables.plan import Plan, Unit

MOST = 50
"""Candidates one page holds."""


@dataclass(frozen=True, slots=True)
class Asked:
    """The flags of one call that are not about where the page goes."""

    size: str | None
    best: int
    seconds: float
    unit: Unit | None
    left_handed: bool = False


def page(
    brief: BriefName = None,
    example: ExampleName = None,
    size: Annotated[str | None, flag("Only this size of the brief.", "NAME")] = None,
    best: Annotated[int, typer.Option(metavar="K", help="How many candidates to show.")] = 10,
    units: ShownIn = None,
    left_handed: LeftHanded = False,
    time_limit: Annotated[
        float, typer.Option(metavar="S", help="Seconds to prove each size in.")
    ] = 10.0,
    out: Annotated[str | None, flag("Write there, not to the terminal.", "FILE.html")] = None,
    force: Force = False,
) -> None:
    """Show BRIEF and its candidates as one HTML file.

    Table, drawings, patterns, yarn. Several sizes stand side by side; with a table [family] in
    the brief they are one family.
    """
    if not 1 <= best <= MOST:
        raise RefusalError(f"--best: {best} is not between 1 and {MOST}")
    check_seconds(time_limit)
    check_out(out, force=force)
    briefs.check_source(brief, example, flags=False)
    unit: Unit | None = None if units is None else units.value
    asked = Asked(size, best, time_limit, unit, left_handed)
    answers = solved(*briefs.with_text(brief, example), asked)
    from evenround.tables.page import page as written

    text = written(answers)
    hand_over(text, out, force=force, format="html")
    raise typer.Exit(_ending(answers))


def solved(brief: Brief, source: str, asked: Asked) -> Answers:
    """Every size solved once, by itself or, where the brief has a [family], all together."""
    from evenround.tables.brief import BriefError, family_of, plan
    from evenround.tables.page import Answers
    from evenround.tables.pattern import known_of

    unit = asked.unit or brief.fields.unit
    known = known_of(brief)
    try:
        if asked.size is None and len(brief.sizes) > 1 and "family" in brief.raw:
            plans, rules = family_of(brief)
            graded = _graded(plans, rules, unit, asked)
            stuck = _unmakeable(brief, graded, asked)
            return Answers(stuck, unit, known, asked.seconds, source, graded, asked.left_handed)
        names = list(brief.sizes) if asked.size is None else [asked.size]
        every = [plan(brief, name) for name in names]
    except BriefError as error:
        raise RefusalError(str(error)) from None
    sizes = tuple(_size(brief, each, asked) for each in every)
    return Answers(sizes, unit, known, asked.seconds, source, left_handed=asked.left_handed)


def _graded(plans: list[Plan], rules: Rules, unit: Unit, asked: Asked) -> Graded:
    from evenround.solver.grade import grade
    from evenround.tables.family import Graded

    pieces = [plan.piece for plan in plans]
    found = grade(pieces, rules, best=asked.best, time_limit=asked.seconds)
    return Graded(tuple(plans), rules, found, unit)


def _unmakeable(brief: Brief, graded: Graded, asked: Asked) -> tuple[SizeAnswer, ...]:
    """The sizes that no family is to blame for: each cannot be made at all, and why."""
    from evenround.tables.page import SizeAnswer
    from evenround.tables.why.explained import explain_plan

    found = []
    for conflict in graded.grade.conflicts:
        if len(conflict.sizes) == 1 and conflict.fit and conflict.fit.status == "impossible":
            plan = graded.plans[conflict.sizes[0]]
            explained = explain_plan(brief, plan, seconds=asked.seconds)
            found.append(SizeAnswer(plan, conflict.fit, explained))
    return tuple(found)


def _size(brief: Brief, plan: Plan, asked: Asked) -> SizeAnswer:
    """One size's candidates; where there is none, why."""
    from evenround.solver import fit
    from evenround.tables.page import SizeAnswer

    found = fit(plan.piece, best=asked.best, time_limit=asked.seconds)
    if found.candidates or found.status == "unproven":
        return SizeAnswer(plan, found)
    from evenround.tables.why.explained import explain_plan

    return SizeAnswer(plan, found, explain_plan(brief, plan, seconds=asked.seconds))


def _ending(answers: Answers) -> Exit:
    """As the other commands end: 0; 1 where only some sizes can be made; 3; 4."""
    if answers.graded is not None:
        grade = answers.graded.grade
        if grade.status == "unproven":
            say(f"evenround: no proof within {answers.seconds:g} s")
            return Exit.NO_PROOF
        if grade.families:
            return Exit.DONE
        say("evenround: no family of the sizes meets every requirement; the page says why")
        return Exit.IMPOSSIBLE
    fits = [each.fit for each in answers.sizes]
    if any(each.explained and each.explained.contradicted for each in answers.sizes):
        say("evenround: the search and the second opinion disagree; the page says on what")
        return Exit.INTERNAL
    if any(fit.status == "unproven" for fit in fits):
        say(f"evenround: no proof within {answers.seconds:g} s in every size")
        return Exit.NO_PROOF
    return _made(fits)


def _made(fits: list[Fit]) -> Exit:
    none = sum(not fit.candidates for fit in fits)
    if not none:
        return Exit.DONE
    if none == len(fits):
        say("evenround: no design meets every requirement; the page says why")
        return Exit.IMPOSSIBLE
    say(f"evenround: {none} of {len(fits)} sizes cannot be made; the page says why")
    return Exit.IN_PART
