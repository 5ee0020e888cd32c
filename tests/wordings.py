"""A wording read and counted: what the tests of many wordings ask of each."""

from __future__ import annotations

from typing import Literal

from evenround.tables.audit import audit_pattern
from evenround.tables.rounds.reader import read_pattern


def assert_counted(
    text: str, places: tuple[int, ...], terms: Literal["us", "uk", "auto"] = "us"
) -> None:
    """Nothing unread, these places after every round, no fault."""
    pattern = read_pattern(text, terms)
    audit = audit_pattern(pattern)
    assert pattern.unread == ()
    assert tuple(row.places for row in audit.rounds) == places
    assert audit.faults == ()
