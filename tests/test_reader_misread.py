"""More wordings that other people use, of gauges, sizes, spaces, chains and terms, each in a short
text of our own. Every count was worked by hand; 1 in = 2.54 cm exactly.
"""

from __future__ import annotations

import pytest
from wordings import assert_counted

from evenround.tables.audit import audit_pattern
from evenround.tables.rounds.reader import read_pattern, read_steps
from evenround.tables.rounds.steps import Chain, Skip, StartChain, Stitch, Work

DC = Stitch("dc")
ROUNDS = "\nRnd 1: 6 sc in ring.\nRnd 2: 2 sc in each st around. (12)"
UK_ROUNDS = "\nRnd 1: 6 dc into ring.\nRnd 2: 2 dc in each st around. (12)"

GAUGES: list[tuple[str, list[tuple[float | None, float | None, float | None]]]] = [
    ("Gauge 14 dc x 7 rounds = 10 cm, to fit head 57 cm", [(14, 7, 10)]),
    ("20 dc x 24 rounds = 10 cm, to fit 40 cm", [(20, 24, 10)]),
    ("Gauge: 14 sts = 4 in, 16 rounds = 4 in, for a head of 22 in", [(14, 16, 10.16)]),
    ("Gauge: 14 sts and 16 rounds = 4 in; hat 57 cm around", [(14, 16, 10.16)]),
    ("Finished size 20 in, gauge 14 sts = 4 in", [(14, None, 10.16)]),
    # the rounds measured for themselves: 10 over 9 cm are 11.11 over 10
    ("Gauge: 20 sts = 10 cm, 10 rounds = 9 cm", [(20, 100 / 9, 10)]),
    ("19 sts x 21 rows before blocking, 17 sts x 21 rows after.", [(19, 21, None), (17, 21, None)]),
    ("Grows by 6 sts 2 of 3 rounds.", []),
]


@pytest.mark.parametrize(("text", "gauges"), GAUGES)
def test_a_gauge_is_over_its_own_length(
    text: str, gauges: list[tuple[float | None, float | None, float | None]]
) -> None:
    read = read_pattern(text + ROUNDS).gauges
    found = [(g.stitches, g.rounds, g.over_cm) for g in read]
    assert found == [pytest.approx(gauge) for gauge in gauges]


MEASURES: list[tuple[str, list[tuple[str, tuple[float, ...], int | None]]]] = [
    ("Medium/Large\nFinished 20/22 inches", [("around", (50.8, 55.88), None)]),
    ("Finished 20 1/2 inches", [("around", (52.07,), None)]),
    ("Finished 20-3/4 inches", [("around", (52.705,), None)]),
    (
        "Sizes S-M-L-XL.\nFinished 18-19.5-21-22.5 inches",
        [("around", (45.72, 49.53, 53.34, 57.15), None)],
    ),
    ("circle 18 cm across after round 10", [("across", (18,), 10)]),
    (
        "After round 8 the circle is 15 cm across. It is 18 cm across at the end of round 10.",
        [("across", (15,), 8), ("across", (18,), 10)],
    ),
]


@pytest.mark.parametrize(("text", "measures"), MEASURES)
def test_a_measure(text: str, measures: list[tuple[str, tuple[float, ...], int | None]]) -> None:
    read = read_pattern(text + ROUNDS).measures
    found = [(m.what, m.values_cm, m.after_round) for m in read]
    assert found == [(what, pytest.approx(values), after) for what, values, after in measures]


SIZES: list[tuple[str, tuple[str, ...]]] = [
    ("Ribbed watch cap in sizes XS (S, M, L), US terms", ("XS", "S", "M", "L")),
    ("Slouch in sizes S/M/L (US).", ("S", "M", "L")),
    ("Sizes newborn, 3 mo and 6 mo; worked top down", ("newborn", "3 mo", "6 mo")),
    ("Sizes: Small, Medium, and Large", ("Small", "Medium", "Large")),
    ("Sizes XS, S, M, L and XL, worked top down", ("XS", "S", "M", "L", "XL")),
    ("Sizes: baby and toddler", ("baby", "toddler")),
    ('sizes: Child 20", Teen 21", Adult 22"', ("Child", "Teen", "Adult")),
    ("Sizes: S (18 in), M (20 in), L (22 in)", ("S", "M", "L")),
    ("Sizes small (medium, large), 18 (20, 22) in", ("small", "medium", "large")),
    ("Sizes: age 2 (4, 6, 8).", ("2", "4", "6", "8")),
    ("Ages 2, 4 and 6.", ("2", "4", "6")),
    ("Two-size hat: baby [toddler].", ("baby", "toddler")),
    ("Comes in three sizes: baby, child and adult.", ("baby", "child", "adult")),
    ("For baby 0-3 months (3-6 months)", ("0-3 months", "3-6 months")),
    ("Sizes S-M-L-XL", ("S", "M", "L", "XL")),
    ("Hook sizes 4 mm and 5 mm", ()),
]


@pytest.mark.parametrize(("text", "sizes"), SIZES)
def test_the_sizes_a_pattern_names(text: str, sizes: tuple[str, ...]) -> None:
    assert read_pattern(text + ROUNDS).sizes == sizes


