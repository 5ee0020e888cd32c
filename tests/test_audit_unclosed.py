"""Figures left open at the join, skips that are and are not implied, chains nobody speaks of.

The patterns are ours; the counts follow from plain division.
"""

from __future__ import annotations

import pytest

from evenround.tables.audit import audit_pattern
from evenround.tables.audit.findings import Audit
from evenround.tables.rounds.reader import read_pattern

SC_64 = "\n".join(
    ["Rnd 1: 8 sc in ring. (8)", "Rnd 2: 2 sc in each st around. (16)"]
    + [
        f"Rnd {n}: *2 sc in next st, sc in next {n - 2} sts; rep from * around. ({8 * n})"
        for n in range(3, 9)
    ]
)


def audited(text: str) -> Audit:
    return audit_pattern(read_pattern(text, "us"))


def on_a_chain(count: str, figure: str) -> Audit:
    return audited(
        f"Ch {count}, join.\nRnd 1: Ch 1, sc in each ch around. ({count})\nRnd 2: Ch 1, {figure}"
    )


@pytest.mark.parametrize(
    ("count", "figure", "over", "near"),
    [
        (
            64,
            "*sc in next st, sk 2 sts, 5 dc in next st, sk 2 sts; rep from * around.",
            4,
            (60, 66),
        ),
        (60, "*sc in next st, sk 3, 7 dc in next st, sk 3; rep from * around.", 4, (56, 64)),
        (50, "*(dc, ch 1, dc) in next st, sk 2; rep from * around.", 2, (48, 51)),
        (50, "*dc in next 5 sts, ch 2, sk 2; rep from * around.", 1, (49, 56)),
    ],
)
def test_a_figure_that_does_not_close_is_a_fault(
    count: int, figure: str, over: int, near: tuple[int, int]
) -> None:
    audit = on_a_chain(str(count), figure)
    assert not audit.agrees
    fault = audit.first_fault
    assert fault is not None and fault.label == "Rnd 2"
    assert fault.mends == (f"{near[0]} or {near[1]} sts, which close",)
    assert [f.about for f in audit.findings if f.wrong] == ["band"]
    assert len(audit.faults) == 1
    assert count % near[0] == over or near[1] - count < over


@pytest.mark.parametrize(
    ("count", "figure"),
    [
        (66, "*sc in next st, sk 2 sts, 5 dc in next st, sk 2 sts; rep from * around."),
        (60, "*dc in next st, ch 1, sk next st; rep from * around."),
        (64, "*sc in next st, sk 3, 7 dc in next st, sk 3; rep from * around."),
    ],
)
def test_one_that_closes_is_none(count: int, figure: str) -> None:
    audit = on_a_chain(str(count), figure)
    assert audit.agrees and not [f for f in audit.findings if f.about == "band"]


def test_no_skip_is_implied_on_plain_stitches() -> None:
    audit = audited(
        f"{SC_64}\nRnd 9: *sc in next st, sk 2 sts, 5 dc in next st, sk 2 sts; rep from * around."
    )
    assert not any("implied" in r.note for r in audit.rounds)
    assert audit.first_fault is not None and audit.first_fault.label == "Rnd 9"


def test_an_increase_round_with_a_left_over_is_a_note() -> None:
    """expected.md, C14: without printed counts a left-over is a note with its readings."""
    text = SC_64.replace(" (64)", "").replace("in next 6 sts", "in next 5 sts")
    audit = audited("\n".join(line.split(" (")[0] for line in text.splitlines()))
    assert audit.agrees and any(r.readings for r in audit.rounds)


