"""What the next round, or the form of the chain, says about a round that could be right by itself.

The patterns are ours; the counts are worked by hand beside each.
"""

from __future__ import annotations

import pytest

from evenround.tables.audit import audit_pattern
from evenround.tables.audit.findings import Audit, Fault
from evenround.tables.audit.page import summary
from evenround.tables.rounds.reader import read_pattern

CROWN = "\n".join(
    ["Rnd 1: 8 hdc in magic ring.", "Rnd 2: 2 hdc in each st around."]
    + [
        f"Rnd {n}: [2 hdc in next st, hdc in next {n - 2} sts] 8 times."
        if n > 3
        else "Rnd 3: [2 hdc in next st, hdc in next st] 8 times."
        for n in range(3, 9)
    ]
)
"""8, 16, ... 64."""


def audited(text: str) -> Audit:
    pattern = read_pattern(text, "auto")
    return audit_pattern(pattern, text=text)


def first(audit: Audit) -> Fault:
    assert audit.first_fault is not None
    return audit.first_fault


def test_a_slot_one_too_long_in_a_spiral_is_told_by_the_round_after() -> None:
    """30 + 4 + 31 = 65 of 64; the round after is written for 30 + 6 + 30 = 66."""
    audit = audited(
        f"Spiral, do not join.\n{CROWN}\nRnd 9: Hdc in next 30 sts, ch 6, sk 4 sts, hdc in next 31 "
        "sts.\nRnd 10: Hdc in next 30 sts, 6 hdc in ch-6 sp, hdc in next 30 sts."
    )
    fault = first(audit)
    assert (fault.label, fault.inherits) == ("Rnd 9", ("Rnd 10",))
    assert "needs 65 of 64" in fault.what
    assert "\u201chdc in next 30 sts\u201d" in fault.mends[0]
    assert len(audit.faults) == 1


def test_a_spiral_that_runs_past_its_marker_for_good_is_no_fault() -> None:
    """One past the marker, and the round after counts on what was made."""
    audit = audited(
        f"Spiral, do not join.\n{CROWN}\nRnd 9: Hdc in next 65 sts.\nRnd 10: Hdc in each st."
    )
    assert audit.agrees
    assert "past the marker" in audit.rounds[8].note


def test_whole_repeats_whose_count_one_change_gives_has_that_change_once() -> None:
    """72 = 14 x 5 + 2: whole repeats make 84, and so does [5, increase] twelve times."""
    audit = audited(
        "Ch 2 does not count as a st.\nCh 72, join.\nRnd 1: ch 2, hdc in each ch, join. (72)\n"
        "Rnd 2: ch 2, *hdc in next 4 sts, 2 hdc in next st; rep from * around, join. (84)"
    )
    mends = first(audit).mends
    assert "should be \u201chdc in next 5 sts\u201d" in mends[0]
    assert mends[1:] == ("as it stands it comes out even on 70 or 75 sts",)


def test_a_count_that_is_only_printed_wrong_offers_no_other_stitches() -> None:
    """64 mesh places; the round after has 64 as well, so only the 48 is wrong."""
    audit = audited(
        "UK terms. 3 ch counts as first tr.\n64 ch, ss to form a ring.\nRnd 1: 3 ch, 1 tr in each "
        "ch, ss. (64 tr)\nRnd 2: 4 ch (counts as 1 tr and 1 ch), miss 1 tr, *1 tr in next tr, 1 "
        "ch, miss 1 tr; rep from * to end, ss. (48 sts)\nRnd 3: 1 ch, 1 dc in every tr and every "
        "ch-sp, ss. (64 dc)"
    )
    assert first(audit).mends == ("print 64 sts instead of 48, if the round is meant as it stands",)


