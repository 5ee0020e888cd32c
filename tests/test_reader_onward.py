"""Rounds said without a label of their own: to a length, so many more, the last few again.

Wordings as books and magazines have them (common practice, no source); counts by hand.
"""

from __future__ import annotations

import pytest

from evenround.tables.adapt.infer import original_of
from evenround.tables.audit import audit_pattern
from evenround.tables.audit.findings import Audit
from evenround.tables.rounds.reader import read_pattern

TUBE = """Hat (US terms)
Rnd 1: 6 sc in ring. (6)
Rnd 2: 2 sc in each st around. (12)
Rnd 3: Sc in each st around. (12)
Rnd 4: *Ch 1, sk next st, sc in next st; rep from * around. (12)
"""
NEXT = "\nNext rnd: (Sc in next 2 sts, inc) around. ({count})\n"


def audited(line: str, count: int = 16) -> Audit:
    return audit_pattern(read_pattern(TUBE + line + NEXT.format(count=count)))


TO_A_LENGTH = [
    'Rep Rnd 3 until piece measures 3".',
    "Repeat round 3 until piece measures 3 in from beg. (12 sc)",
    "Rep Rnds 3-4 until hat measures about 7 in (18 cm) from top, join. (12)",
    "Repeat last 2 rnds until cowl is 20 cm deep.",
    "Rep last rnd to desired length.",
    "Repeat last rnd for 3 in more.",
    'Work even until piece measures 7½" from beg.',
    "Continue in sc until hat measures 20 cm.",
    "Then work straight in sc until work measures 7 in.",
    "Sc in each st around until piece measures 7 in.",
    'Rnd 5: Rep Rnd 3 until piece measures 3".',
    "Rnd 5: Rep Rnds 3 and 4 until long enough.",
    "Rnds 5-10: Sc in each st around until piece measures 7 in.",
    "Next rnds: Work even until piece measures 7 in.",
]


@pytest.mark.parametrize("line", TO_A_LENGTH)
def test_rounds_to_a_length_keep_the_count(line: str) -> None:
    """12 whatever the length."""
    audit = audited(line)
    assert audit.agrees and all(r.makes is not None for r in audit.rounds)
    assert (audit.rounds[-1].has, audit.rounds[-1].makes) == (12, 16)
    assert [f.label for f in audited(line, 18).faults] == ["Next rnd"]


def test_rounds_to_a_length_that_change_the_count_leave_it_unknown() -> None:
    """6 more a round, nobody knows how often: only a printed count tells how to go on."""
    audit = audited("Rep Rnd 2 until piece measures 3 in.")
    assert audit.rounds[-1].standing == "not counted" and len(audit.unread) == 1
    assert not audit.faults
    assert audited("Rep Rnd 2 until piece measures 3 in. (48)", 64).rounds[-1].has == 48


def test_rounds_to_a_length_are_worked_once_each() -> None:
    audit = audited("Rep Rnds 3-4 until piece measures 3 in.")
    assert [r.label for r in audit.rounds[4:]] == ["Rep Rnds 3-4", "Rep Rnds 3-4", "Next rnd"]
    made = [r.places for r in audited("Rep Rnds 2-3 until piece measures 3 in.").rounds[4:6]]
    assert made == [24, 24]


def test_a_printed_count_of_rounds_to_a_length_is_judged() -> None:
    audit = audited("Rep Rnd 3 until piece measures 3 in. (14 sc)")
    assert [f.label for f in audit.faults] == ["Rep Rnd 3"]


def test_the_depth_of_rounds_to_a_length_is_not_added_up() -> None:
    text = (TUBE + "Rep Rnd 3 {how}." + NEXT.format(count=16)).replace(
        "Rnd 1", "Gauge: 16 sc and 20 rnds = 4 in\nRnd 1", 1
    )
    told = audit_pattern(read_pattern(text.format(how="5 times more"))).findings
    assert any(f.about == "depth" for f in told)
    told = audit_pattern(read_pattern(text.format(how="until piece measures 7 in"))).findings
    assert not any(f.about == "depth" for f in told)


