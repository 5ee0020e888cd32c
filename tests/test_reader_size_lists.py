"""Lists with a value for each size: with colons in the brackets, and in a round's own label. The
patterns are our own; every count was worked by hand.
"""

from __future__ import annotations

import pytest

from evenround.tables.audit import audit_pattern
from evenround.tables.rounds.pattern import Pattern
from evenround.tables.rounds.reader import read_pattern

HEAD = "Sizes: S (M, L)\nRnd 1: 8 (9, 10) sc in ring.\nRnds 2-4: sc around.\n"


def rows(text: str) -> dict[str, list[tuple[str, int | None]]]:
    """The rounds of each size: label and what it makes."""
    pattern = read_pattern(text)
    audit = audit_pattern(pattern)
    assert pattern.unread == () and audit.faults == ()
    return {
        size: [(row.label, row.makes) for row in audit.rounds if row.size in (size, None)]
        for size in pattern.sizes
    }


def sizes(text: str) -> tuple[str, ...]:
    return read_pattern(f"{text}\nRnd 1: 6 sc in ring").sizes


@pytest.mark.parametrize(
    ("line", "names"),
    [
        ("To fit sizes S (M: L)", ("S", "M", "L")),
        ("Sizes: S (M: L: XL)", ("S", "M", "L", "XL")),
        ("Sizes [S: M: L]", ("S", "M", "L")),
        ("Small (Medium: Large)", ("Small", "Medium", "Large")),
        ("Sizes 0-3 months (3-6 months: 6-12 months)", ("0-3 months", "3-6 months", "6-12 months")),
        ("Sizes S, M, L: all worked alike", ("S", "M", "L")),
        ("Sizes (S: 50, M: 55 cm)", ()),
    ],
)
def test_sizes_with_colons_in_the_brackets(line: str, names: tuple[str, ...]) -> None:
    assert sizes(line) == names


@pytest.mark.parametrize("mark", [":", ",", "/", ";", " :", ": "])
def test_numbers_with_any_mark_between(mark: str) -> None:
    text = (
        f"Sizes S (M: L)\nRnd 1: 8 (9{mark}10) hdc in ring. [8 (9{mark}10) sts]\n"
        f"Rnd 2: 2 hdc in each st. 16 (18{mark}20) sts"
    )
    made = {size: [count for _, count in found] for size, found in rows(text).items()}
    assert made == {"S": [8, 16], "M": [9, 18], "L": [10, 20]}


def test_a_wrong_count_of_one_size_is_its_fault() -> None:
    text = "Sizes S (M: L)\nRnd 1: 8 (9: 10) sc in ring\nRnd 2: 2 sc in each st. 16 (18: 21) sts"
    audit = audit_pattern(read_pattern(text))
    assert [(fault.size, fault.line) for fault in audit.faults] == [("L", 3)]


def numbers(text: str) -> dict[str, list[str]]:
    return {size: [label for label, _ in found][4:] for size, found in rows(text).items()}


@pytest.mark.parametrize(
    "label",
    ["Rnds 5-6 (7, 8):", "Rounds 5-6 (7: 8):", "Rnds 5-6 (5-7, 5-8):", "R5-R6 [7, 8]:"],
)
def test_each_size_has_its_own_end(label: str) -> None:
    text = f"{HEAD}{label} sc around.\nRnd 7 (8, 9): 2 sc in each st. 16 (18, 20)"
    assert numbers(text) == {
        "S": ["Rnd 5", "Rnd 6", "Rnd 7"],
        "M": ["Rnd 5", "Rnd 6", "Rnd 7", "Rnd 8"],
        "L": ["Rnd 5", "Rnd 6", "Rnd 7", "Rnd 8", "Rnd 9"],
    }


def test_a_range_in_the_brackets_is_a_range_of_its_own() -> None:
    text = (
        f"{HEAD}Rnd 5 (5, 5): sc around.\nRnds 6-7 (6-8, 6-9): sc around.\nNext 2 rnds: sc around"
    )
    last = {size: found[-1] for size, found in numbers(text).items()}
    assert last == {"S": "Rnd 9", "M": "Rnd 10", "L": "Rnd 11"}


def ranges(text: str) -> list[tuple[tuple[int, int], ...]]:
    pattern: Pattern = read_pattern(text)
    return [r.ranges for r in pattern.rounds[2:]]


