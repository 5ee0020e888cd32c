"""Rounds a brief writes itself: read, counted, and refused with the round and the column."""

from __future__ import annotations

import pytest
from helpers import CALM
from hypothesis import given
from hypothesis import strategies as st

from evenround.solver import Band, Edging
from evenround.tables.brief import BriefError, plan, read_brief
from evenround.tables.plan import Plan
from evenround.tables.rounds.counter import plain_round, work_round
from evenround.tables.rounds.figures_fit import Fitted, NoRepeatError, fitted
from evenround.tables.rounds.figures_own import OwnRoundsError, own_rounds
from evenround.tables.rounds.steps import Chain, Repeat, Skip, Stitch, Work

MESH = "*dc in next st, ch 1, sk next st; rep from * around"


def planned(section: str, kind: str = "band", top: str = 'stitch = "sc"') -> Plan:
    stitch = "dc" if 'terms = "uk"' in top else "sc"
    text = (
        f'{top}\nhead = 56\ndepth = 20\ngauge = {{ {stitch} = "20 x 22 / 10cm" }}\n'
        f'[[sections]]\nkind = "crown"\n[[sections]]\nkind = "{kind}"\n{section}\n'
    )
    return plan(read_brief(text.encode(), "b.toml"))


def band(section: str, **more: str) -> Band:
    found = planned(section, **more).piece.sections[1]
    assert isinstance(found, Band)
    return found


@pytest.mark.parametrize(
    ("texts", "counts", "over"),
    [
        ([MESH], (2, 2), 0),
        (["dc in next st, ch 1, sk next st"], (2, 2), 0),  # one repeat will do
        ([MESH, "dc in each st around"], (2, 2, 2), 0),
        (["Ch 3, *(dc, ch 1, dc) in next st, sk next 2 sts; rep from * around, join"], (3, 3), 0),
        (["*sc2tog; rep from * around"], (2, 1), 0),
        (["*dc in next st, ch 2, sk next st; rep from * around"], (2, 3), 0),
        (["2 dc in every third st"], (3, 4), 0),
        # a multiple that only all rounds together want
        (["*sc in next 3 sts, ch 1, sk next st; rep from * around", "*dc in next 6 places; "
          "rep from * around"], (12, 12, 12), 0),
        # C18: mandobugcrafts.blogspot.com, rnd 9: the opening dc and its shell before the repeat
        (["ch 3 (counts as dc), sk next 2 sts, (2 dc, ch 1, 2 dc) in next st, sk next 2 sts, "
          "*dc in next st, sk next 2 sts, (2 dc, ch 1, 2 dc) in next st, sk next 2 sts; rep from "
          "* around"],
         (6, 6), 0),
        (["dc in next st, *sk next 2 sts, 5 dc in next st, sk next 2 sts, dc in next st; rep "
          "from * around"], (6, 6), 1),
        (["*dc in next 2 sts, ch 1, sk next st; rep from * to last 4 sts, dc in next 4 sts"],
         (3, 3), 1),
    ],
)  # fmt: skip
def test_counts_come_from_the_rounds(texts: list[str], counts: tuple[int, ...], over: int) -> None:
    assert own_rounds(texts).fitted() == Fitted(counts, over)


def test_own_rounds_have_give_where_they_say_t() -> None:
    found = band(
        'work = ["sc in next st, sk next 3 sts, 9 dc in next st, sk next 3 sts, sc in next t sts", '
        '"hdc in next st, sk next st, sc in next 7 sts, sk next st, sc in next t sts"]'
    )
    assert (found.figure.counts, found.figure.give) == ((8, 10, 8), (1, 1, 1))
    assert found.give_range[1] > 0


def test_own_rounds_are_read_in_the_briefs_terms() -> None:
    uk = 'terms = "uk"\nstitch = "dc"'
    made = planned('work = ["*tr in next st, ch 1, miss next st; rep from * around"]', top=uk)
    rounds = made.section_rounds[1]
    assert rounds is not None
    assert rounds.steps()[0] == (Repeat((Work(Stitch("dc")), Chain(1), Skip(1))),)


def test_the_plan_carries_the_rounds_of_every_section() -> None:
    own, named = planned(f'work = ["{MESH}"]'), planned('figure = "eyelet"')
    plain = planned("repeat = 4")
    assert [each and each.name for each in own.section_rounds] == [None, "own rounds"]
    assert [each and each.name for each in named.section_rounds] == [None, "eyelet"]
    assert plain.section_rounds == (None, None)
    rounds = own.section_rounds[1]
    assert rounds is not None
    assert work_round(rounds.around(0, 1)[0], plain_round(112)).makes == 112


def test_own_rounds_are_open_where_they_leave_chain_spaces() -> None:
    assert band(f'work = ["{MESH}"]').openwork
    assert not band('work = ["*FPdc in next st, dc in next st; rep from * around"]').openwork
    assert not band(f'work = ["{MESH}"]\nopenwork = false').openwork


