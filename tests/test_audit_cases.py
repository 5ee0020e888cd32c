"""Every case of tests/cases comes out as its worked arithmetic says (source beside each).

The texts are in our own wording with the sources' structure and numbers; what a page printed wrong
is wrong here as well. Numbers in the assertions were worked by hand, stitch by stitch.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

from evenround.tables.audit import Audit, Fault, RoundAudit, audit_pattern
from evenround.tables.rounds.reader import read_pattern

CASES = Path(__file__).parent / "cases"


@cache
def audited(case: str) -> Audit:
    text = (CASES / f"{case}.txt").read_text(encoding="utf-8")
    return audit_pattern(read_pattern(text), text=text)


def rounds(audit: Audit, size: str | None = None) -> list[RoundAudit]:
    return [r for r in audit.rounds if r.size == size]


def at(audit: Audit, label: str, size: str | None = None, section: str = "") -> RoundAudit:
    found = [r for r in rounds(audit, size) if r.label == label and section in r.section]
    assert len(found) == 1, (label, [r.label for r in audit.rounds])
    return found[0]


def fault(audit: Audit, label: str, size: str | None = None) -> Fault:
    found = [f for f in audit.faults if (f.label, f.size) == (label, size)]
    assert len(found) == 1, (label, [f.label for f in audit.faults])
    return found[0]


def said(audit: Audit) -> str:
    return "\n".join([*audit.notes, *(f.words for f in audit.findings)])


def test_c01_a_cap_that_ought_to_fit() -> None:
    """Source: "I challenge any crocheter to work this...", backyardchickens.com forum."""
    audit = audited("C01")
    assert audit.chain_counts == "yes"
    fourth = at(audit, "ROUND 4")
    assert (fourth.uses, fourth.has, fourth.makes, fourth.printed) == (36, 36, 49, 48)
    assert fourth.agrees is False
    assert fourth.went_on_from == 48
    assert [f.label for f in audit.faults] == ["ROUND 4"]
    first = fault(audit, "ROUND 4")
    assert "on 49 ROUND 5 leaves 1 over" in first.what
    # 1 1 i [2 i]: the first of the two increases plain, as in the rounds beside it
    assert first.mends[0].startswith(
        "the first \u201c2 dc in next st\u201d should be \u201cdc in next st\u201d"
    )
    assert "makes 48" in first.mends[0]
    assert first.inherits[0] == "ROUND 5"
    fifth = at(audit, "ROUND 5")
    assert (fifth.uses, fifth.has, fifth.makes, fifth.agrees) == (48, 48, 56, True)
    assert fifth.standing == "inherits"
    assert len(audit.rounds) == 14
    words = said(audit)
    assert "20.36 in" in words
    assert "0.64 in less than the 21.00 in stated" in words
    assert "measure the width of the piece" in words
    assert "9.87 sts a round lie flat" in words
    assert "1.22 after ROUND 4 and 1.13 after ROUND 5" in words
    assert "14 rounds are 8.00 in deep" in words


def test_c03_one_stitch_too_many_told_by_the_round_after() -> None:
    """Source: "Crochet Basket with Pumpkins", craftorator.com."""
    audit = audited("C03")
    assert [r.makes for r in audit.rounds[:12]] == list(range(6, 73, 6))
    wrong = at(audit, "Rnd 18")
    assert (wrong.uses, wrong.has, wrong.makes, wrong.printed) == (73, 72, 79, None)
    assert [f.label for f in audit.faults] == ["Rnd 18"]
    first = fault(audit, "Rnd 18")
    assert len(first.mends) == 1
    assert "\u201csc in next 6 sts\u201d should be \u201csc in next 5 sts\u201d" in first.mends[0]
    assert "makes 78" in first.mends[0]
    assert first.inherits == ("Rnd 19",)
    assert "on 79 Rnd 19 leaves 1 over" in first.what
    last = at(audit, "Rnd 19")
    assert (last.uses, last.has, last.makes) == (78, 78, 78)
    assert "17 chains stand over 14 stitches, twice: the round turns 72 into 78" in said(audit)
    assert audit.cautions == ()


def test_c04_ten_more_times_once_wrong_once_right() -> None:
    """Source: "Helping our users. Crochet Beach Hat", craftorator.com."""
    audit = audited("C04")
    assert not audit.unread
    assert [(k.what, k.made) for k in at(audit, "Row 4").kinds] == [("V", 12), ("ch-1 sps", 12)]
    fifth, sixth = at(audit, "Row 5"), at(audit, "Round 6")
    assert [(k.what, k.made) for k in fifth.kinds] == [("CS", 6), ("OS", 6)]
    assert (fifth.places, sixth.places) == (60, 60)
    assert "implied" in fifth.note
    assert "implied" in sixth.note
    tenth = at(audit, "Round 10")
    assert (tenth.uses, tenth.has, tenth.makes, tenth.agrees) == (60, 60, 60, True)
    wrong = at(audit, "Round 12")
    assert (wrong.uses, wrong.has, wrong.makes, wrong.printed) == (73, 72, 85, 84)
    assert [f.label for f in audit.faults] == ["Round 12"]
    mend = fault(audit, "Round 12").mends[0]
    assert mend.startswith(
        "the last \u201cdc in next 3 sts\u201d should be \u201cdc in next 2 sts\u201d"
    )
    assert "makes 84" in mend
    right = at(audit, "Round 14")
    assert (right.uses, right.has, right.makes, right.agrees) == (96, 96, 108, True)
    assert at(audit, "Round 15").makes == 120


def test_c05_the_count_of_whole_repeats_only() -> None:
    """Source: "Tutorial Tuesday - crocheted simple bucket hat", thatmomof6.blogspot.com."""
    audit = audited("C05")
    small, large = "0-3 months", "3-9 months"
    first, second = at(audit, "Rnd 13", small), at(audit, "Rnd 14", large)
    assert dict(first.readings) == {"whole": 52, "plain": 53, "part": 54}
    assert dict(second.readings) == {"whole": 56, "plain": 58, "part": 59}
    assert (first.uses, first.has, first.fits) == (39, 40, ("whole",))
    assert (second.uses, second.has, second.fits) == (42, 44, ("whole",))
    assert [(f.label, f.size) for f in audit.faults] == [("Rnd 13", small), ("Rnd 14", large)]
    ways, others = fault(audit, "Rnd 13", small).mends, fault(audit, "Rnd 14", large).mends
    assert "hdc in next 3 sts; rep from * around" in ways[0]
    assert "comes out even on 40: 50" in ways[0]
    assert "comes out even on 44: 55" in others[0]
    assert "39 or 42" in ways[1]
    assert "42 or 45" in others[1]
    words = said(audit)
    assert "40 sts are 11.43 in" in words
    assert "44 sts are 12.57 in" in words
    assert words.count("is small for that age even when snug") == 2
    assert audit.cautions[0].startswith("For a baby")


def test_c07_counts_right_band_wrong() -> None:
    """Source: "Smooth and Shiny Long Triple Interlocking Ribbed Beanie",
    gracefullymadecrochet.com."""
    audit = audited("C07")
    assert all(r.agrees for r in audit.rounds)
    assert [(f.label, f.size) for f in audit.faults] == [("Row 5", "small"), ("Row 5", "medium")]
    small, medium = audit.faults
    assert "2 dc stand next to 2 FPdc at the join" in small.what
    assert "5 dc stand together at the join" in medium.what
    assert "36 or 42 sts" in small.mends[0]
    assert "42 or 48 sts" in medium.mends[0]
    words = said(audit)
    assert "a multiple of 6" in words
    assert "large, 48: closes" in words
    assert "family: 42, 48, 54" in words
    assert "40 / 18 = 2.22, 44 / 19 = 2.32 and 48 / 20 = 2.40 sts per in" in words
    assert "At 2.40 they are 16.67 in, 18.33 in and 20.00 in" in words


def test_c08_a_nudge_on_a_wrong_base() -> None:
    """Source: "Crochet Sun Hat for My Bestfriend", craftyguild.com."""
    audit = audited("C08")
    mesh, nudge = at(audit, "Round 12"), at(audit, "Round 13")
    assert (mesh.has, mesh.makes, mesh.printed) == (56, 84, 74)
    assert (nudge.uses, nudge.has, nudge.makes, nudge.agrees) == (74, 74, 75, True)
    assert [f.label for f in audit.faults] == ["Round 12"]
    first = fault(audit, "Round 12")
    assert "28 stitches and 28 ch-2 spaces" in first.what
    assert "56 with ch-1 spaces" in first.what
    assert "28 counting the stitches alone" in first.what
    assert "no way of counting gives 74" in first.what
    assert "83 if the first chain is a dc and ch 1" in first.what
    assert "on 84 Round 13 makes 85 (5 x 17), not 75" in first.what
    assert first.inherits == ("Round 13",)
    words = said(audit)
    assert "the crown adds 11, then 4 a round" in words
    assert "56 / 23 = 2.43 sts per in" in words
    assert "84 sts made later would be 34.50 in of that width, 1.5 times as wide" in words


def test_c09_a_raffia_hat_with_five_sector_numbers() -> None:
    """Source: "Helping our users. Beach Raffia Crochet Hat", craftorator.com."""
    audit = audited("C09")
    assert audit.agrees
    assert len(audit.rounds) == 32 + 12
    assert all(r.agrees for r in audit.rounds)
    words = said(audit)
    assert "the crown adds 8, then 6, then 4 a round; the brim adds 10, then 12 a round" in words
    assert "100 sts are 21.05 in around or 23.53 in around" in words
    assert "0.94 after Rnd 21" in words
    assert "32 rounds are 6.10 in deep" in words
    assert "Rnd 1 to Rnd 3 of the brim add 32 where 15 to 17 lie flat" in words
    assert "add 6.0 sts a round on average; at this gauge 5.1 to 5.7 would lie flat: it" in words
    assert "31.5 rounds; 12 are written, so 20 more" in words or "so 19 more" in words


def test_c12_five_sizes_with_half_rounds() -> None:
    """Source: "Beanie crochet pattern", portacraft.com.au."""
    audit = audited("C12")
    assert audit.agrees
    last = {size: rounds(audit, size)[-1] for size in audit.sizes}
    assert {s: r.makes for s, r in last.items()} == {
        "2": 64,
        "4": 68,
        "6": 72,
        "8": 76,
        "10": 78,
    }
    assert [len(rounds(audit, size)) for size in audit.sizes] == [9, 10, 10, 11, 11]
    words = said(audit)
    for width in ("40.0 cm", "42.5 cm", "45.0 cm", "47.5 cm", "48.8 cm"):
        assert width in words
    assert "8 a round are 0.84 of flat: a cone of half-angle 57 degrees" in words
    assert "9.57 sts a round lie flat" in words


def test_c14_no_counts_both_chains() -> None:
    """Source: "Summer hat crochet pattern", infantilli.blogspot.com."""
    audit = audited("C14")
    assert audit.agrees
    words = said(audit)
    assert "76, 88, 99, 110, 132, 154" in words
    assert "72, 84, 90, 100, 120, 140" in words
    assert "110 are 52.4 cm and 100 are 47.6 cm" in words
    assert "for a head of 56.0 cm the first suits" in words
    row = at(audit, "Row 6")
    assert dict(row.readings) == {"whole": 72, "part": 76, "plain": 76}
    assert row.standing == "note"
    assert "1.39 after Row 9" in words
    assert "3.3 cm outward on 4.7 cm: 45.6 degrees" in words
    assert "Row 24 to Row 25 of the brim add 44 where 18 lie flat: they ruffle" in words


def test_c14b_eight_left_overs_and_no_error() -> None:
    """Source: "Free crochet hats pattern", rahooqa.com."""
    audit = audited("C14b")
    left = [r for r in audit.rounds if r.readings]
    assert [r.label for r in left] == [f"R{n}" for n in range(4, 12)]
    assert all(r.agrees and "part" in r.fits for r in left)
    assert "R4 to R11: 8 left-overs and no wrong count" in said(audit)
    assert "25" in at(audit, "R2").note
    assert at(audit, "R2").agrees is True
    assert [r.makes for r in audit.rounds if r.label in ("R19", "R20", "R21")] == [122, 112, 102]
    assert [f.label for f in audit.faults] == ["R27"]
    last = at(audit, "R27")
    assert (last.uses, last.has) == (52, 51)
    assert (
        "\u201cdc in next 46 sts\u201d should be \u201cdc in next 45 sts\u201d"
        in audit.faults[0].mends[0]
    )


def test_c15_repeat_five_times_is_five_more() -> None:
    """Source: "Infant Sun Hat Crochet Pattern", hlburkeblog.com."""
    audit = audited("C15")
    assert audit.repeat_means == "more"
    assert audit.agrees
    assert [r.makes for r in audit.rounds[:11]] == list(range(6, 67, 6))
    assert all(r.uses == r.has for r in audit.rounds[1:])


def test_c15b_repeat_six_times_is_six_in_all() -> None:
    """Source: "Crochet Cascading Cables Hat", craftorator.com."""
    audit = audited("C15b")
    assert audit.repeat_means == "in all"
    assert audit.agrees
    assert [r.makes for r in audit.rounds[:11]] == [*range(6, 61, 6), 64]


def test_c18_a_gauge_that_cannot_be() -> None:
    """Source: "Make it Monday - Dainty Flower Beanie", mandobugcrafts.blogspot.com."""
    audit = audited("C18")
    assert audit.agrees
    shells = at(audit, "Rnd 9")
    assert (shells.uses, shells.has, shells.places) == (48, 48, 48)
    words = said(audit)
    assert "11.2 sc a round" in words
    assert "a cone of 32 degrees" in words
    assert "A hint, no verdict" in words
    assert "48 sts are 12.00 in around" in words
