"""The audit on patterns built from steps: every kind of finding, whatever the reader can read."""

from __future__ import annotations

from dataclasses import replace

import pytest
from audit_patterns import HERE, SC, gaps, of_count, pattern_of, ring, round_text

from evenround.tables.audit import audit_pattern
from evenround.tables.rounds.pattern import Pattern, Printed, RoundText, Unread
from evenround.tables.rounds.steps import (
    Chain,
    EveryNth,
    Into,
    Join,
    Repeat,
    Several,
    Skip,
    StartChain,
    Step,
    Stitch,
    Together,
    Turn,
    Work,
    increase,
)

HDC, DC = Stitch("hdc"), Stitch("dc")
FPDC = Stitch("dc", post="front")


# --- repeat N times --------------------------------------------------------------------------


def repeating(gaps_first: bool, times: int) -> Pattern:
    """A crown of six whose rounds say "repeat ``times`` times" and leave open what that means."""
    rounds = [round_text(1, ring(6), 6), round_text(2, [Repeat((increase(SC),))], 12)]
    for k in range(1, 9):
        order: tuple[Step, ...] = (increase(SC), Work(SC, k))
        order = order[::-1] if gaps_first else order
        rounds.append(round_text(k + 2, [Repeat(order, times, more=None)], 12 + 6 * k))
    return pattern_of(rounds, joined=False)


def test_repeat_five_times_on_six_sectors_is_five_more() -> None:
    """Structure and numbers: "Infant Sun Hat Crochet Pattern", hlburkeblog.com."""
    audit = audit_pattern(repeating(gaps_first=False, times=5))
    assert audit.repeat_means == "more"
    assert "more rounds use what there is" in audit.repeat_why
    assert audit.agrees
    assert [r.makes for r in audit.rounds] == [6, 12, *range(18, 61, 6)]


def test_repeat_six_times_on_six_sectors_is_six_in_all() -> None:
    """Structure and numbers: "Crochet Cascading Cables Hat", craftorator.com."""
    audit = audit_pattern(repeating(gaps_first=True, times=6))
    assert audit.repeat_means == "in all"
    assert audit.agrees


def test_repeat_means_is_none_where_nothing_is_left_open() -> None:
    audit = audit_pattern(of_count(12, gaps(1), printed=18))
    assert (audit.repeat_means, audit.repeat_why) == (None, "")


# --- the opening chain -----------------------------------------------------------------------


def opening(counts: bool) -> Pattern:
    """Rounds that open with a chain nothing is said of; the printed counts tell."""
    rounds = [round_text(1, ring(8, HDC), 8)]
    for k in range(4):
        chain: tuple[Step, ...] = (StartChain(2, None, open=True),)
        if counts:
            first: tuple[Step, ...] = (Work(HDC, 1, "same"), *(Work(HDC, k),) * (k > 0))
        else:
            first = (Into((Several(HDC, 2),), 1, "same"), *(Work(HDC, k),) * (k > 0))
        steps = (*chain, *first, Repeat((increase(HDC), *(Work(HDC, k),) * (k > 0))), Join())
        rounds.append(round_text(k + 2, steps, 8 * (k + 2)))
    return pattern_of(rounds)


@pytest.mark.parametrize("counts", [True, False])
def test_an_opening_chain_is_settled_by_what_agrees(counts: bool) -> None:
    audit = audit_pattern(opening(counts))
    assert audit.chain_counts == ("yes" if counts else "no")
    assert "more rounds come out right" in audit.chain_why
    assert audit.agrees


def test_a_flag_forces_the_opening_chain() -> None:
    forced = audit_pattern(opening(counts=True), "no")
    assert forced.chain_counts == "no"
    assert forced.chain_why == "as asked for"
    assert forced.first_fault is not None
    assert forced.first_fault.label == "Rnd 2"


def test_a_chain_higher_than_its_stitch_leaves_a_space() -> None:
    """Chain 2 is a dc; chain 4 is a dc and two chains."""
    mesh = Repeat((Skip(1), Work(DC), Chain(2)))
    audit = audit_pattern(
        pattern_of(
            [
                round_text(1, ring(56, DC), 56),
                round_text(2, [StartChain(2, DC), Work(DC, None), Join()], 56),
                round_text(3, [StartChain(4, DC), mesh, Join()]),
            ]
        )
    )
    assert audit.rounds[-1].places == 84