def test_one_number_with_a_list_is_one_round() -> None:
    text = f"{HEAD}Rnd 5 (6, 6): sc around."
    assert ranges(text) == [((5, 5), (6, 6), (6, 6))]
    assert [len(found) for found in numbers(text).values()] == [1, 1, 1]


def test_a_number_in_brackets_too_far_off_is_no_end() -> None:
    two = "Sizes: S (M)\nRnd 1: 8 (9) sc in ring.\nRnds 2-4: sc around.\n"
    assert ranges(f"{two}Rnds 5-6 (7): sc around.") == [((5, 6), (5, 7))]
    assert ranges(f"{two}Rnds 5-6 (48): sc around.") == [()]
    assert ranges(f"{two}Rnd 5 (9): sc around.") == [()]


def test_a_lone_number_is_the_other_sizes_round_where_it_follows_that_sizes_last() -> None:
    text = (
        "Sizes: S (M)\nRnd 1: 6 sc in ring. (6)\nRnd 2: inc around. (12)\n"
        "M only - Rnd 3: sc around. (12)\nRnd 3 (4): sc around. (12)\nRnd 4 (5): sc around. (12)"
    )
    found = {size: [label for label, _ in own] for size, own in rows(text).items()}
    assert found == {
        "S": ["Rnd 1", "Rnd 2", "Rnd 3", "Rnd 4"],
        "M": ["Rnd 1", "Rnd 2", "Rnd 3", "Rnd 4", "Rnd 5"],
    }


def test_a_lone_number_that_follows_nothing_is_a_count() -> None:
    text = "Sizes: S (M)\nRnd 1: 6 sc in ring. (6)\nRnd 2 (12): inc around.\nRnd 3 (4): sc around."
    assert [r.ranges for r in read_pattern(text).rounds] == [(), (), ()]


def test_a_joined_chain_for_each_size() -> None:
    text = (
        "Sizes: S (M, L)\nRnd 1: Ch 80 (88, 96), join. Ch 1, sc in each ch around. "
        "80 (88, 96) sts\nRnd 2: sc around."
    )
    pattern = read_pattern(text)
    assert pattern.starts == (80, 88, 96)
    made = {size: [count for _, count in found] for size, found in rows(text).items()}
    assert made == {"S": [80, 80], "M": [88, 88], "L": [96, 96]}


def test_rounds_for_all_sizes_said_after_the_label() -> None:
    text = f"{HEAD}R5 for M and L: sc around.\nR6-R8 for all: sc around."
    assert [r.sizes for r in read_pattern(text).rounds[2:]] == [("M", "L"), None]
    assert {size: len(found) for size, found in numbers(text).items()} == {"S": 3, "M": 4, "L": 4}


@pytest.mark.parametrize(
    "count", ["(20, 20) hdc", "[20, 20] sts.", "(20/20) hdc, join", "20 (20) hdc", "(20, 20 hdc)"]
)
def test_a_count_for_some_sizes_only(count: str) -> None:
    pattern = read_pattern(
        "Sizes S (M, L)\nRnd 1: 10 (10, 10) hdc in ring. (10, 10, 10) hdc\n"
        f"Rnd 2 (M and L only): 2 hdc in each st to end. {count}"
    )
    assert pattern.unread == ()
    assert [[p.number for p in each] for r in pattern.rounds for each in r.printed] == [[10], [20]]


@pytest.mark.parametrize(
    "end",
    [". (24) hdc", " (24) hdc.", ", join. [24] sts", " - {24} hdc", "; (24) hdc, join. Turn."],
)
def test_a_number_in_brackets_before_what_it_counts(end: str) -> None:
    text = f"Rnd 1: 24 hdc in ring.\nRnd 2: hdc in each st around{end}"
    (printed,) = read_pattern(text).rounds[1].printed
    assert printed[0].number == 24


@pytest.mark.parametrize("end", ["in next (24) sts", "in the first (24) hdc", "to last (2) sts"])
def test_a_number_in_brackets_that_says_where_is_no_count(end: str) -> None:
    assert read_pattern(f"Rnd 1: 24 hdc in ring.\nRnd 2: hdc {end}").rounds[1].printed == ()
