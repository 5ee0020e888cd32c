"""What the audit says: a left-over before an end that the text gives, and the pattern's own words.

The patterns are ours; the counts are worked by hand beside each.
"""

from __future__ import annotations

import re

import pytest

from evenround.tables.audit import audit_pattern
from evenround.tables.audit.findings import Audit
from evenround.tables.audit.page import to_page
from evenround.tables.rounds.reader import read_pattern

CROWN = "Rnd 1: 8 hdc in magic ring. (8)\nRnd 2: 2 hdc in each st around. (16)\n" + "".join(
    f"Rnd {n}: *2 hdc in next st, hdc in next {n - 2} sts; rep from * around. ({8 * n})\n"
    for n in range(3, 9)
)
"""8, 16, ... 64."""


def audited(text: str) -> Audit:
    return audit_pattern(read_pattern(text, "auto"), text=text)


def page(text: str) -> str:
    return " ".join(to_page(audited(text)).split())


def to_last(gap: int, printed: str) -> str:
    """4 + repeats of 1 + gap + 4: on 64 the repeats have 56."""
    return (
        f"{CROWN}Rnd 9: Hdc in next 4 sts, *2 hdc in next st, hdc in next {gap} sts; rep from * to "
        f"last 4 sts, 2 hdc in next st, hdc in next 3 sts.{printed}\n"
    )


def test_a_repeat_that_misses_its_own_end_is_a_fault() -> None:
    """56 = 7 x 8: eight increases, 72. 56 = 6 x 9 + 2: stopping after 2 gives eight increases as
    well, but then there is no such end as the text gives."""
    assert audited(to_last(7, " (72)")).agrees
    audit = audited(to_last(8, " (72)"))
    (fault,) = audit.faults
    assert fault.label == "Rnd 9"
    assert "leaves 2 over" in fault.what
    assert "4 places before the end of the round" in fault.what
    assert "bears out" not in fault.what
    assert "should be \u201chdc in next 7 sts\u201d" in fault.mends[0]
    # on 62 = 8 + 6 x 9 and 71 = 8 + 7 x 9
    assert fault.mends[-1] == "as it stands it comes out even on 62 or 71 sts"
    assert not audit.notes


def test_it_is_a_fault_without_a_printed_count_too() -> None:
    audit = audited(to_last(8, ""))
    assert [fault.label for fault in audit.faults] == ["Rnd 9"]
    assert not [f for f in audit.findings if f.about == "counts"]


def test_a_repeat_around_that_is_stopped_inside_stays_a_note() -> None:
    """64 = 7 x 9 + 1: eight increases, 72; the round as corrected is not the pattern's own."""
    audit = audited(
        f"{CROWN}Rnd 9: *2 hdc in next st, hdc in next 8 sts; rep from * around. (72)\n"
    )
    assert audit.agrees
    (note,) = audit.notes
    assert "the printed 72 bears out stopping inside; changed to \u201c*2 hdc in next st" in note
    assert "\u201d it comes out even on 64: 72" in note


def test_a_figure_that_misses_its_end_is_left_open() -> None:
    """64 - 1 = 63 = 10 x 6 + 3; 61 = 10 x 6 + 1 and 67 = 11 x 6 + 1."""
    audit = audited(
        f"{CROWN}Rnd 9: *sc in next st, sk 2 sts, 5 dc in next st, sk 2 sts; rep from * to last st,"
        " sc in last st.\n"
    )
    (fault,) = audit.faults
    assert "its figure takes 6 and does not close on 64: 3 over before the last 1" in fault.what
    assert fault.mends[0] == "61 or 67 sts, which close"


def test_a_figure_that_divides_the_count_but_not_what_is_before_its_end() -> None:
    """64 = 16 x 4, but before the last st there are 63 = 15 x 4 + 3."""
    audit = audited(
        f"{CROWN}Rnd 9: *sc in next 2 sts, ch 2, sk 2 sts; rep from * to last st, sc in last st.\n"
    )
    (fault,) = audit.faults
    assert "3 over before the last 1" in fault.what
    assert fault.mends[0] == "61 or 65 sts, which close"


US_ONLY = re.compile(r"\b(?:hdc|sc|sl st)s?\b")


@pytest.mark.parametrize(
    "text",
    [
        "UK terms\nRound 1: 10 htr in ring. 10 htr\nRound 2: jiggle. 12 htr",
        "UK terms\nRnd 1: 10 htr in ring. (10 htr)\nRnd 2: fiddle. (20 htr)\nRnd 3: *htr in next "
        "st, 2 htr in next st; rep from * around. (33 htr)",
        "UK terms\nRnd 1: 12 dc in ring. (12 dc)\nRnd 2: pull. (12 ss)\nRnd 3: 2 dc in each st "
        "around. (12 dc)",
        "UK terms\nRnd 1: ch 2, 12 htr in ring, join. (12)\nRnd 2: ch 2, htr in each st, join.",
        "UK terms\nRnd 1: ch 1, 12 dc in ring, ss in first dc. (12)\nRnd 2: ch 2, *htr, ch 2, miss "
        "1; rep from * around. (99 htr)",
    ],
)
def test_a_uk_pattern_is_told_in_uk_terms(text: str) -> None:
    shown = page(text)
    assert "Terms: UK" in shown
    assert not US_ONLY.search(shown)


def test_one_round_is_one_round() -> None:
    assert page("UK terms\nRound 1: 10 htr in ring. 10 htr\n").startswith("1 round counted; ")