# --- left-overs ------------------------------------------------------------------------------


def test_a_left_over_that_only_unworked_stitches_explain_is_a_fault() -> None:
    """40 = 13 x 3 + 1: 52 by whole repeats, 53 plain, 54 with a part-repeat; source: "Tutorial
    Tuesday - crocheted simple bucket hat", thatmomof6.blogspot.com (kind, not wording)."""
    repeat = Repeat((increase(HDC), Work(HDC, 2)))
    audit = audit_pattern(of_count(40, repeat, printed=52))
    assert dict(audit.rounds[1].readings) == {"whole": 52, "part": 54, "plain": 53}
    assert audit.rounds[1].fits == ("whole",)
    assert audit.first_fault is not None
    assert any("39 or 42" in mend for mend in audit.first_fault.mends)


@pytest.mark.parametrize(("printed", "fits"), [(54, "part"), (53, "plain")])
def test_a_left_over_that_the_count_bears_out_is_a_note(printed: int, fits: str) -> None:
    repeat = Repeat((increase(HDC), Work(HDC, 2)))
    audit = audit_pattern(of_count(40, repeat, printed=printed))
    assert audit.agrees
    assert audit.rounds[1].fits == (fits,)
    assert audit.rounds[1].standing == "note"
    assert audit.rounds[1].uses == audit.rounds[1].has == 40


def test_after_unworked_stitches_the_next_round_is_judged_on_the_printed_figures() -> None:
    mesh = Repeat((Work(DC), Chain(1), Skip(1)))
    rounds = [
        round_text(1, ring(105, DC), 105),
        replace(round_text(2, [mesh]), printed=((Printed(52, "dc"), Printed(52, "ch-1 sps")),)),
        round_text(3, [Work(SC, None)], 104),
    ]
    audit = audit_pattern(pattern_of(rounds))
    assert [f.label for f in audit.faults] == ["Rnd 2"]
    assert "as it stands it comes out even on 104 or 106 sts" in audit.faults[0].mends
    assert audit.faults[0].inherits == ("Rnd 3",)


def test_every_third_stitch_is_a_repeat_like_any() -> None:
    even = audit_pattern(of_count(42, EveryNth((Several(SC, 2),), 3, SC), printed=56))
    assert even.agrees
    assert even.rounds[1].readings == ()
    odd = audit_pattern(of_count(43, EveryNth((Several(SC, 2),), 3, SC), printed=57))
    assert odd.agrees
    assert odd.rounds[1].standing == "note"


def test_a_repeat_to_the_end_leaves_room_for_what_follows() -> None:
    audit = audit_pattern(of_count(26, gaps(3), Work(SC, 2), Join(), printed=32))
    assert audit.agrees
    assert audit.rounds[1].readings == ()


# --- faults and mends ------------------------------------------------------------------------


def test_decreases_that_need_more_than_there_is() -> None:
    decreases = Repeat((Work(SC, 9), Together(SC)), 12)
    audit = audit_pattern(of_count(130, decreases, printed=120))
    assert (audit.rounds[1].uses, audit.rounds[1].has) == (132, 130)
    assert audit.first_fault is not None
    assert "needs 132 of 130, 2 more than there are" in audit.first_fault.what


def test_later_rounds_are_judged_on_their_own() -> None:
    """Two slips, and what lies between them only inherits the first."""
    rounds = [
        round_text(1, ring(6), 6),
        round_text(2, [Repeat((increase(SC),))], 12),
        round_text(3, [gaps(1, times=7)], 18),
        round_text(4, [gaps(2)], 24),
        round_text(5, [gaps(3)], 30),
        round_text(6, [gaps(4)], 37),
        round_text(7, [Work(SC, None)], 36),
    ]
    audit = audit_pattern(pattern_of(rounds))
    assert [f.label for f in audit.faults] == ["Rnd 3", "Rnd 6"]
    assert "6 times" in audit.faults[0].mends[0]
    assert audit.faults[0].inherits == ("Rnd 4", "Rnd 5")
    assert "print 36 instead of 37" in audit.faults[1].mends[0]
    assert [r.standing for r in audit.rounds] == [
        "ok",
        "ok",
        "wrong",
        "inherits",
        "inherits",
        "wrong",
        "ok",
    ]
    assert audit.rounds[2].went_on_from == 18
    assert audit.rounds[3].agrees is True


