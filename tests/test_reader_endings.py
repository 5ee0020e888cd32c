"""How rounds end in the wordings of books and magazines, and rows that go back along a chain.

Common practice, no source; our own examples, counted by hand.
"""

from __future__ import annotations

import pytest

from evenround.tables.audit import audit_pattern
from evenround.tables.rounds.counter import plain_round, work_round
from evenround.tables.rounds.reader import ReadError, read_pattern, read_steps
from evenround.tables.rounds.steps import Chain, Join, Repeat, Skip, Spread, Stitch, Work

SC = Stitch("sc")
SCALLOPS = "sc in first st, *sk 2 sts, 5 dc in next st, sk 2 sts, sc in next st; rep from * around"


@pytest.mark.parametrize(
    "ending",
    [
        ", omitting last sc, join",
        ", omit the last sc on last repeat, join",
        ", ending last rep with join instead of last sc",
        ", ending with a sl st in first sc instead of sc",
        ", ending sk 2 sts, 5 dc in next st, sk 2 sts, join",
        ", end with sk 2 sts, 5 dc in next st, sk 2 sts, join",
    ],
)
def test_the_last_time_over_a_repeat_stops_short(ending: str) -> None:
    """60 = 10 times six: ten scallops of five and ten sc; the join stands for the eleventh."""
    text = "Cowl (US)\nCh 60, join to form ring.\nRnd 1: Ch 1, sc in each ch around, join. (60)\n"
    audit = audit_pattern(read_pattern(f"{text}Rnd 2: Ch 1, {SCALLOPS}{ending}. (60 sts)"))
    assert audit.agrees and not audit.notes
    assert (audit.rounds[1].uses, audit.rounds[1].places) == (60, 60)
    wrong = audit_pattern(read_pattern(f"{text}Rnd 2: Ch 1, {SCALLOPS}{ending}. (62 sts)"))
    assert [fault.label for fault in wrong.faults] == ["Rnd 2"]


@pytest.mark.parametrize(
    ("below", "text", "right"),
    [
        # six times three less the last sc
        (12, "*2 sc in next st, sc in next st; rep from * around, omitting last sc, join.", 17),
        # six times two of three places, less one
        (18, "*sc in next st, sk 1 st, sc in next st; rep from * around, omitting last sc.", 11),
        (18, "Sc in next 17 sts, leave rem sts unworked.", 17),
    ],
)
def test_a_place_left_out_at_the_end_is_no_left_over(below: int, text: str, right: int) -> None:
    before = f"Rnd 1: {below} sc in ring. ({below})\nRnd 2: {text}"
    assert audit_pattern(read_pattern(f"{before} ({right})")).agrees
    wrong = audit_pattern(read_pattern(f"{before} ({right + 1})"))
    assert [fault.label for fault in wrong.faults] == ["Rnd 2"]


def test_nothing_is_worked_behind_what_is_left_unworked() -> None:
    before = "Rnd 1: 12 sc in ring. (12)\n"
    text = f"{before}Rnd 2: Sc in next 5 sts, leave rem sts unworked, sc in next 3 sts. (8)"
    (unread,) = read_pattern(text).unread
    assert unread.why == "stitches stand behind what is left unworked"
    none = audit_pattern(read_pattern(f"{before}Rnd 2: Sc in next 12 sts, leave rem sts. (12)"))
    assert none.rounds[1].note == "says that some are left unworked, and none are"


@pytest.mark.parametrize(
    ("text", "right"),
    [
        ("(sc2tog) 6 times.", 6),
        ("(sc2tog) around.", 6),
        ("sc2tog, (sc2tog) 5 times.", 6),
        ("Sc in next 8 sts, (sc2tog) twice.", 10),
        ("(Sc in next st, sc2tog made) 4 times.", 8),
        ("Sc in next 11 sts, 2 sc in last st (inc made).", 13),
    ],
)
def test_a_bracket_with_work_in_it_is_worked(text: str, right: int) -> None:
    """On 12: brackets that are work, and one that only says what was made."""
    before = f"Rnd 1: 12 sc in ring. (12)\nRnd 2: {text}"
    assert audit_pattern(read_pattern(f"{before} ({right})")).agrees
    wrong = audit_pattern(read_pattern(f"{before} ({right + 1})"))
    assert [fault.label for fault in wrong.faults] == ["Rnd 2"]


