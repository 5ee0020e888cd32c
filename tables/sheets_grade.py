"""Families of sizes as a workbook: the families, a sheet a size, every round, the brief."""

from __future__ import annotations

from collections.abc import Iterator

from .export import rounded
from .family import Graded, beside, families_frame
from .family.words import family_shared, odd_words
from .sheets import (
    Column,
    Sheet,
    Value,
    column,
    frame_sheet,
    sheet_names,
    text_column,
    workbook,
)
from .sheets_common import BRIEF, ROUNDS, brief_sheet, round_rows, rounds_sheet
from .words import clean

FAMILIES = "Families"


def grade_workbook(graded: Graded) -> bytes:
    """The file."""
    names = sheet_names(graded.names, (FAMILIES, ROUNDS, BRIEF))
    frame = rounded(families_frame(graded))
    sizes = len(graded.plans)
    sheets = [_families(graded)]
    for i, name in enumerate(names):
        one = frame.iloc[i::sizes].drop(columns=["size", "assumed"])
        sheets.append(frame_sheet(name, one))
    lead = (column("family"), text_column("size"))
    sheets.append(rounds_sheet(lead, _rounds(graded), graded.unit))
    said = [_kind(line) for line in beside(graded)]
    sheets.append(brief_sheet(graded.plans, said, graded.unit))
    return workbook(sheets, clean(graded.plans[0].title))


def _families(graded: Graded) -> Sheet:
    """A row a family: its score, what it shares, and each size's side count."""
    columns = [column("family"), column("score_mm"), column("coherence_mm")]
    columns += [Column(f"stitches {name}", "0") for name in graded.names]
    columns += [text_column("what sizes share"), text_column("where they differ")]
    rows: list[tuple[Value, ...]] = []
    for family in graded.grade.families:
        counts = [member.measures.side_count for member in family.members]
        scores = (round(family.score_mm, 2), round(family.coherence_mm, 2))
        words = (family_shared(graded, family), "; ".join(odd_words(graded, family)) or None)
        rows.append((family.rank, *scores, *counts, *words))
    return Sheet(FAMILIES, tuple(columns), tuple(rows))


def _rounds(graded: Graded) -> Iterator[tuple[Value, ...]]:
    for family in graded.grade.families:
        for plan, name, member in zip(graded.plans, graded.names, family.members, strict=True):
            yield from round_rows((family.rank, name), plan, member, graded.unit)


def _kind(line: str) -> tuple[str, str]:
    """``Note: it is so`` as its two parts."""
    kind, _, words = line.partition(": ")
    return kind.lower(), words
