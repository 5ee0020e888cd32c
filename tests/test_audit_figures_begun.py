"""Figures that begin with the opening chain, and places left unworked on purpose, audited.

The patterns are our own in the wordings common in books and magazines (common practice, no
source); every count beside them is by hand.
"""

from __future__ import annotations

import pytest

from evenround.tables.audit import audit_pattern
from evenround.tables.audit.findings import Audit
from evenround.tables.rounds.reader import read_pattern, read_steps
from evenround.tables.rounds.steps import Leave, Repeat, Stitch, Work

SC = Stitch("sc")


def audited(text: str) -> Audit:
    return audit_pattern(read_pattern(text))


def faulty(text: str) -> list[str]:
    audit = audited(text)
    assert not audit.unread
    assert all(r.makes is not None for r in audit.rounds)
    return [fault.label for fault in audit.faults]


V_HAT = """V hat (US terms)
V-st: (dc, ch 1, dc) in same st or sp.
Rnd 1: Ch 4, join. Ch 3 (counts as dc here and throughout), 11 dc in ring, join. (12 dc)
Rnd 2: Ch 4 (counts as dc, ch 1), dc in same st, V-st in each st around, join. ({vees} V-sts)
Rnd 3: Sl st in first ch-1 sp, ch 4, dc in same sp, V-st in each sp around, join. (12 V-sts)
Rnd 4: Ch 1, sc in each dc and in each ch-1 sp around, join. ({sc} sc)
"""


def test_a_v_begun_with_the_opening_chain_is_one_of_the_vs() -> None:
    """12 Vs of three places: 36. A ring of four chains is no place of the first round."""
    assert faulty(V_HAT.format(vees=12, sc=36)) == []
    assert faulty(V_HAT.format(vees=11, sc=36)) == ["Rnd 2"]
    assert faulty(V_HAT.format(vees=12, sc=32)) == ["Rnd 4"]
    assert [r.places for r in audited(V_HAT.format(vees=12, sc=36)).rounds] == [12, 36, 36, 36]


SHELLS = """Cowl (US terms)
{named}Ch 48, join to form a ring.
Rnd 1: Ch 1, sc in each ch around, join. (48 sc)
Rnd 2: Ch 3 (counts as dc), 4 dc in same st, sk next 2 sts, sc in next st, sk next 2 sts, *{shell} \
in next st, sk next 2 sts, sc in next st, sk next 2 sts; rep from * around, join. ({count} shells)
Rnd 3: Sl st in next 2 dc, ch 1, sc in same st, 5 dc in next sc, *sc in center dc of next shell, \
5 dc in next sc; rep from * around, join. (8 shells)
"""


@pytest.mark.parametrize("named", ["Shell: 5 dc in same st.\n", ""])
@pytest.mark.parametrize(("count", "faults"), [(8, []), (7, ["Rnd 2"]), (9, ["Rnd 2"])])
def test_a_shell_begun_with_the_opening_chain_is_one_of_the_shells(
    named: str, count: int, faults: list[str]
) -> None:
    """48 = 8 times six; the next round is slipped to the middle of the first shell, so seven
    others have a middle still to come."""
    shell = "shell" if named else "5 dc"
    assert faulty(SHELLS.format(named=named, shell=shell, count=count)) == faults


def test_in_each_v_is_once_in_each_v() -> None:
    text = """Cowl. UK terms.
V-stitch = (1 tr, 1 ch, 1 tr) in same place.
Foundation: 48 ch, join with ss.
Round 1: 1 ch, 1 dc in each ch to end, ss to first dc. (48 dc)
Round 2: 4 ch (counts as 1 tr and 1 ch), 1 tr in same place, *miss 2 dc, V-stitch in next dc; rep \
from * to last 2 dc, miss 2 dc, ss to 3rd of 4 ch. (16 V-stitches)
Round 3: ss in first 1-ch sp, 4 ch, 1 tr in same sp, V-stitch in each V-stitch to end, ss to 3rd \
of 4 ch. ({count} V-stitches)
Round 4: 1 ch, 1 dc in each tr and each 1-ch sp to end, ss to first dc. (48 dc)
"""
    assert faulty(text.format(count=16)) == []
    assert faulty(text.format(count=18)) == ["Round 3"]


