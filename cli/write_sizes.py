"""``evenround write --all-sizes``: the pattern of a family of sizes, or one size out of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .errors import Exit, RefusalError, say
from .write import Asked, nothing_in_time, one_size

if TYPE_CHECKING:
    from collections.abc import Sequence

    from evenround.solver.family import Family, Grade, Rules
    from evenround.tables.brief import Brief
    from evenround.tables.pattern import SizesPattern
    from evenround.tables.plan import Plan


def family_text(brief: Brief, size: str | None, asked: Asked) -> tuple[str | Exit, bool]:
    """The pattern of the family of the rank asked for, proved, or of its ``size`` alone, and
    whether the rank is proven; an exit code where there is no family."""
    _check_sizes(brief)
    from evenround.solver.grade import grade
    from evenround.tables.brief import BriefError, family_of, plan

    try:
        at = None if size is None else brief.sizes.index(plan(brief, size).size)
        plans, rules = family_of(brief)
    except BriefError as error:
        raise RefusalError(str(error)) from None
    found = grade(
        [plan.piece for plan in plans], rules, best=asked.pick, time_limit=asked.time_limit
    )
    if not found.families:
        return _nothing(plans, rules, found, asked), False
    family = _picked(found, asked.pick)
    return _text(brief, plans, family, at, asked), found.status == "proven"


def _check_sizes(brief: Brief) -> None:
    from evenround.tables.pattern import MOST_SIZES

    n = len(brief.sizes)
    if n == 1:
        raise RefusalError(
            "--all-sizes: the brief has one size; without --all-sizes its pattern is written"
        )
    if n > MOST_SIZES:
        raise RefusalError(
            f"--all-sizes: the brief has {n} sizes; one pattern holds at most {MOST_SIZES}"
        )


def _picked(found: Grade, pick: int) -> Family:
    for family in found.families:
        if family.rank == pick:
            return family
    n = len(found.families)
    there = "there is one" if n == 1 else f"there are {n}"
    raise RefusalError(f"--pick: there is no family {pick}; {there}")


def _text(brief: Brief, plans: Sequence[Plan], family: Family, at: int | None, asked: Asked) -> str:
    from evenround.tables import pattern as patterns

    known = patterns.known_of(brief)
    if at is not None:
        plan, member = plans[at], family.members[at]
        made = patterns.write_pattern(plan, member, known, unit=asked.unit, shift=asked.shift)
        return one_size(made, asked)
    every = patterns.write_all_sizes(
        plans, family.members, known, unit=asked.unit, shift=asked.shift
    )
    return _all_sizes(every, asked.format)


def _all_sizes(made: SizesPattern, format: str) -> str:
    from evenround.tables import pattern as patterns

    if format == "json":
        return patterns.to_json(made)
    if format == "markdown":
        return patterns.sizes_to_markdown(made)
    return patterns.sizes_to_text(made)


def _nothing(plans: Sequence[Plan], rules: Rules, found: Grade, asked: Asked) -> Exit:
    """No family: the conflict on stderr, nothing written."""
    if found.status == "unproven":
        return nothing_in_time(asked)
    from evenround.tables.family import Graded, no_family

    say(no_family(Graded(tuple(plans), rules, found, asked.unit)))
    return Exit.IMPOSSIBLE