@pytest.mark.parametrize(
    ("figure", "printed", "made"),
    [
        ("*sc in next st, sk 2, 5 dc in next st, sk 2; rep from * around", "14 shells", "13"),
        ("*puff in next st, ch 1, sk 1 st; rep from * around", "38 puffs", "39"),
    ],
)
def test_a_wrong_number_of_figures_is_not_mended_by_other_figures(
    figure: str, printed: str, made: str
) -> None:
    """78 = 13 x 6 = 39 x 2."""
    audit = audited(
        f"Ch 78, join.\nRnd 1: ch 1, sc in each ch, join (78 sc)\nRnd 2: ch 1, {figure}, join "
        f"({printed})\n"
    )
    number, what = printed.split()
    assert first(audit).mends[0].startswith(f"print {made} {what} instead of {number}")
    assert not any("should be" in mend for mend in first(audit).mends)


def test_rounds_counted_on_from_a_wrong_count_only_inherit_it() -> None:
    """Seven a round: 35, 42 and 49 are made, 36, 43 and 50 printed."""
    audit = audited(
        "Spiral.\nRound 1: 7 sc in magic ring (7 sc)\nRound 2: 2 sc in each sc (14 sc)\n"
        "Round 3: (2 sc in next sc, sc in next sc) 7 times (21 sc)\n"
        "Round 4: (2 sc in next sc, sc in next 2 sc) 7 times (28 sc)\n"
        "Round 5: (2 sc in next sc, sc in next 3 sc) 7 times (36 sc)\n"
        "Round 6: (2 sc in next sc, sc in next 4 sc) 7 times (43 sc)\n"
        "Round 7: (2 sc in next sc, sc in next 5 sc) 7 times (50 sc)\n"
    )
    assert [f.label for f in audit.faults] == ["Round 5"]
    assert first(audit).inherits == ("Round 6", "Round 7")
    assert "print 35 sc instead of 36" in first(audit).mends[0]
    assert [r.standing for r in audit.rounds][4:] == ["wrong", "inherits", "inherits"]
    assert [r.makes for r in audit.rounds][4:] == [35, 42, 49]
    assert "42 sc would be right" in audit.rounds[5].note


def test_in_a_spiral_a_count_one_low_is_no_run_past_the_marker() -> None:
    """42 = 6 x 7 are made from 36, not from the printed 35 and one past the marker."""
    audit = audited(
        "Rnd 1: 6 sc in ring (6)\nRnd 2: [inc] 6 times (12)\nRnd 3: [sc, inc] 6 times (18)\n"
        "Rnd 4: [2 sc, inc] 6 times (24)\nRnd 5: [3 sc, inc] 6 times (30)\n"
        "Rnd 6: [4 sc, inc] 6 times (35)\nRnd 7: [5 sc, inc] 6 times (42)\n"
    )
    assert [f.label for f in audit.faults] == ["Rnd 6"]
    assert first(audit).mends == ("print 36 instead of 35, if the round is meant as it stands",)
    assert audit.rounds[6].note == ""


def test_a_mend_that_the_round_after_speaks_against_is_not_offered() -> None:
    """63 = 9 x 7 is what the decreases after it want; 64, got with another gap, leaves one."""
    audit = audited(
        "Ch 72, join.\nRnd 1: ch 1, sc in each ch, join. 72 sc\n"
        "Rnd 2: ch 1, *sc in next 6 sts, sc2tog; rep from * around, join. 64 sc\n"
        "Rnd 3: ch 1, *sc in next 5 sts, sc2tog; rep from * around, join. 54 sc\n"
    )
    assert first(audit).mends == ("print 63 sc instead of 64, if the round is meant as it stands",)


def test_the_round_after_an_open_figure_is_judged_on_the_count_below_it() -> None:
    """90 = 11 x 8 + 2 does not close; that 90 go on after it is right."""
    audit = audited(
        "Ch 90, join.\nRnd 1: ch 1, sc in each ch, join. 90 sc\n"
        "Rnd 2: ch 1, *sc in next st, sk 3, 7 dc in next st, sk 3; rep from * to end, join.\n"
        "Rnd 3: ch 1, sc in each st, join. 90 sc\n"
    )
    assert [f.label for f in audit.faults] == ["Rnd 2"]
    assert first(audit).mends == ("88 or 96 sts, which close",)
    assert audit.rounds[2].agrees is True


