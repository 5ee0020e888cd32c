"""One instruction read: every construct in several wordings, in both vocabularies, and what
cannot be read refused with its column. The wordings are our own, in the trade's usual words."""

from __future__ import annotations

import pytest

from evenround.tables.rounds.reader import ReadError, read_steps, settle_chain
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

SC, HDC, DC, SLIP = Stitch("sc"), Stitch("hdc"), Stitch("dc"), Stitch("sl st")
INC = increase(SC)
VEE = (Several(DC), Chain(1), Several(DC))
SIX = Repeat((Work(SC, 3), INC), times=6)


def round_of(*steps: Step, **how: int | bool | None) -> tuple[Step, ...]:
    return (Repeat(steps, **how),)  # type: ignore[arg-type]


READINGS: list[tuple[tuple[Step, ...], list[str]]] = [
    (
        (increase(HDC),),
        ["2 hdc in next st", "2hdc in the next stitch", "Two hdc into next st.", "hdc inc"],
    ),
    (
        (increase(HDC, None),),
        [
            "2 hdc in each st around",
            "2 hdc in every stitch",
            "2 hdc in every hdc of previous round",
            "work 2 hdc in each stitch to the end of the round",
        ],
    ),
    (
        (Work(DC, 15),),
        [
            "dc in each of next 15 dc",
            "1 dc in next 15 st",
            "dc in the next 15 sts",
            "dc 15",
            "15 dc",
            "15dc",
            "dc x 15",
            "dc 15 times",
            "dc in next 15",
        ],
    ),
    (
        (Work(SC, None),),
        [
            "sc around",
            "sc in each st around",
            "1 sc in every st",
            "sc in all",
            "sc",
            "single crochet in each stitch around",
            "sc in every dc and ch-1 sp",
            "sc in each dc and in each ch-1 sp around",
            "sc in each dc and 2 sc in each ch-2 sp around",
            "Sc in each st around (do not join)",
        ],
    ),
    ((Work(SC, 6, "ring"),), [
        "6 sc in a ring",
        "6 sc in magic ring",
        "Make an adjustable ring, 6 sc in ring",
        "Start with 6 sc in an adjustable ring",
        "MR, 6 sc",
        "6 sc in the first ch",
        "make a magic loop and work 6 sc into it",
    ]),
    ((StartChain(2), Work(SC, 6, "ring")), ["Ch 2, 6 sc in 2nd ch from hook"]),
    (
        round_of(Work(SC, 3), INC),
        [
            "*sc in next 3 sts, 2 sc in next st; rep from * around",
            "*Sc in next 3 sts, 2 sc in next st. Rep from * to end.",
            "*sc 3, inc* all round",
            "*sc 3, inc*. All round",
            "(sc 3, inc) around",
            "(3 sc, inc)* to the end",
            "{sc in next 3 st, 2 sc in next st} to the end",
            "[1 sc in each of next 3 sts, 2 sc in next st] repeat to end of round",
            "*sc in next 3 sts, 2 sc in next st* repeat from * to * around",
            "*sc in next 3, 2 sc in next*",
            "sc 3, inc, repeat around",
        ],
    ),
    (
        (SIX,),
        [
            "(sc 3, inc) x 6",
            "[sc in next 3 sts, 2 sc in next st] 6 times",
            "*sc 3, inc* six times",
            "6 x (sc 3, inc)",
            "(3 sc, inc) * 6",
            "*sc 3, inc; rep from * 6 times in all",
        ],
    ),
    (
        (Repeat((Work(SC, 3), INC), times=6, more=None),),
        [
            "[sc in next 3 sts, 2 sc in next st] Repeat 6 times",
            "sc 3, inc, then repeat six times",
            "*sc 3, inc; rep from * 6 times",
        ],
    ),
    (
        (Repeat((Work(SC, 3), INC), times=5, more=True),),
        [
            "*sc 3, inc; rep from * 5 more times",
            "*sc 3, inc.* Work * to * 5 more times",
            "*sc 3, inc; repeat from * 5 times more",
        ],
    ),
    (
        (Repeat((Work(SC, 3), INC), left=2), Work(SC, 2)),
        [
            "*sc 3, inc; rep from * to last 2 sts, sc in last 2 sts",
            "*sc in next 3 sts, 2 sc in next st* until 2 sts remain, sc 2",
        ],
    ),
    (
        (Repeat((Work(SC),), left=1), INC),
        ["sc in each st to last st, 2 sc in last st", "sc in each st around, 2 sc in last st"],
    ),
    (
        round_of(Repeat((Work(SC), INC), times=2), Work(SC, 4), times=3),
        ["((sc, inc) x 2, sc 4) x 3", "[(sc, inc) twice, sc 4] 3 times"],
    ),
    (
        round_of(Work(SC, 2), Repeat((INC, Work(SC)), times=2, more=True)),
        ["*sc 2, **inc, sc; rep from ** 2 more times; rep from * around"],
    ),
    (
        (EveryNth((Several(SC, 2),), 3, SC),),
        [
            "2 sc in every third st",
            "2 sc in every 3rd st, sc in all others",
            "sc around, 2 sc in every third st",
        ],
    ),
    (
        (EveryNth((Several(HDC, 2),), 2, HDC),),
        ["2 hdc in every other st around", "2 hdc in each other st", "2 hdc in every second st"],
    ),
    (
        (Work(HDC, 1), increase(HDC, None)),
        ["hdc in next st, 2 hdc in every other st", "hdc in first st, 2 hdc in all others"],
    ),
    (
        (Work(DC, 50), Work(HDC, None)),
        ["dc in next 50, hdc in all the others", "dc 50, hdc in each remaining st"],
    ),
    ((Work(SC, None), Work(SC, 1, "same")), ["SC all the way and 1 SC more"]),
    ((Together(SC),), ["sc2tog", "dec", "sc2tog over next 2 sts", "sc next 2 sts together"]),
    ((Together(DC, 3),), ["dc3tog", "dc 3 tog", "dc3tog over next 3 sts"]),
    ((Together(SC, 2, 6),), ["sc2tog 6 times", "dec x 6", "6 dec"]),
    ((Work(Stitch("dc", post="front"), 3),), [
        "FPdc in next 3 st",
        "fpdc around next 3 sts",
        "front post dc around next 3 dc",
        "FPdc 3",
        "dc around the front post of next 3 sts",
    ]),
    ((Work(Stitch("sc", loop="back"), None),), [
        "sc in BL of every st",
        "SC into the back loop",
        "sc in blo around",
        "In blo, sc in every st",
        "BLO sc in each st around",
        "Working in back loops only, sc in each st around",
        "sc in back loop only of each st around",
        "sc in each st around, working in back loops",
    ]),
    ((Into(VEE, 1, "next", "V"),), ["V in next st", "V-st", "v-stitch in next stitch"]),
    ((Into(VEE),), ["(dc, ch 1, dc) in next st", "(dc, ch 1, dc) in one st"]),
    ((Into(VEE, None, "space", "V"),), ["V in each ch sp", "V-st in every ch-1 sp around"]),
    ((Into((Several(DC, 3),), 1, "space"),), ["3 dc in next ch-1 sp", "3 dc in ch sp"]),
    ((Into((Several(DC, 5),), 1, "middle"),), ["5 dc in the middle of next shell",
                                                "5 dc in next shell"]),
    ((Work(Bunch("bobble", DC, 5), 1),), ["bobble in next st", "5-dc bobble in next st"]),
    ((Work(Bunch("cluster", DC, 3), 1),), ["cluster in next st", "3-dc cluster in next st"]),
    ((Work(Bunch("puff", HDC, 3), 1), Chain(1)), ["puff in next st, ch 1", "puff st, ch 1"]),
    ((Work(SC, 3), Picot(3)), [
        "sc in next 3 sts, picot",
        "sc 3, ch-3 picot",
        "sc 3, ch 3, sl st in 3rd ch from hook",
        "sc 3, ch 3, sl st in first ch",
    ]),
    ((Skip(2), Work(SC)), ["sk 2, sc in next st", "skip next 2 sts, sc", "sk next 2 dc, 1 sc"]),
    ((StartChain(3, DC), Work(DC, 1, "same"), Join()), [
        "Ch 3 (counts as dc), dc in same st, join",
        "ch 3 (counts as first dc, here and throughout), dc in same place, sl st in top of ch 3",
        "Ch 3 (stands for a dc here and below), dc in same st, join with sl st to top of ch 3",
        "ch 3 (a dc), dc in the same stitch, sl st to ch 3",
    ]),
    ((StartChain(3, DC), Chain(1), Skip(1), Work(DC)), [
        "ch 4 (counts as dc and ch 1), sk 1, dc in next st",
        "Ch 4 (counts as dc, ch 1), skip next st, dc in next",
    ]),
    ((StartChain(2), Work(HDC, 1), Work(HDC, None)), [
        "Ch 2 (does not count as a st), hdc in same st, hdc in each st around",
        "ch 2 (no st), hdc in same st and in each st around",
    ]),
    ((StartChain(2, open=True), Work(HDC, 1, "same"), increase(HDC, None)), [
        "ch 2, hdc in same st, 2 hdc in all others",
        "Ch 2, hdc in same st, 2 hdc in every other st",
    ]),
    ((StartChain(1), Work(SC, 1), Work(SC, 15)), [
        "Ch 1, sc in same st. Sc in next 15 sc",
        "Ch 1, sc in same st and in 15 more",
    ]),
    ((StartChain(1), Turn(), Work(SC, None)), ["ch 1, turn, sc in each st across"]),
    ((Work(SC, 2), Chain(17), Skip(14), Work(SC, None)), [
        "sc in next 2 sts, ch 17, sk next 14 sc, sc in each remaining st",
    ]),
    ((Work(SLIP, 1, "space"), StartChain(3, open=True), Work(DC, 2, "same")), [
        "sl st into ch-1 sp, ch 3, 2 dc in same sp",
    ]),
    ((Work(SLIP), Work(SC), Work(SLIP)), ["sl st, 1 sc, sl st"]),
]  # fmt: skip