def test_a_spiral_may_run_past_its_marker() -> None:
    steps = gaps(5, times=6)
    spiral = replace(of_count(35, steps, printed=42), joined=False)
    rounds = [replace(r, steps=((r.steps or ((),))[0][:1],)) for r in spiral.rounds]
    audit = audit_pattern(replace(spiral, rounds=tuple(rounds)))
    assert audit.agrees
    assert "runs 1 past the marker" in audit.rounds[1].note
    joined = audit_pattern(of_count(35, steps, printed=42))
    assert joined.first_fault is not None


def test_rows_that_turn_may_leave_stitches_unworked() -> None:
    audit = audit_pattern(of_count(40, Work(SC, 30), Turn(), printed=30))
    assert audit.agrees
    assert "turns with 10 of 40 unworked" in audit.rounds[1].note


def test_a_part_of_a_round_is_worked_over_so_many_stitches() -> None:
    steps = (Work(SC, 2), Work(HDC, 47), Work(SC, 3))
    over = round_text(2, steps, over=51)
    audit = audit_pattern(pattern_of([round_text(1, ring(102), 102), over]))
    assert (audit.rounds[1].uses, audit.rounds[1].has) == (52, 51)
    assert audit.first_fault is not None
    assert "\u201chdc in next 46 sts\u201d" in audit.first_fault.mends[0]


def test_what_was_not_read_is_not_counted_and_the_next_printed_count_taken() -> None:
    lost = Unread(HERE, "cable in every gap", '"cable" is not known')
    unread = RoundText("Rnd 2", 2, 2, HERE, lost.text, None, unread=lost)
    counted = replace(unread, label="Rnd 3", first=3, last=3, printed=((Printed(48),),))
    after = round_text(4, [gaps(7)], 54)
    pattern = pattern_of([round_text(1, ring(6), 6), unread, counted, after], unread=(lost,))
    audit = audit_pattern(pattern)
    assert [r.standing for r in audit.rounds] == ["ok", "not counted", "not counted", "ok"]
    assert audit.rounds[1].agrees is None
    assert audit.rounds[1].makes is None
    assert audit.rounds[2].went_on_from == 48
    assert (audit.rounds[3].has, audit.rounds[3].makes) == (48, 54)
    assert not audit.agrees
    assert audit.first_fault is None


def test_the_same_stitch_after_a_chain_that_does_not_count_is_the_first() -> None:
    """Numbers: "Crochet Basket with Pumpkins", craftorator.com (the round after the handles)."""
    steps = (StartChain(1), Work(SC, 1, "same"), Work(SC, 15), Work(SC, 62), Join())
    audit = audit_pattern(of_count(78, *steps))
    assert (audit.rounds[1].uses, audit.rounds[1].has, audit.rounds[1].makes) == (78, 78, 78)


# --- figures ---------------------------------------------------------------------------------

CLOSED = Into((Several(DC, 5),), 1, "space", "CS")
OPEN = Into((Several(DC, 1), Chain(1), Several(DC, 1), Chain(1), Several(DC, 1)), 1, "space", "OS")
VEE = Into((Several(DC, 1), Chain(1), Several(DC, 1)), 1, "next", "V")