@pytest.mark.parametrize(
    "first_round", ["3 ch, 1 tr in each ch, ss. [66 tr]", "1 ch, 1 dc in each ch, ss. [66 dc]"]
)
def test_a_chain_higher_than_its_stitch_opens_a_mesh(first_round: str) -> None:
    """Five chains are a UK treble and two chains, whether or not the pattern shows how high its
    own treble chains are: 66 = 22 x 3."""
    audit = audited(
        f"UK terms throughout.\nFoundation: 66 ch, ss to form ring.\nRnd 1: {first_round}\n"
        "Rnd 2: 5 ch (counts as 1 tr, 2 ch), miss 2 sts, *1 tr in next st, 2 ch, miss 2 sts; rep "
        "from * to end, ss. [22 tr, 22 2-ch sps]\n"
    )
    assert audit.agrees, audit.faults
    assert audit.rounds[1].places == 66


def test_a_last_round_misprinted_does_not_change_the_size() -> None:
    """105 hdc at 4 to the inch are 26.25 in, whatever the last round prints."""
    audit = audited(
        "Gauge: 16 hdc and 12 rnds = 4 inches\nCh 105, join.\nRnd 1: Ch 1, hdc in each ch, join. "
        "(105 hdc)\nRnd 2: Ch 1, hdc in each st, join. (106 hdc)\n"
    )
    assert "print 105 hdc instead of 106" in first(audit).mends[0]
    assert any("105 sts are 26.25 in" in f.words for f in audit.findings)


def test_an_opening_chain_alone_at_the_join_is_said_so() -> None:
    """A rib of 1 + 1 on 63 opens with a chain: one stitch is over."""
    audit = audited(
        "Ch 3 counts as the first dc.\nCh 63, join.\nRnd 1: ch 3, dc in each ch around, join (63)\n"
        "Rnd 2: ch 3, *fpdc in next st, bpdc in next st; rep from * around, join (63)\n"
    )
    assert "1 dc stands alone at the join" in first(audit).what
    assert first(audit).mends == ("62 or 64 sts, which close",)


def test_a_disc_is_compared_with_the_gauge_stated() -> None:
    """80 sts at 16 to 10 cm are 50.0 cm; a disc of 18 cm is 18 pi = 56.5 cm around."""
    rounds = [
        f"Rnd {n}: [{n - 2} htr, 2 htr in next] 8 times, join ({8 * n})" for n in range(3, 11)
    ]
    audit = audited(
        "UK terms. Tension: 16 htr and 12 rounds = 10 cm\nRnd 1: 8 htr in ring, join (8)\n"
        "Rnd 2: 2 htr in every st, join (16)\n"
        + "\n".join(rounds)
        + "\nDisc measures 18 cm across.\n"
    )
    (disc,) = [f.words for f in audit.findings if f.about == "disc"]
    assert "56.5 cm around after round 10" in disc
    assert "80 sts would be 50.0 cm around" in disc


def test_a_pointed_crown_is_no_shallow_cone() -> None:
    """Six dc a round at 16 x 8 in 10 cm, where 12.57 lie flat: 0.48, 29 degrees."""
    rounds = [
        f"Rnd {n}: *dc in next {n - 2} sts, 2 dc in next st; rep from * around, join. ({6 * n} dc)"
        for n in range(3, 11)
    ]
    audit = audited(
        "Gauge: 16 dc x 8 rows = 10 cm\nRnd 1: 6 dc in ring, join. (6 dc)\nRnd 2: 2 dc in each st "
        "around, join. (12 dc)\n" + "\n".join(rounds) + "\nRnds 11-13: dc in each st, join. (60 dc)"
    )
    (crown,) = [f.words for f in audit.findings if f.about == "crown"]
    assert "a steep cone, not a flat top" in crown
    assert "half-angle 29 degrees" in crown