def test_sizes_are_told_one_by_one_and_a_family_is_named() -> None:
    audit = audited(
        "Sizes S (M, L)\nCh 60 (64, 70), join.\n"
        "Rnd 1: Ch 1, sc in each ch around. 60 (64, 70) sts\n"
        "Rnd 2: Ch 1, *sc in next st, sk 3, 7 dc in next st, sk 3; rep from * around.\n"
        "Rnd 3: Ch 1, *sc in next sc, ch 3, sk 3 dc, sc in next dc, ch 3, sk 3 dc; rep from * "
        "around."
    )
    assert [(f.size, f.label) for f in audit.faults] == [("S", "Rnd 2"), ("L", "Rnd 2")]
    assert audit.faults[0].inherits == ("Rnd 3",)
    assert any("3 sizes of one family: 64, 72, 80" in f.text for f in audit.findings)


GROWN = (
    "Rnd 1: Ch {n}, {first} {st} in ring, {join}.\n"
    "Rnd 2: Ch {n}, {st} in same st, 2 {st} in each st around, {join}.\n"
)


@pytest.mark.parametrize(
    ("join", "counts", "why"),
    [
        ("join into top of ch-3", "yes", "joined into the top of the chain"),
        ("sl st to 3rd ch of beg ch-3", "yes", "joined into the top of the chain"),
        ("sl st in top of beginning ch 3", "yes", "joined into the top of the chain"),
    ],
)
def test_a_join_into_the_top_of_the_chain_says_that_it_counts(
    join: str, counts: str, why: str
) -> None:
    audit = audited(GROWN.format(n=3, first=11, st="dc", join=join))
    assert audit.chain_counts == counts and why in audit.chain_why
    assert [r.makes for r in audit.rounds] == [12, 24]


def test_by_custom_a_chain_as_high_as_its_stitch_counts() -> None:
    """Common practice, no source: ch 3 stands for a dc, ch 4 for a tr, where nothing says more."""
    text = "Rnd 1: Ch {n}, 11 {st} in ring, join.\nRnd 2: Ch {n}, 35 {st} in ring, join."
    for n, stitch in ((3, "dc"), (4, "tr")):
        audit = audited(text.format(n=n, st=stitch))
        assert audit.chain_counts == "yes" and "usually counts" in audit.chain_why


def test_a_join_into_the_first_stitch_says_that_it_does_not() -> None:
    audit = audited(
        "Rnd 1: Ch 2, 10 dc in ring, join in first dc.\n"
        "Rnd 2: Ch 2, 20 dc in ring, join in first dc."
    )
    assert audit.chain_counts == "no" and "past the chain" in audit.chain_why


SHELLS = (
    "Ch {n}, join.\nRnd 1: Ch 1, sc in each ch around. ({n})\n"
    "Rnd 2: Ch 1, *sc in next st, sk 1 st, 5 dc in next st, sk 1 st; rep from * around.\n"
)


def test_after_the_middle_of_a_shell_its_rest_is_passed_over() -> None:
    """A sc and a shell of 5 over 4 stitches, 9 times on 36; then one sc in each and in its middle:
    two of every six places."""
    text = (
        SHELLS.format(n=36) + "Rnd 3: Ch 1, *sc in sc, sc in center dc of shell; rep from * around."
    )
    audit = audited(text)
    assert audit.agrees
    assert [(r.makes, r.uses, r.has) for r in audit.rounds[1:]] == [(54, 36, 36), (18, 54, 54)]
    assert "its rest is passed over" in audit.rounds[2].note


def test_a_round_that_is_not_there_is_named_and_put_in() -> None:
    text = (
        "Rnd 1: 6 sc in ring (6)\nRnd 2: 2 sc in each st (12)\n"
        "Rnd 3: *sc in next st, 2 sc in next st; rep from * around (18)\n"
        "Rnd 5: *sc in next 3 sts, 2 sc in next st; rep from * around (30)\n"
        "Rnd 6: *sc in next 4 sts, 2 sc in next st; rep from * around (36)"
    )
    audit = audited(text)
    fault = audit.first_fault
    assert fault is not None and fault.label == "Rnd 5" and len(audit.faults) == 1
    assert (
        fault.mends[0].startswith("put in the Rnd 4 that is not there") and "24" in fault.mends[0]
    )
    assert "there is no Rnd 4: the numbers go from 3 to 5" in audit.notes


