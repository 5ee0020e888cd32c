"""Wordings that other people use for the same few things, each in a short pattern of our own,
read and counted to the end. Every count was worked by hand.
"""

from __future__ import annotations

import pytest
from wordings import assert_counted

from evenround.tables.audit import audit_pattern
from evenround.tables.rounds.pattern import Printed
from evenround.tables.rounds.reader import ReadError, read_pattern, read_steps
from evenround.tables.rounds.steps import (
    Bunch,
    EveryNth,
    Into,
    Repeat,
    Several,
    Stitch,
    Work,
    increase,
)

SC, DC = Stitch("sc"), Stitch("dc")
SIX, TWELVE = "Rnd 1: 6 sc in ring.", "Rnd 2: 2 sc in each st around."
DOUBLE = "Ch 3 counts as dc.\nRnd 1: Ch 3, 11 dc in ring. Join."
"""Twelve dc in a ring."""
FORTY = "Rnd 1: 42 sc in ring. (42)\nRnd 2: (sc in next 6 sts, 2 sc in next st) x 6. "

COUNTED: list[tuple[str, tuple[int, ...]]] = [
    # the place of the join, then every other
    (
        f"{DOUBLE}\nRnd 2: Ch 2 (does not count), 2 dc in same st as join and in each st around.",
        (12, 24),
    ),
    (
        f"{DOUBLE}\nRnd 2: Ch 2 (does not count), 2 dc in first st and in each st around.",
        (12, 24),
    ),
    # figures said by what they are made of: three times eight places
    (
        f"{SIX}\n{TWELVE}\nRnd 3: *fan of 7 dc in next st, sk 1, sc in next st, sk 1; rep from * "
        "around.",
        (6, 12, 24),
    ),
    (
        "AA = 3 dc in one st. BB = 2 dc in one st.\nRnd 1: 6 dc in ring.\nRnd 2: (AA, BB) x 3.",
        (6, 15),
    ),
    # a word for an increase, so that a bare "2 sc" is none
    (
        f"{SIX}\nRnd 2: inc around.\nRnd 3: (sc, inc) x 6.\nRnd 4: 4 sc, 2 sc, 12 sc.",
        (6, 12, 18, 18),
    ),
    (
        "inc = 2 sc in one st\nRnd 1: 36 sc in ring.\nRnd 2: 4 sc, 2 sc, 30 sc.",
        (36, 36),
    ),
    (f"{SIX}\nRnd 2: 6x inc. (12)\nRnd 3: 6 x (sc, inc) (18)", (6, 12, 18)),
    # counts
    (f"{SIX}\nRnd 2: 2 sc in each st around --12 sc--", (6, 12)),
    (f"{FORTY}(48 sts, 6 more than before)", (42, 48)),
    (f"{FORTY}[48 sts at end of rnd]", (42, 48)),
    (f"{SIX}\nRnd 2: 2 sc in each st around, for a total of 12 sts.", (6, 12)),
    (f"{SIX}\nRnd 2: 2 sc in each st around | 12 |", (6, 12)),
    ("1 | 6 sc in ring | 6\n2 | 2 sc in each st | 12\n3-4 | sc around | 12", (6, 12, 12, 12)),
    ("Rnd 1 | 6 sc in ring | 6\nRnd 2 | 2 sc in each st | 12", (6, 12)),
    # repeats
    (
        f"{SIX}\n{TWELVE}\nRnd 3: \\*sc in next st, 2 sc in next st; rep from \\* around. (18)",
        (6, 12, 18),
    ),
    (f"{SIX}\n{TWELVE}\nRnd 3: <sc, inc> x 6 (18)", (6, 12, 18)),
    (
        f"{SIX}\n{TWELVE}\nRnd 3: *sc in next st, 2 sc in the one after; rep from * around. (18)",
        (6, 12, 18),
    ),
    (
        f"{SIX}\n{TWELVE}\nRnd 3: *sc in the next st, 2 sc in the one after*, do this 6 times (18)",
        (6, 12, 18),
    ),
    # labels
    (
        "Round one: 6 sc in ring.\nRound two: 2 sc in each st.\nRounds three to five: sc around.",
        (6, 12, 12, 12, 12),
    ),
    # chains and what opens a round
    ("Rnd 1: Ch 3 (first dc made), 11 dc in ring. Join. (12)", (12,)),
    ("Rnd 1: Ch 3 for first dc, 11 dc in ring. Join. (12)", (12,)),
    (f"{DOUBLE}\nRnd 2: Ch 3, 1 dc in base of ch, 2 dc in each st around. Join. (24)", (12, 24)),
    (
        "Rnd 1: 12 dc in ring.\nRnd 2: Standing dc in next st, dc in same st, 2 dc in next 11 sts.",
        (12, 24),
    ),
    (
        "Rnd 1: 12 dc in ring. (12); change colour\nRnd 2: 2 dc in each st. (24); change colour",
        (12, 24),
    ),
]