def test_a_beginning_v_is_a_v() -> None:
    text = """Hat (US terms)
Beg V-st: Ch 4, dc in same st or sp.
V-st: (Dc, ch 1, dc) in indicated st or sp.
Rnd 1: Ch 3 (counts as dc), 11 dc in magic ring, join. (12 dc)
Rnd 2: Beg V-st in first st, V-st in each st around, join. ({count} V-sts)
Rnd 3: Sl st in ch-1 sp, beg V-st in same sp, V-st in each ch-1 sp around, join. (12 V-sts)
"""
    assert faulty(text.format(count=12)) == []
    assert faulty(text.format(count=11)) == ["Rnd 2"]


# --- left unworked on purpose ----------------------------------------------------------------


TUBE = "Hat (US terms)\nRnd 1: 6 sc in ring. (6)\nRnd 2: 2 sc in each st around. (12)\n"


LEFT_FOUR = (
    "Sc in next 7 sts, sl st. Leave the rest unworked. (8)",
    "Sc in next 8 sts, leave rem sts unworked. (8)",
    "Sc in next 8 sts, turn, leaving remaining 4 sts unworked. (8)",
    "Sc around, leaving last 4 sts unworked. (8)",
    "*Sc in next 2 sts; rep from * around, leaving last 4 sts unworked. (8)",
    "Sc in next 8 sts (8 sc), leaving the rest.",
)


@pytest.mark.parametrize("words", LEFT_FOUR)
def test_what_is_said_to_be_left_is_no_fault(words: str) -> None:
    audit = audited(f"{TUBE}Rnd 3: {words}")
    assert (audit.agrees, audit.rounds[2].makes) == (True, 8)
    assert "leaves 4 of 12 unworked, as it says" in audit.rounds[2].note


@pytest.mark.parametrize(
    ("words", "what"),
    [
        (
            "Sc in next 8 sts, leaving last 3 sts unworked. (8)",
            "leaves 4 unworked, where it says 3",
        ),
        ("Sc in next 8 sts, leave the rest unworked. (9)", "makes 8, not 9"),
        ("Sc in next 13 sts, leave the rest unworked. (13)", "needs 13 of 12"),
        ("Sc in next 8 sts. (8)", "leaves 4 unworked"),
    ],
)
def test_what_is_left_is_counted(words: str, what: str) -> None:
    audit = audited(f"{TUBE}Rnd 3: {words}")
    assert [fault.label for fault in audit.faults] == ["Rnd 3"]
    assert what in audit.faults[0].what


def test_leaving_is_a_step() -> None:
    assert read_steps("sc around, leaving last 4 sts unworked") == (
        Repeat((Work(SC),), left=4),
        Leave(4),
    )


RING_OF_24 = "Rnd 1: Ch 3 (counts as dc), 23 dc in ring, join. (24)\nRnd 2: "


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("Ch 2, dc in next st (beg dc2tog made), *dc2tog; rep from * around, join.", 12),
        ("Ch 2, dc in next st (counts as first dc2tog), dc2tog around, join.", 12),
        ("Beg dc2tog, *dc2tog over next 2 sts; rep from * around, join.", 12),
        ("Ch 2, dc2tog over next 2 sts (beg dc3tog made), *dc3tog; rep from * around, join.", 8),
        (
            "Ch 3, dc in next st (counts as dc2tog), dc in next 4 sts, "
            "[dc2tog, dc in next 4 sts] 3 times, join.",
            20,
        ),
    ],
)
def test_a_decrease_said_to_be_begun_with_the_opening_chain(text: str, count: int) -> None:
    """24 places in pairs, threes or sixes; a count one off is a fault."""
    assert faulty(f"{RING_OF_24}{text} ({count})") == []
    assert faulty(f"{RING_OF_24}{text} ({count + 1})") == ["Rnd 2"]


def test_a_chain_nothing_is_said_of_may_be_a_leg_where_only_that_comes_out() -> None:
    """Literally a chain, a dc and 11 pairs: 13; with the chain as the first leg, 12."""
    pairs = RING_OF_24 + "Ch 2{said}, dc in next st, *dc2tog; rep from * around, join. ({count})"
    assert faulty(pairs.format(said="", count=12)) == []
    assert "first leg" in audited(pairs.format(said="", count=12)).rounds[-1].note
    assert faulty(pairs.format(said="", count=11)) == ["Rnd 2"]
    assert faulty(pairs.format(said=" (counts as dc)", count=12)) == ["Rnd 2"]
    assert faulty(pairs.format(said=" (counts as dc)", count=13)) == []


def test_a_decrease_that_is_not_there_is_not_counted() -> None:
    text = f"{RING_OF_24}Ch 2, dc in next st (beg dc3tog made), *dc2tog; rep from * around, join."
    assert [u.why for u in audited(text).unread] == [
        '"(beg dc3tog made)": no such decrease stands before it'
    ]