def shells() -> Pattern:
    """Numbers and structure: "Helping our users. Crochet Beach Hat", craftorator.com."""

    def printed(*pairs: tuple[int, str]) -> tuple[tuple[Printed, ...], ...]:
        return (tuple(Printed(n, what) for n, what in pairs),)

    middle = [replace(step, target="middle") for step in (OPEN, CLOSED)]
    plain = [replace(step, target="next") for step in (CLOSED, OPEN)]
    rounds = [
        round_text(1, ring(12, DC), 12, what="dc"),
        round_text(2, [Repeat((increase(DC),)), Join()], 24, what="dc"),
        round_text(3, [Repeat((VEE, Skip(1))), Join()], 12, what="V"),
        replace(
            round_text(4, [Repeat((replace(VEE, target="space"), Chain(1))), Join()]),
            printed=printed((12, "V"), (12, "ch-1 sps")),
        ),
        replace(
            round_text(5, [Skip(1), Repeat((CLOSED, Skip(3), OPEN)), Join()]),
            printed=printed((6, "CS"), (6, "OS")),
        ),
        replace(
            round_text(6, [Skip(2), Repeat((middle[0], Skip(4), middle[1])), Join()]),
            printed=printed((6, "OS"), (6, "CS")),
        ),
        round_text(7, [Skip(2), Repeat((plain[0], Skip(4), plain[1])), Join()]),
        RoundText("Rounds 8-9", 8, 9, HERE, "", None, as_rounds=(6, 7)),
        round_text(10, [Work(SC, None), Join()], 60, what="sc"),
    ]
    return pattern_of(rounds, figures=("CS", "OS", "V"))


def test_shells_close_with_the_skip_that_is_implied() -> None:
    audit = audit_pattern(shells())
    assert audit.agrees, audit.faults
    assert [r.places for r in audit.rounds] == [12, 24, 36, 48, 60, 60, 60, 60, 60, 60]
    for label in ("Rnd 5", "Rnd 6", "Rnd 7"):
        (row,) = [r for r in audit.rounds if r.label == label]
        assert "implied" in row.note
    assert [r.label for r in audit.rounds[7:9]] == ["Round 8", "Round 9"]


def test_a_wrong_number_of_figures_is_a_fault() -> None:
    rounds = list(shells().rounds)
    rounds[2] = replace(rounds[2], printed=((Printed(13, "V"),),))
    audit = audit_pattern(replace(shells(), rounds=tuple(rounds)))
    assert [f.label for f in audit.faults] == ["Rnd 3"]
    assert "makes 12 V, not 13" in audit.faults[0].what


# --- bands -----------------------------------------------------------------------------------


def rib(count: int, chain: bool = True, name: Stitch = FPDC) -> Pattern:
    first: tuple[Step, ...] = (StartChain(2, DC), Work(DC)) if chain else (Work(DC, 2),)
    steps = (*first, Repeat((Work(name, 3), Work(DC, 3))), Join())
    return of_count(count, *steps, printed=count)


def test_a_first_repeat_written_out_is_part_of_the_figure() -> None:
    """``1 1 F [2 F]`` on a multiple of 3 closes, on 64 it does not."""
    steps = (StartChain(3, DC), Work(DC), Work(FPDC), Repeat((Work(DC, 2), Work(FPDC))), Join())
    assert audit_pattern(of_count(63, *steps, printed=63)).agrees
    wrong = audit_pattern(of_count(64, *steps, printed=64)).first_fault
    assert wrong is not None
    assert "3 dc stand together at the join" in wrong.what
    assert wrong.mends == ("63 or 66 sts, which close",)


@pytest.mark.parametrize("count", [36, 42, 48, 54])
def test_a_rib_that_closes_says_nothing(count: int) -> None:
    audit = audit_pattern(rib(count))
    assert audit.agrees
    assert not [f for f in audit.findings if f.about == "band"]


@pytest.mark.parametrize(
    ("count", "join"),
    [
        (40, "2 dc stand next to 2 FPdc"),
        (44, "5 dc stand together"),
        (50, "5 dc stand together"),
    ],
)
def test_a_rib_that_does_not_close_is_told_by_its_join(count: int, join: str) -> None:
    """40 and 44: "Smooth and Shiny Long Triple Interlocking Ribbed Beanie",
    gracefullymadecrochet.com; 50 is 44 and one repeat."""
    audit = audit_pattern(rib(count))
    assert audit.rounds[1].agrees is True
    assert audit.first_fault is not None
    assert f"{join} at the join" in audit.first_fault.what
    below, above = count // 6 * 6, count // 6 * 6 + 6
    assert audit.first_fault.mends == (f"{below} or {above} sts, which close",)


def test_a_rib_in_a_spiral_is_left_alone() -> None:
    pattern = rib(44)
    rounds = [replace(r, steps=tuple(s[:-1] for s in r.steps or ())) for r in pattern.rounds]
    audit = audit_pattern(replace(pattern, joined=False, rounds=tuple(rounds)))
    assert audit.agrees