@pytest.mark.parametrize(
    ("steps", "text"), [(steps, text) for steps, texts in READINGS for text in texts]
)
def test_reads(steps: tuple[Step, ...], text: str) -> None:
    assert read_steps(text, "us") == steps


UK: list[tuple[str, str]] = [
    ("dc in each st around", "sc in each st around"),
    ("*htr in next st, 2 htr in next st; rep from * to end", "*hdc, 2 hdc in next st* to end"),
    ("3 ch (counts as 1 tr), 1 tr in same place, 2 tr in each tr to end, ss to top of 3 ch",
     "ch 3 (counts as dc), dc in same st, 2 dc in each dc to end, join"),
    ("miss 2 sts, 1 dc in next st", "sk 2 sts, sc in next st"),
    ("dc2tog over next 2 sts, dtr in next 4 sts", "sc2tog, tr in next 4 sts"),
    ("double treble crochet in next st, treble in next 2 sts", "tr in next st, dc in next 2 sts"),
    ("*fptr, bptr* around", "*FPdc, BPdc* around"),
]  # fmt: skip


@pytest.mark.parametrize(("uk", "us"), UK)
def test_uk_terms_mean_the_same_stitches(uk: str, us: str) -> None:
    assert read_steps(uk, "uk") == read_steps(us, "us")


