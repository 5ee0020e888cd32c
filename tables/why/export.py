"""The same for scripts: JSON with the candidates exactly as ``fit`` gives them."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

from evenround.solver.candidate import Candidate, NearMiss
from evenround.tables.export import candidate_record
from evenround.tables.family import Graded
from evenround.tables.plan import Plan, Unit
from evenround.tables.reasons import breach_words

from .changes import changes_words
from .explained import Explained
from .promised import Way


def to_json(explained: Sequence[Explained], unit: Unit, family: Graded | None = None) -> str:
    """One size: the object itself. Several: a list of them, and, where the sizes were also tried
    together, one more whose size is null."""
    records = [_record(each, unit) for each in explained]
    if family is not None:
        records.append(_family(family))
    whole: object = records[0] if len(records) == 1 else records
    return json.dumps(whole, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def _record(each: Explained, unit: Unit) -> dict[str, Any]:
    record: dict[str, Any] = {
        "size": each.plan.size,
        "possible": each.why.possible,
        "conflicts": [list(c.requirements) for c in each.why.conflicts],
        "ways_out": [_way(each.plan, way, unit) for way in each.ways],
        "near_misses": [_miss(each.plan, miss, unit) for miss in each.near_misses],
        "confirmed_by": each.why.confirmed_by,
    }
    if each.contradicted:
        record["second_opinion"] = {
            "verdict": each.why.opinion.verdict,
            "sections": [
                {"name": name, "rounds": rounds, "count_in": before, "count_out": after}
                for name, rounds, before, after in each.why.opinion.sections
            ],
        }
    return record


def _way(asked: Plan, way: Way, unit: Unit) -> dict[str, Any]:
    return {
        "change": changes_words(asked, way.changes, unit, way.plan.piece),
        "price_mm": round(way.price_mm, 6),
        "candidate": candidate_record(way.plan, way.candidate),
    }


def _miss(plan: Plan, miss: NearMiss, unit: Unit) -> dict[str, Any]:
    """A near miss is a candidate marked with the requirement it breaks."""
    return {
        "requirement": miss.breach.requirement,
        "breaks": breach_words(miss.breach, unit),
        "candidate": candidate_record(plan, Candidate(0, miss.tally, miss.measures, False)),
    }


def _family(graded: Graded) -> dict[str, Any]:
    """All sizes together; ``conflicts`` are what the family keeps that would have to give way."""
    grade = graded.grade
    return {
        "size": None,
        "possible": bool(grade.families),
        "conflicts": [list(conflict.mends) for conflict in grade.conflicts],
        "sizes": [[graded.names[i] for i in conflict.sizes] for conflict in grade.conflicts],
        "ways_out": [],
        "near_misses": [],
        "confirmed_by": "unconfirmed" if grade.status == "unproven" else "integer model",
    }
