"""Rounds that say inside which sizes a part of them is for (trade.md, "How rounds are written")."""

from __future__ import annotations

import pytest

from evenround.tables.audit import audit_pattern
from evenround.tables.rounds.reader import read_pattern

HEAD = "Sizes: Small (Medium, Large)\nRnd 1: 8 hdc in ring. (8)\n"
TWO = "2 hdc in each st around. (16)"
EVEN = "hdc in each st around."


def counts(text: str) -> dict[str | None, int | None]:
    """The count of the last round of every size."""
    audit = audit_pattern(read_pattern(HEAD + text))
    assert audit.agrees, (audit.unread, audit.faults)
    last: dict[str | None, int | None] = {}
    for row in audit.rounds:
        for size in [row.size] if row.size else ["Small", "Medium", "Large"]:
            last[size] = row.makes
    return last


@pytest.mark.parametrize(
    "head",
    [
        "Medium and Large only: ",
        "Sizes Medium (Large) only: ",
        "Size M and L: ",
        "For M and L only, ",
        "M, L only - ",
        "Medium and up: ",
    ],
)
def test_a_round_for_some_sizes(head: str) -> None:
    assert counts(f"Rnd 2: {head}{TWO}") == {"Small": 8, "Medium": 16, "Large": 16}


@pytest.mark.parametrize(
    "text",
    [
        f"Rnd 2: Small: {EVEN} Medium and Large: {TWO}",
        f"Rnd 2: Sizes M (L): {TWO} All other sizes: {EVEN}",
        f"Rnd 2: Medium: {TWO} Large: {TWO}\nRnd 3: All sizes: {EVEN} 8 (16, 16)",
    ],
)
def test_a_round_with_a_part_for_each(text: str) -> None:
    assert counts(text) == {"Small": 8, "Medium": 16, "Large": 16}


def test_a_part_that_cannot_be_read_keeps_its_column() -> None:
    pattern = read_pattern(HEAD + "Rnd 2: Medium and Large only: flibble in each st.")
    assert [(u.where.line, u.where.column) for u in pattern.unread] == [(3, 31)]