@pytest.mark.parametrize(("text", "places"), COUNTED)
def test_a_wording_is_read_and_counted(text: str, places: tuple[int, ...]) -> None:
    assert_counted(text, places, "us")


UK: list[tuple[str, tuple[int, ...]]] = [
    (
        "Rnd 1: 6 dc in ring.\nRnd 2: *dc2inc; rep from * around.\nRnd 3: (1 dc, dc2inc) x 6",
        (6, 12, 18),
    ),
    ("Rnd 1: 12 tr in ring.\nRnd 2: *1 tr in next 2 sts, 2trinc; rep from * around.", (12, 16)),
    (
        "Rnd 1: 12 dc in ring.\nRnd 2: *1 dc in next st, 2 ch, miss 1 st; rep from * around.\n"
        "Rnd 3: 3 tr in each 2-ch sp around.",
        (12, 18, 18),
    ),
]


@pytest.mark.parametrize(("text", "places"), UK)
def test_a_uk_wording_is_read_and_counted(text: str, places: tuple[int, ...]) -> None:
    assert_counted(text, places, "uk")


@pytest.mark.parametrize(
    "tail",
    [
        "--48 sc--",
        "(48 sc, 6 more than before)",
        "[48 sc at end of rnd]",
        "for a total of 48 sc",
        "making a total of 48 sc.",
    ],
)
def test_a_count_is_taken_off_its_round(tail: str) -> None:
    (_, second) = read_pattern(f"Rnd 1: 42 sc in ring.\nRnd 2: (6 sc, inc) x 6 {tail}").rounds
    assert second.printed == ((Printed(48, "sc"),),)


def test_a_wrong_count_in_such_a_wording_is_a_fault() -> None:
    text = f"{SIX}\nRnd 2: 2 sc in each st around, for a total of 13 sts.\nRnd 3: sc around | 12 |"
    audit = audit_pattern(read_pattern(text))
    assert [fault.line for fault in audit.faults] == [2]


def test_legs_of_one_place_are_a_cluster_where_that_is_said() -> None:
    same = read_steps("dc3tog in same st as last leg")
    assert same == (Work(Bunch("cluster", DC, 3)),)
    after = read_steps("dc in next st, dc3tog in same st as last leg")
    assert after == (Work(DC), Work(Bunch("cluster", DC, 3), 1, "same"))
    with pytest.raises(ReadError, match="3 together need 3 stitches; 3 legs of one stitch are a "):
        read_steps("dc3tog in next st")


def test_the_one_after_is_the_next() -> None:
    (repeat,) = read_steps("*sc in next st, 2 sc in the one after; rep from * around")
    assert repeat == Repeat((Work(SC), increase(SC)))


@pytest.mark.parametrize(
    "text",
    [
        "increasing in every second st",
        "increasing in every other st",
        "sc around, increasing in every second st",
        "sc around, increasing in every other st",
        "sc in each st around, inc in every other st",
    ],
)
def test_an_increase_in_every_second(text: str) -> None:
    assert read_steps(text) == (EveryNth((Several(SC, 2),), 2, SC),)


def test_every_other_after_an_opened_round_is_every_one_left() -> None:
    *_, last = read_steps("ch 2, hdc in same st, 2 hdc in every other st")
    assert last == Into((Several(Stitch("hdc"), 2),), None)