def test_a_bare_pair_is_an_increase_beside_plain_stitches_of_its_kind() -> None:
    assert read_steps("*2 hdc, hdc 2* to end") == round_of(increase(HDC), Work(HDC, 2))
    assert read_steps("*1 dc, 1 dc, 2 dc*. All round") == round_of(Work(DC), Work(DC), increase(DC))
    assert read_steps("*2 sc* to end") == round_of(INC)


def test_a_bare_pair_is_plain_beside_a_word_for_an_increase_or_a_chain() -> None:
    assert read_steps("*2dc, inc* to the end") == round_of(Work(DC, 2), increase(DC))
    assert read_steps("*2 dc, ch 1, sk 1* to end") == round_of(Work(DC, 2), Chain(1), Skip(1))
    assert read_steps("(2 sc, dec) x 6") == round_of(Work(SC, 2), Together(SC), times=6)


def test_an_open_chain_is_settled_either_way() -> None:
    steps = read_steps("ch 2, hdc in same st, hdc in each st around")
    counted = settle_chain(steps, True)
    assert counted == (StartChain(2, HDC), Work(HDC, 1, "same"), Work(HDC, None))
    assert settle_chain(steps, False) == (StartChain(2), Work(HDC, 1), Work(HDC, None))


REFUSED = [
    ("sc in next st, frob", 16, "frob"),
    ("sc in each st, 2 sc in each ch-1 sp", 16, "told apart"),
    ("sc in each st around, sc in next 3 sts", 1, "before the round is over"),
    ("(sc 3, inc)", 1, "how often"),
    ("*sc 3, inc", 1, "what is repeated"),
    ("sc 3, rep from * around", 7, "repeat from"),
    ("sc 2, inc 1 around", 7, "from where"),
    ("sc in next 3 sts, 2 sc in next, around", 33, "from where"),
    ("(sc 3, inc) x 0", 1, "no times"),
    ("0 sc", 1, "none"),
    ("99999999999 sc", 1, "100,000"),
    ("ch 123456, sc", 4, "100,000"),
    ("(" * 21 + "sc" + ")" * 21, 21, "deep"),
    ("sc)", 3, "fit"),
    ("(sc", 4, "short"),
    ("2 sc in", 6, "which stitch"),
    ("sk each st", 1, "how many"),
    ("dc3tog over next 4 sts", 1, "divide"),
    ("", 1, ""),
    ("sc in each st until it is long enough", 15, "until"),
]


@pytest.mark.parametrize(("text", "column", "why"), REFUSED)
def test_what_is_not_understood_is_refused_with_its_column(
    text: str, column: int, why: str
) -> None:
    with pytest.raises(ReadError) as refused:
        read_steps(text)
    assert refused.value.column == column
    assert why in str(refused.value)


def test_a_us_word_is_none_in_uk_terms() -> None:
    with pytest.raises(ReadError, match='"sc"'):
        read_steps("sc in next st", "uk")