def test_a_design_with_rounds_to_a_length_is_not_complete() -> None:
    hat = "\n".join([*TUBE.splitlines()[:4], "Rep Rnd 3 {how}."])
    said = original_of(read_pattern(hat.format(how="6 times more")), "Hat")
    assert said.complete and said.design.tally.round_counts[-1] == 12
    assert len(said.design.tally.round_counts) == 9
    unsaid = original_of(read_pattern(hat.format(how="until hat measures 7 in")), "Hat")
    assert not unsaid.complete
    assert "Rep Rnd 3 is worked to a length" in " ".join(unsaid.unread)


@pytest.mark.parametrize(
    ("line", "rounds"),
    [
        ("Rep Rnd 3 seven more times.", 7),
        ("Rep Rnd 3 7 times. (12)", 7),
        ("Rep Rnd 3 twice more.", 2),
        ("Repeat last 2 rnds 3 times more.", 6),
        ("Rep Rnds 3 and 4 once more", 2),
        ("Work even for 5 rounds.", 5),
        ("Work 5 rounds even.", 5),
        ("Sc 5 rounds even.", 5),
        ("Work in sc for 5 rounds.", 5),
        ("Work 5 rounds without shaping.", 5),
        ("Rnds 5-9: Work 5 rounds straight.", 5),
        ("Next 4 rnds: Rep last 2 rnds.", 4),
    ],
)
def test_so_many_rounds_more(line: str, rounds: int) -> None:
    audit = audited(line)
    assert audit.agrees and audit.rounds[-1].makes == 16
    assert len(audit.rounds) == 5 + rounds
    assert [f.label for f in audited(line, 15).faults] == ["Next rnd"]


def test_a_count_behind_rounds_that_are_repeated_is_that_of_the_last() -> None:
    """12 a ring, doubled, then one more in every second: 18; again: 36, then 54."""
    text = """Hat (US terms)
Rnd 1: 6 sc in ring. (6)
Rnd 2: 2 sc in each st around. (12)
Rnd 3: (Sc in next st, inc) around. (18)
{again} ({count})
"""
    for again in ("Rep Rnds 2-3 once more.", "Rnds 4-5: Rep Rnds 2-3.", "Repeat last 2 rnds once."):
        assert audit_pattern(read_pattern(text.format(again=again, count=54))).agrees
        wrong = audit_pattern(read_pattern(text.format(again=again, count=56)))
        assert [fault.label for fault in wrong.faults] == ["Rnd 5"]
    even = audit_pattern(read_pattern(TUBE + "Rnds 5-7: Rep Rnd 3. (13)"))
    assert [fault.label for fault in even.faults] == ["Rnd 7"]
    assert audit_pattern(read_pattern(TUBE + "Rnds 5-7: Rep Rnd 3. (12)")).agrees


def test_a_label_that_says_another_number_of_rounds_is_not_read() -> None:
    assert len(audited("Rnds 5-8: Work 5 rounds straight.").unread) == 1


@pytest.mark.parametrize(
    "line",
    ["Work in rounds.", "Work in a spiral.", "Continue to brim.", "Work until you like it."],
)
def test_what_says_no_rounds_makes_none(line: str) -> None:
    assert len(audited(line).rounds) == 6 - 1


def test_sizes_to_a_length_of_their_own() -> None:
    text = """Cap
Sizes: S (M, L)
Rnd 1: 8 hdc in ring. (8)
Rnd 2: 2 hdc in each st around. (16)
Rnd 3: *Hdc in next 7 (3, 1) sts, inc; rep from * around. 18 (20, 24) hdc
Rnd 4: Hdc in each st around. 18 (20, 24) hdc
Rep last rnd until piece measures 7 (7.5, 8) in from top.
Next rnd: Sc in each st around. 18 (20, {last}) sc
"""
    assert audit_pattern(read_pattern(text.format(last=24))).agrees
    faults = audit_pattern(read_pattern(text.format(last=26))).faults
    assert [(f.label, f.size) for f in faults] == [("Next rnd", "L")]