def test_stitches_outside_the_repeats_are_the_bands_remainder_and_said() -> None:
    made = planned(
        'work = ["dc in next st, *ch 1, sk next st, dc in next st; rep from * around"]',
    )
    found = made.piece.sections[1]
    assert isinstance(found, Band)
    assert found.remainder == 1
    assert "band: its own rounds want 1 stitch over whole repeats" in made.notes


def test_an_edging_of_own_rounds() -> None:
    made = planned('work = ["*sc in next 3 sts, picot; rep from * around"]', kind="edging")
    found = made.piece.sections[1]
    assert isinstance(found, Edging)
    assert found.figure.counts == (3, 3)


@pytest.mark.parametrize(
    ("section", "message"),
    [
        ('work = ["*frob in next st; rep from * around"]', r"work\.1 \(band\): .*column 2: .*frob"),
        (f'work = ["{MESH}", "*dc in nextt st; rep from * around"]', r"work\.2 \(band\): .*column"),
        ('work = ["sc in next 14 sts, [2 dc in next st] 3 times"]', "on 17 stitches only; a"),
        ('work = ["*ch 3; rep from * around"]', r"work\.1 .*on no count up to 600"),
        ('work = ["ch 3, join"]', "no stitch in it"),
        ("work = []", "found \\[\\]; a list of rounds"),
        ('work = "dc"', "found 'dc'; a list of rounds"),
        ("work = [3]", r"work\.1 \(band\): found 3; a round in words"),
        ('work = [" "]', r"work\.1 .*a round in words"),
        ('work = ["*sc in next 500 sts; rep from * around"]', "the repeat takes 500 stitches; a"),
        (f'work = ["{MESH}"]\nrepeat = 3', r"repeat \(band\): found '3'; the first round takes 2"),
        (f'work = ["{MESH}"]\nfigure = "shell"', r"figure \(band\): .*; a figure or own"),
        (f'work = ["{MESH}"]\ncounts = [2, 2]', "counts .*own rounds have its counts"),
        (f'work = ["{MESH}"]\nremainder = 1', "remainder .*found 1; .*want 0"),
        (f'work = ["{MESH}"]\ngive = 3', "give .*the repeat has none"),
        ('work = ["sc in next t sts, *ch 1, sk next st, dc in next st; rep from * around"]',
         "t stands outside the repeat"),
    ],
)  # fmt: skip
def test_what_cannot_be_read_or_does_not_repeat_is_named(section: str, message: str) -> None:
    with pytest.raises(BriefError, match=rf"b\.toml: sections\.2\.?.*{message}"):
        planned(section)


def test_too_many_and_too_long() -> None:
    with pytest.raises(BriefError, match="at most 40 rounds"):
        planned("work = [" + f'"{MESH}",' * 41 + "]")
    with pytest.raises(BriefError, match=r"work\.1 .*at most 2,000 characters"):
        planned('work = ["' + "dc in next st, " * 200 + '"]')


def test_the_round_at_fault_is_named() -> None:
    with pytest.raises(OwnRoundsError) as caught:
        own_rounds([MESH, "sc in next 6 sts, [sc in next st] 2 times"])
    assert caught.value.round == 1


def test_rounds_that_change_what_is_over_do_not_repeat() -> None:
    grown = (Repeat((Work(Stitch("dc"), 2),), None, 1), Work(Stitch("dc")), Chain(1))
    with pytest.raises(NoRepeatError, match="takes 1 stitches outside its repeats and leaves 2"):
        fitted([grown])


WORDS = [
    "dc", "2 dc", "sc", "in", "next", "st", "sts", "3", "t", "12", "*", ";", "rep from *", "around",
    ",", "(", ")", "[", "]", "ch 1", "ch-1 sp", "sk", "2 times", "99 times", "picot",
    "to last 2 sts",
    "each", "sc2tog", "join", "turn", "same", "-1", "*dc in next st, ch 1, sk next st; rep from *",
]  # fmt: skip


@CALM
@given(
    st.lists(st.lists(st.sampled_from(WORDS), max_size=12).map(" ".join), min_size=1, max_size=3)
)
def test_whatever_is_written_is_counted_or_refused(texts: list[str]) -> None:
    try:
        found = own_rounds(texts)
    except OwnRoundsError as error:
        assert 0 <= error.round < len(texts)
        assert str(error)
        return
    counts = found.counts(2)
    below = plain_round(counts[0] * 3 + found.fitted(2).over)
    for steps in found.around(2):
        worked = work_round(steps, below)
        assert worked.even
        below = worked.made


@pytest.mark.parametrize(
    "text",
    [
        "[[picot] 900 times] 900 times, *sc in next st; rep from * around",
        "*[[ch 1] 300 times] 300 times, sc in next st; rep from * around",
        "*sc in next 99999 sts; rep from * around",
    ],
)
def test_rounds_that_would_take_for_ever_are_refused(text: str) -> None:
    with pytest.raises(OwnRoundsError):
        own_rounds([text])