def test_a_round_of_other_sizes_is_not_missed() -> None:
    text = (
        "Sizes S (M)\nRnd 1: 6 sc in ring (6)\nRnd 2: 2 sc in each st (12)\n"
        "Rnd 3: Size M only: *sc in next st, 2 sc in next st; rep from * around (18)\n"
        "Rnd 4: sc in each st around. 12 (18)"
    )
    assert not [note for note in audited(text).notes if "there is no" in note]


def test_sizes_are_held_against_their_own_measure() -> None:
    text = (
        "Sizes S (M): 45 cm (50 cm)\nGauge: 8 sts and 8 rounds = 10 cm\nCh 36 (40), join.\n"
        "Rnd 1: Ch 1, sc in each ch around. 36 (40)\nRnds 2-5: Ch 1, sc in each st around. 36 (40)"
    )
    words = [f.words for f in audited(text).findings if f.about == "size"]
    assert any("S: 36 sts are 45.0 cm around" in w and "as the 45.0 cm stated" in w for w in words)
    assert any("M: 40 sts are 50.0 cm around" in w and "as the 50.0 cm stated" in w for w in words)


def test_a_text_that_ends_in_the_crown_is_no_size_yet() -> None:
    text = (
        "Sizes S (M)\nFinished circumference: 45 (50) cm\nGauge: 16 sts and 12 rounds = 10 cm\n"
        "Rnd 1: 8 hdc in ring. (8)\nRnd 2: 2 hdc in each st around. (16)\n"
        "Rnd 3: *hdc in next st, 2 hdc in next st; rep from * around. (24)"
    )
    audit = audited(text)
    assert any("no size is made yet" in f.text for f in audit.findings)
    assert not [f for f in audit.findings if f.wrong]


def test_a_round_that_cannot_be_counted_is_said_and_not_agreed_to() -> None:
    audit = audited("Rnd 1: 6 sc in a ring. (6)\nRnd 2: [[picot] 3000 times] 3000 times. (6)")
    assert not audit.agrees
    assert [(u.where.line, "steps" in u.why) for u in audit.unread] == [(2, True)]
    assert (audit.rounds[1].printed, audit.rounds[1].standing) == (6, "not counted")


def test_an_open_figure_is_marked_in_its_row_and_told_once() -> None:
    audit = on_a_chain("50", "*(dc, ch 1, dc) in next st, sk 2; rep from * around.")
    assert [r.standing for r in audit.rounds] == ["ok", "open"]
    assert not audit.notes and not [f for f in audit.findings if f.about == "counts"]


@pytest.mark.parametrize(
    ("count", "over", "near"),
    [(96, 0, ""), (98, 2, "96 or 102"), (99, 3, "96 or 102"), (100, 4, "96 or 102")],
)
def test_a_round_that_opens_with_the_end_of_its_repeat_closes_on_whole_repeats(
    count: int, over: int, near: str
) -> None:
    """By hand: 16 scallops of six; the sc that opens the round is the sixteenth's. On 98 two sc
    would stand side by side, with one stitch between them passed over."""
    text = f"""Cowl (US terms)
Ch {count}, join to form a ring.
Rnd 1: Ch 1, sc in each ch around, join. ({count} sc)
Rnd 2: Ch 1, sc in same st, *sk next 2 sts, 5 dc in next st, sk next 2 sts, sc in next st; rep \
from * around, join.
"""
    audit = audit_pattern(read_pattern(text))
    if not over:
        assert audit.agrees and not audit.notes and audit.rounds[1].makes == 96
        return
    (fault,) = audit.faults
    assert f"takes 6 and does not close on {count}: {over} over" in fault.what
    assert fault.mends[0] == f"{near} sts, which close"
