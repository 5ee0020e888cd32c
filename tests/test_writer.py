"""Steps into words: single sentences, both vocabularies, and back again through the reader."""

from __future__ import annotations

import pytest

from evenround.tables.rounds.steps import (
    Bunch,
    Chain,
    EveryNth,
    Into,
    Join,
    Picot,
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
from evenround.tables.rounds.writer import write_steps

SC, HDC, DC, TR = (Stitch(name) for name in ("sc", "hdc", "dc", "tr"))
SHELL = (Several(DC, 2), Chain(1), Several(DC, 2))

SENTENCES: list[tuple[tuple[Step, ...], str, str]] = [
    (
        # the sentence of issue 3 and of trade.md ("How rounds are written")
        (StartChain(1), Repeat((increase(HDC), Work(HDC, 3))), Join()),
        "Ch 1, *2 hdc in next st, hdc in next 3 sts; rep from * around, join.",
        "Ch 1, *2 htr in next st, htr in next 3 sts; rep from * around, join.",
    ),
    ((Work(SC, 6, "ring"),), "6 sc in ring.", "6 dc in ring."),
    ((increase(SC, None),), "2 sc in each st around.", "2 dc in each st around."),
    ((Work(SC, None), Join()), "Sc in each st around, join.", "Dc in each st around, join."),
    (
        (StartChain(3, DC), Work(DC, 1, "same"), increase(DC, 4)),
        "Ch 3 (counts as dc), dc in same st, 2 dc in each of next 4 sts.",
        "Ch 3 (counts as tr), tr in same st, 2 tr in each of next 4 sts.",
    ),
    (
        (Repeat((Work(SC), Skip(2), Into(SHELL, name="shell"), Skip(2))),),
        "*Sc in next st, sk next 2 sts, (2 dc, ch 1, 2 dc) in next st, sk next 2 sts; "
        "rep from * around.",
        "*Dc in next st, miss next 2 sts, (2 tr, ch 1, 2 tr) in next st, miss next 2 sts; "
        "rep from * around.",
    ),
    (
        (Repeat((Repeat((Work(DC), Chain(1), Skip(1)), 3), Work(DC, 2)), None, 4), Work(TR, 4)),
        "*[Dc in next st, ch 1, sk next st] 3 times, dc in next 2 sts; rep from * to last 4 sts, "
        "tr in next 4 sts.",
        "*[Tr in next st, ch 1, miss next st] 3 times, tr in next 2 sts; rep from * to last 4 "
        "sts, dtr in next 4 sts.",
    ),
    (
        (Repeat((increase(SC), Work(SC, 4)), 5), Together(SC), Together(DC, 3, 2)),
        "[2 sc in next st, sc in next 4 sts] 5 times, sc2tog, dc3tog 2 times.",
        "[2 dc in next st, dc in next 4 sts] 5 times, dc2tog, tr3tog 2 times.",
    ),
    (
        (Repeat((Work(SC, 2), increase(SC)), 7, more=True), Turn()),
        "*Sc in next 2 sts, 2 sc in next st; rep from * 7 more times, turn.",
        "*Dc in next 2 sts, 2 dc in next st; rep from * 7 more times, turn.",
    ),
    (
        (Repeat((Work(Stitch("dc", post="front"), 2), Work(Stitch("dc", post="back"), 2))),),
        "*FPdc in next 2 sts, BPdc in next 2 sts; rep from * around.",
        "*FPtr in next 2 sts, BPtr in next 2 sts; rep from * around.",
    ),
    (
        (Work(Stitch("sc", loop="back"), None),),
        "Sc in back loop of each st around.",
        "Dc in back loop of each st around.",
    ),
    (
        (Repeat((Work(Bunch("puff", HDC, 3)), Chain(1), Skip(1))), Work(Stitch("sl st"))),
        "*3-hdc puff in next st, ch 1, sk next st; rep from * around, sl st in next st.",
        "*3-htr puff in next st, ch 1, miss next st; rep from * around, ss in next st.",
    ),
    (
        (EveryNth((Several(SC, 2),), 3, SC),),
        "2 sc in every 3rd st, sc in all others.",
        "2 dc in every 3rd st, dc in all others.",
    ),
    (
        (Repeat((Work(SC, 2), Picot(3))),),
        "*Sc in next 2 sts, picot; rep from * around.",
        "*Dc in next 2 sts, picot; rep from * around.",
    ),
    (
        (Work(Stitch("reverse sc"), None),),
        "Reverse sc in each st around.",
        "Reverse dc in each st around.",
    ),
]


@pytest.mark.parametrize(("steps", "us", "uk"), SENTENCES)
def test_a_sentence_in_both_terms(steps: tuple[Step, ...], us: str, uk: str) -> None:
    assert (write_steps(steps, "us"), write_steps(steps, "uk")) == (us, uk)


@pytest.mark.parametrize(
    ("unit", "words"),
    [
        ("ch", "Sc in next ch, 2 sc in each ch around."),
        ("place", "Sc in next place, 2 sc in each place around."),
    ],
)
def test_the_round_below_may_be_chains_or_mixed(unit: str, words: str) -> None:
    assert write_steps((Work(SC), increase(SC, None)), unit=unit) == words  # type: ignore[arg-type]


def test_a_space_is_called_by_its_chains_where_they_are_all_alike() -> None:
    steps = (Into(SHELL, target="space"), Work(SC, 2, "space"), Work(SC, None, "space"))
    assert write_steps(steps) == (
        "(2 dc, ch 1, 2 dc) in next ch sp, sc in next 2 ch sps, sc in each ch sp around."
    )
    assert write_steps(steps[:1], space=2) == "(2 dc, ch 1, 2 dc) in next ch-2 sp."


def test_whether_an_opening_chain_counts_is_said_unless_the_pattern_says_it() -> None:
    said = "Ch 2 (does not count as a st), dc in next st."
    assert write_steps((StartChain(2), Work(DC))) == said
    assert write_steps((StartChain(2), Work(DC)), said=True) == "Ch 2, dc in next st."
    assert write_steps((StartChain(2, open=True), Work(DC))) == "Ch 2, dc in next st."
    assert write_steps((StartChain(1), Work(DC))) == "Ch 1, dc in next st."


def test_no_steps_are_no_words() -> None:
    assert write_steps(()) == ""
