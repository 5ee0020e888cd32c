"""Families for other programs: JSON and CSV. Candidates are told as fit tells them."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

from evenround.solver.candidate import Fit
from evenround.solver.family import FAMILY_PARTS, Family, Shared
from evenround.solver.units import MM
from evenround.tables.export import candidate_record, rounded
from evenround.tables.frame import candidates_frame
from evenround.tables.safe import frame_csv
from evenround.tables.words import rhythm_words

from .graded import Graded

if TYPE_CHECKING:
    from pandas import DataFrame


def to_json(graded: Graded) -> str:
    """A JSON list of families; lengths in cm, scores in mm to 6 places."""
    records = [family_record(graded, family) for family in graded.grade.families]
    return json.dumps(records, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def family_record(graded: Graded, family: Family) -> dict[str, Any]:
    """One family as plain data; its sizes are candidates as fit's JSON has them. Our own keys
    stand last."""
    alone = [None if a is None else round(a.measures.score_mm, 6) for a in graded.grade.alone]
    pairs = zip(graded.plans, family.members, strict=True)
    return {
        "rank": family.rank,
        "score_mm": round(family.score_mm, 6),
        "coherence_mm": round(family.coherence_mm, 6),
        "shared": shared_record(family.shared),
        "sizes": [candidate_record(plan, member) for plan, member in pairs],
        "score_parts": {p: round(family.parts.get(p, 0) / MM, 6) for p in FAMILY_PARTS},
        "alone_mm": alone,
    }


def shared_record(shared: Shared) -> dict[str, Any]:
    """What the sizes have in common; None where it is not kept, or there is none."""
    gaps = shared.crown_gaps
    return {
        "start": shared.start,
        "crown_sectors": shared.crown_sectors,
        "crown_gaps": None if gaps is None else [round(gap, 6) for gap in gaps],
        "band_rounds": None if shared.band_rounds is None else list(shared.band_rounds),
        "brim_rhythm": rhythm_words(shared.brim_rhythm),
        "brim_gap": None if shared.brim_gap is None else round(shared.brim_gap, 6),
    }


def families_frame(graded: Graded) -> DataFrame:
    """A row a family and size: ``family``, its score and coherence, the size's score alone, then
    the columns of fit's frame without rank, pareto and remark, which are about one size."""
    from pandas import DataFrame, Series

    frames: list[tuple[Family, int, DataFrame]] = []
    for family in graded.grade.families:
        for i, (plan, member) in enumerate(zip(graded.plans, family.members, strict=True)):
            one = Fit("proven", (member,), (), ())
            frames.append((family, i, candidates_frame(plan, one, graded.unit)))
    alone = [None if a is None else a.measures.score_mm for a in graded.grade.alone]
    columns: dict[str, Any] = {
        "family": Series([f.rank for f, _, _ in frames], dtype="Int64"),
        "family_score_mm": Series([f.score_mm for f, _, _ in frames], dtype="Float64"),
        "coherence_mm": Series([f.coherence_mm for f, _, _ in frames], dtype="Float64"),
    }
    if not frames:
        return DataFrame(columns)
    first = frames[0][2]
    for name in first.columns:
        if name not in ("rank", "pareto", "remark"):
            cells = [frame[name].iloc[0] for _, _, frame in frames]
            columns[name] = Series(cells, dtype=first[name].dtype)
        if name == "score_mm":
            cells = [alone[i] for _, i, _ in frames]
            columns["alone_mm"] = Series(cells, dtype="Float64")
    return DataFrame(columns)


def to_csv(graded: Graded) -> str:
    """The frame as CSV; a text that a spreadsheet would take for a formula gets a quote."""
    return frame_csv(rounded(families_frame(graded)))