COUNTED: list[tuple[str, tuple[int, ...]]] = [
    # every place, stitches and spaces
    (
        "Rnd 1: 12 dc in ring.\nRnd 2: *ch 1, dc in next st; rep from * around.\n"
        "Rnd 3: dc in each ch-1 sp and dc around. (24)",
        (12, 24, 24),
    ),
    (
        "Rnd 1: 12 sc in ring.\nRnd 2: *ch 1, sc in next st; rep from * around.\n"
        "Rnd 3: sc in each ch-1 sp and each sc around. (24)",
        (12, 24, 24),
    ),
    *(
        (
            "Rnd 1: 12 sc in ring.\nRnd 2: *ch 3, sc in next st; rep from * around.\n"
            f"Rnd 3: 3 sc in each {loop} around (36)",
            (12, 48, 36),
        )
        for loop in ("loop", "lp", "arch", "ch-3 loop", "space")
    ),
    ("Rnd 1: 12 sc in magic loop (12)\nRnd 2: 2 sc in each back loop (24)", (12, 24)),
    # counts and labels
    ("Rnd 1: 9 sc in ring.\nRnd 2: 2 sc in each st (18 sts, a multiple of 9)", (9, 18)),
    ("R1 8 sc in ring (8)\nR2 (inc) x8 (16)", (8, 16)),
    (
        "Rnd 1 6 dc into ring 6 sts\nRnd 2 2 dc in each st 12 sts\n"
        "Rnd 3 *1 dc, 2 dc in next st* rep 6 times 18 sts",
        (6, 12, 18),
    ),
]


@pytest.mark.parametrize(("text", "places"), COUNTED)
def test_a_wording_is_read_and_counted(text: str, places: tuple[int, ...]) -> None:
    assert_counted(text, places, "us")


@pytest.mark.parametrize(
    ("text", "terms"),
    [
        ("Ch 5 (dc + ch 2), sk 1 st, dc in next st", "us"),
        ("5ch (counts as 1dc, 2ch), sk 1 st, dc in next st", "us"),
        ("Ch 5 = dc + ch 2, sk 1 st, dc in next st", "us"),
        ("5ch (counts as 1tr, 2ch), miss 1 st, 1tr in next st", "uk"),
    ],
)
def test_a_chain_that_counts_and_a_space(text: str, terms: str) -> None:
    steps = read_steps(text, "uk" if terms == "uk" else "us")
    assert steps == (StartChain(3, DC), Chain(2), Skip(1), Work(DC))


def test_dashes_part_the_numbers_of_the_sizes() -> None:
    text = "Sizes S (M, L, XL)\nCh 72-78-84-90, join.\nRnd 1: Ch 1, sc in each ch. (72-78-84-90)"
    pattern = read_pattern(text)
    audit = audit_pattern(pattern)
    assert pattern.starts == (72, 78, 84, 90)
    assert [row.places for row in audit.rounds] == [72, 78, 84, 90]
    assert audit.faults == ()


def test_a_chain_for_sizes_that_are_not_told_is_not_the_first() -> None:
    assert read_pattern(f"Ch 72-78-84-90, join.\nRnd 1: sc in each ch.{ROUNDS[22:]}").starts == ()


def test_both_ends_of_a_range_by_size() -> None:
    text = (
        "Sizes S (M, L).\nRnd 1: 6 sc in ring.\nRounds 2-4: sc around.\n"
        "Rounds 5 (6, 7) to 8 (9, 10): sc around."
    )
    assert read_pattern(text).rounds[-1].ranges == ((5, 8), (6, 9), (7, 10))


def test_one_size_only_and_then_both() -> None:
    text = (
        "Two-size hat: baby [toddler].\nRnd 1: 6 sc in ring.\nRnds 2-6: sc around.\n"
        "Toddler only, Rnd 7: sc around. (6)\nBoth sizes: Rnd 8: 2 sc in each st (12)"
    )
    pattern = read_pattern(text)
    assert pattern.unread == ()
    assert [r.sizes for r in pattern.rounds] == [None, None, ("toddler",), None]


@pytest.mark.parametrize(
    ("header", "terms"),
    [
        ("Hat, worked top down, UK, spiral", "uk"),
        ("Two-tone bag, UK.", "uk"),
        ("Two-tone bag (US).", "us"),
        ("Hook 5 mm (US H-8). Come with us.", "us"),
    ],
)
def test_the_terms_said_as_one_word(header: str, terms: str) -> None:
    assert read_pattern(header + UK_ROUNDS).terms == terms


def test_a_sure_word_is_stronger_than_one_in_the_header() -> None:
    assert read_pattern("Yarn: DK, UK" + ROUNDS).terms == "us"


@pytest.mark.parametrize(
    ("header", "counts"),
    [
        ("Mesh bag. 3 ch = 1 tr. Joined.", True),
        ("Bag, 3 ch = 1 tr, joined", True),
        ("Hat, top down, ch2 counts as first dc. Joined", True),
        ("Bag; joined; 3ch counts as 1tr", True),
        ("2ch at start does not count as st.", False),
    ],
)
def test_what_the_header_says_of_the_chain(header: str, counts: bool) -> None:
    assert read_pattern(header + UK_ROUNDS).chain_said is counts


def test_a_heading_names_a_figure_and_its_stitches() -> None:
    text = f"{ROUNDS.strip()}\n\nWheel, in dc, tr and tr7tog\nRnd 3: sc around."
    pattern = read_pattern(text)
    assert pattern.unread == ()
    assert pattern.rounds[-1].section == "Wheel"


def test_an_instruction_that_cannot_be_read_is_no_heading() -> None:
    pattern = read_pattern(f"{ROUNDS.strip()}\n\nWobble, in dc2tog\nflurb dc2tog evenlyish")
    assert [u.text for u in pattern.unread] == ["flurb dc2tog evenlyish"]
