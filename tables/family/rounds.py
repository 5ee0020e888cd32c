"""One family round by round, size after size, as fit's ``--detail`` shows a candidate."""

from __future__ import annotations

from evenround.solver.family import Family
from evenround.tables.detail import detail
from evenround.tables.layout import paragraph

from .graded import Graded


def family_rounds(graded: Graded, family: Family) -> str:
    """Every size's rounds under its name."""
    blocks = [paragraph(f"Family {family.rank}, round by round:")]
    for plan, name, member in zip(graded.plans, graded.names, family.members, strict=True):
        # the candidate's rank is the family's, and said above
        rounds = detail(plan, member, graded.unit).split("\n", 1)[1]
        blocks.append(f"{paragraph(f'{name}:')}\n{rounds}")
    return "\n\n".join(blocks)