def test_a_nudge_on_a_wrong_base_tells_what_its_right_count_would_be() -> None:
    """60 mesh places, not 45: one more makes 61, which no repeat divides. 60 in 22 in are 2.73."""
    audit = audited(
        "Mesh sun hat, 22 in around. US. Ch 3 stands for the first dc.\nCh 60, join.\n"
        "Rnd 1: ch 3, dc in each ch around, join (60 dc)\n"
        "Rnd 2: ch 4, sk 1 dc, *dc in next dc, ch 1, sk 1 dc; rep from * around, join (45 sts)\n"
        "Rnd 3: ch 1, 2 sc in first st, sc in each st and space around, join (46 sts)\n"
    )
    fault = first(audit)
    assert "on 60 Rnd 3 makes 61 (a prime: no repeat divides it), not 46" in fault.what
    assert fault.inherits == ("Rnd 3",)
    assert any("60 / 22 = 2.73" in f.words for f in audit.findings)


def test_alike_rounds_of_one_instruction_have_one_wrong_count() -> None:
    """60 go on as 60; that four rounds print 62 is one slip, as the round after them says."""
    audit = audited(
        "Ch 60, join.\nRnds 1-4: ch 1, sc in each st, join (62)\n"
        "Rnd 5: ch 1, sc in each st, join (60)"
    )
    assert [f.label for f in audit.faults] == ["Rnd 1"]
    assert first(audit).inherits == ("Rnd 2", "Rnd 3", "Rnd 4")
    assert [r.standing for r in audit.rounds] == ["wrong", *["inherits"] * 3, "ok"]


def test_a_spiral_does_not_run_past_its_marker_by_a_round_that_is_not_there() -> None:
    """30, then 42: the round that makes 36 is missing."""
    audit = audited(
        "Rnd 1: 6 sc in ring. (6)\nRnd 2: 2 sc in each st. (12)\n"
        + "\n".join(
            f"Rnd {n}: *2 sc in next st, sc in next {n - 2} sts* 6 times. ({6 * n})"
            for n in (3, 4, 5, 7)
        )
    )
    fault = first(audit)
    assert fault.label == "Rnd 7"
    assert "put in the Rnd 6 that is not there" in fault.mends[0]
    assert "6 times\u201d makes 36" in fault.mends[0]


@pytest.mark.parametrize(
    ("word", "wrong", "right", "makes"), [("inc", 5, 4, 100), ("dec", 5, 6, 90)]
)
def test_a_number_spread_evenly_can_be_the_slip(
    word: str, wrong: int, right: int, makes: int
) -> None:
    """96 + 4 = 100 = 20 x 5 and 96 - 6 = 90 = 18 x 5."""
    audit = audited(
        f"Ch 96, join.\nRnd 1: ch 1, sc in each ch, join. (96)\nRnd 2: ch 1, sc around, {word} "
        f"{wrong} sts evenly, join. ({makes})\nRnd 3: ch 1, *sc in next 4 sts, 2 sc in next st; "
        f"rep from * around, join. ({makes * 6 // 5})\n"
    )
    assert first(audit).label == "Rnd 2"
    meant = f"should be \u201csc in each st around, {word} {right} sts evenly\u201d"
    assert meant in first(audit).mends[0]


def test_sizes_that_leave_unlike_left_overs_are_told_each() -> None:
    """Four dc and a space of two: 100 = 16 x 6 + 4, 110 = 18 x 6 + 2, 120 = 20 x 6."""
    audit = audited(
        "Three sizes: S (M, L). Ch 3 counts as dc.\nCh 100 (110, 120), join.\n"
        "Round 1: Ch 3, dc in each ch around, join. 100 (110, 120) dc\n"
        "Round 2: Ch 3, dc in next 3 sts, ch 2, skip 2 sts, *dc in next 4 sts, ch 2, skip 2 sts; "
        "repeat from * around, join. 100 (110, 120) sts\n"
    )
    assert [(f.size, f.mends) for f in audit.faults] == [
        ("S", ("96 or 102 sts, which close",)),
        ("M", ("108 or 114 sts, which close",)),
    ]
    assert not any("102: closes" in f.words for f in audit.findings)