@pytest.mark.parametrize("text", ["inc in last st made", "2 sc in last st, inc made"])
def test_a_bracket_of_work_that_is_not_understood_is_not_passed_over(text: str) -> None:
    pattern = read_pattern(
        f"Rnd 1: 12 sc in ring. (12)\nRnd 2: Sc in each st around ({text}). (12)"
    )
    assert len(pattern.unread) == 1


def test_only_the_last_stitch_of_a_repeat_is_omitted() -> None:
    for words in ("*sc in next st, ch 1; rep from * around, omitting last sc", "omitting last sc"):
        with pytest.raises(ReadError):
            read_steps(words)


def test_to_the_last_chain_is_up_to_it() -> None:
    """100 chains: 50 sc and 50 ch between them; "to last ch" works no chain itself."""
    steps = read_steps(
        "sc in first ch, *ch 1, skip 1 ch, sc in next ch; rep from * to last ch, ch 1, skip last ch"
    )
    assert steps[1:] == (
        Repeat((Chain(1), Skip(1), Work(SC)), left=1),
        Chain(1),
        Skip(1),
    )
    worked = work_round(steps, plain_round(100, "ch"))
    assert worked.comes_to(100) and worked.spaces() == 50


@pytest.mark.parametrize("left", ["last shell", "last ch-2 sp", "the last V"])
def test_up_to_the_last_figure_or_space_is_not_guessed(left: str) -> None:
    with pytest.raises(ReadError, match="not figures or spaces"):
        read_steps(f"*sc in next st, ch 2, sk next st; rep from * to {left}, join")


def test_changes_spread_over_a_round_said_to_be_in_a_stitch() -> None:
    assert read_steps("work in sc, decreasing 4 sts evenly around") == (Spread(-4, SC),)


def test_what_was_made_is_a_remark() -> None:
    assert read_steps("sc in next st (first sc made), sc in next st, join") == (
        Work(SC),
        Work(SC),
        Join(),
    )


@pytest.mark.parametrize(
    "words",
    ["sc in first ch and in each ch around", "sc in first ch, sc in next 47 ch", "sc in each ch"],
)
def test_the_first_of_many_chains_is_one_place(words: str) -> None:
    text = f"Cowl (US)\nCh 48, join to form a ring.\nRnd 1: Ch 1, {words}, join. ({{}} sc)"
    assert audit_pattern(read_pattern(text.format(48))).agrees
    assert len(audit_pattern(read_pattern(text.format(47))).faults) == 1


def test_a_first_chain_by_itself_holds_the_round() -> None:
    text = "Coaster (US)\nCh 4.\nRnd 1: 11 dc in first ch, join. (11)\nRnd 2: 2 sc in each st. (22)"
    assert audit_pattern(read_pattern(text)).agrees


# --- along a chain ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("words", "made"),
    [
        ("Ch 11, sc in 2nd ch from hook and in each ch across, turn", 10),
        ("Ch 21, sc in 2nd ch from hook, sc in each ch to end", 20),
        ("Ch 21, sc in 2nd ch from hook, sc in next 4 ch, hdc in each ch across", 20),
        (
            "Ch 11, 2 sc in 2nd ch from hook, sc in next 8 ch, 4 sc in last ch; working on "
            "opposite side of ch, sc in next 8 ch, 2 sc in same ch as first 2 sc; join",
            24,
        ),
    ],
)
def test_stitches_along_a_chain_are_counted(words: str, made: int) -> None:
    text = "Band (US)\nRow 1: {words}. ({count} sts)\nRow 2: Ch 1, sc in each st. ({made} sc)"
    right = audit_pattern(read_pattern(text.format(words=words, count=made, made=made)))
    assert right.agrees and right.rounds[0].makes == made
    wrong = audit_pattern(read_pattern(text.format(words=words, count=made + 1, made=made)))
    assert [fault.label for fault in wrong.faults] == ["Row 1"]


@pytest.mark.parametrize(
    "words",
    [
        "Sc in 2nd ch from hook and in each ch across",
        "Ch 32, dc in 4th ch from hook and in each ch across",
        "Ch 11, sc in 2nd ch from hook, *2 sc in next ch, sc in next ch; rep from * across",
        "Ch 2, sc in 2nd ch from hook and in each ch across",
    ],
)
def test_a_chain_whose_stitches_cannot_be_told_is_no_fault(words: str) -> None:
    audit = audit_pattern(
        read_pattern(f"Band (US)\nRow 1: {words}. (10 sc)\nRow 2: Ch 1, sc in each st. (10 sc)")
    )
    assert len(audit.unread) == 1 and not audit.faults
    assert audit.rounds[-1].makes == 10