def test_a_mend_keeps_to_the_chains_and_stitches_of_the_round_below() -> None:
    """13 + 24 + 26 + 24 + 13 = 100 places; only the last number, 14, does not meet them."""
    audit = audited(
        "US terms. Ch 84, join.\nRnd 1: ch 1, sc in each ch, join. (84 sc)\n"
        "Rnd 2: ch 1, sc in next 13 sts, ch 24, sk 16, sc in next 26 sts, ch 24, sk 16, sc in next "
        "13 sts, join.\n"
        "Rnd 3: ch 1, sc in next 13 sts, sc in next 24 ch, sc in next 26 sts, sc in next 24 ch, sc "
        "in next 14 sts, join. (100 sc)\n"
    )
    fault = first(audit)
    assert fault.label == "Rnd 3"
    assert fault.mends[0].startswith(
        "\u201csc in next 14 sts\u201d should be \u201csc in next 13 sts\u201d"
    )


def test_a_disc_stated_twice_is_told_once() -> None:
    """Sizes and counts: "Free Crochet Sun Hat for Boys", crochetdreamz.com (6.5 in after 8)."""
    rounds = "\n".join(
        f"Rnd {n}: [{n - 2} hdc, 2 hdc in next] 8 times, join ({8 * n})" for n in range(3, 8)
    )
    audit = audited(
        "US terms.\nRnd 1: 8 hdc in ring, join (8)\nRnd 2: 2 hdc in each st, join (16)\n"
        f"{rounds}\nRnd 8: [6 hdc, 2 hdc in next] 8 times, join (64). "
        'Circle measures 6.5" across.\n'
        'After rnd 8 the circle measures 6.5" across.\n'
    )
    (disc,) = [f.words for f in audit.findings if f.about == "disc"]
    assert disc.count("20.42 in around after round 8") == 1


def test_the_last_increase_round_can_make_a_count_that_a_figure_wants() -> None:
    """60 = 8 x 7 + 4; 63 = 9 x 7 is 48 + 15; source: "Double Crochet Hat", stitchandunwind.com
    (three more in the last increase round)."""
    audit = audited(
        "US. ch 3 counts as dc.\nR1: 12 dc in ring, join. 12\nR2: 2 dc in each st, join. 24\n"
        "R3: *dc in next st, 2 dc in next st* around, join. 36\n"
        "R4: *dc in next 2 sts, 2 dc in next st* around, join. 48\n"
        "R5: *dc in next 3 sts, 2 dc in next st* around, join. 60\n"
        "R6: dc in each st, join. 60\n"
        "R7: ch 1, *sc in next st, sk 2, 6 dc in next st, sk 3; rep from * around, join.\n"
    )
    assert first(audit).label == "R7"
    assert first(audit).mends == (
        "56 or 63 sts, which close",
        "R5 adding 8 or 15 instead of 12 would make 56 or 63",
    )


def test_where_nothing_was_counted_nothing_is_said_to_agree() -> None:
    audit = audited("Rnd 1: wibble in every wobble. (12)\nRnd 2: wobble on. (24)")
    assert not audit.counted
    assert summary(audit) == "0 rounds counted, 2 not counted; so nothing is judged."


def test_changes_spread_over_an_unknown_round_are_not_counted() -> None:
    """They say how many come in, not how many there are to work on."""
    text = (
        "Rnd 1: 6 sc in ring. (6)\nRnd 2: frobnicate the loops.\n"
        "Rnd 3: sc around, inc 6 evenly. (18)\nRnd 4: sc around. (18)\n"
    )
    audit = audit_pattern(read_pattern(text, "us"))
    assert [row.agrees for row in audit.rounds] == [True, None, None, True]
    assert audit.faults == ()
