"""Whole patterns: labels, printed counts, sizes, gauges, measures, own words, and what is unread.

All texts here are our own."""

from __future__ import annotations

import pytest

from evenround.tables.rounds.pattern import Printed, Where
from evenround.tables.rounds.reader import ReadError, read_pattern
from evenround.tables.rounds.steps import (
    Bunch,
    Into,
    Repeat,
    Several,
    StartChain,
    Stitch,
    Together,
    Work,
    increase,
)

SC, HDC, DC = Stitch("sc"), Stitch("hdc"), Stitch("dc")
EVEN = ((Work(SC, None),),)
RING = "Rnd 1: 6 sc in a ring (6)\n"


@pytest.mark.parametrize(
    ("text", "first", "last"),
    [
        ("Rnd 5: sc in each st", 5, 5),
        ("RND 5. sc in each st", 5, 5),
        ("Round 5 - sc in each st", 5, 5),
        ("Row 5 \u2013 sc in each st", 5, 5),
        ("R5 sc in each st", 5, 5),
        ("R5) sc in each st", 5, 5),
        ("5) sc in each st", 5, 5),
        ("5. sc in each st", 5, 5),
        ("5th round: sc in each st", 5, 5),
        ("Fifth round: sc in each st", 5, 5),
        ("**Rnd 5:** sc in each st", 5, 5),
        ("- Rnd 5: sc in each st", 5, 5),
        ("| R5 | sc in each st |", 5, 5),
        ("Rnd 5 (RS): sc in each st", 5, 5),
        ("Sides Rnd 5: sc in each st", 5, 5),
        ("Rnds 5-9: sc in each st", 5, 9),
        ("Rounds 5 to 9: sc in each st", 5, 9),
        ("Rnds 5 through 9: sc in each st", 5, 9),
        ("R5-R9: sc in each st", 5, 9),
        ("Rnd 5 to Rnd 9: sc in each st", 5, 9),
        ("5-9) sc in each st", 5, 9),
        ("Rnds 5 & 6: sc in each st", 5, 6),
        ("5th and 6th rounds: sc in each st", 5, 6),
        ("Work rnds 5-9 even.", 5, 9),
        ("R5-R9: sc around [5 rounds]", 5, 9),
        ("Rnds 5-9: sc in each st around for 5 rounds", 5, 9),
        ("Next round: sc in each st", None, None),
        ("Next 3 rounds: sc in each st", 2, 4),
        ("Last round: sc in each st", None, None),
    ],
)
def test_labels(text: str, first: int | None, last: int | None) -> None:
    pattern = read_pattern(RING + text)
    told = pattern.rounds[1]
    assert (told.first, told.last) == (first, last)
    assert told.steps == EVEN
    assert pattern.unread == ()


@pytest.mark.parametrize(
    ("tail", "printed"),
    [
        (" (24)", (Printed(24),)),
        (" (24 sc)", (Printed(24, "sc"),)),
        (". [24 sts]", (Printed(24, "sts"),)),
        (" {24}", (Printed(24),)),
        (" - 24 sc.", (Printed(24, "sc"),)),
        (" \u2013 24 sts", (Printed(24, "sts"),)),
        (" = 24", (Printed(24),)),
        (". Join. 24 sc.", (Printed(24, "sc"),)),
        (", join (24 stitches)", (Printed(24, "sts"),)),
        (". (24 sc) Join.", (Printed(24, "sc"),)),
        (" (24 sc, 12 ch-1 sps)", (Printed(24, "sc"), Printed(12, "ch-1 sps"))),
        (" [6 shells and 6 sc]", (Printed(6, "shell"), Printed(6, "sc"))),
        (" (24 sts total)", (Printed(24, "sts"),)),
        (". You should have 24 stitches.", (Printed(24, "sts"),)),
        (" (24 sc, not counting ch 1)", (Printed(24, "sc"),)),
        (" (24). Fasten off and weave in ends.", (Printed(24),)),
        ("", ()),
    ],
)
def test_printed_counts(tail: str, printed: tuple[Printed, ...]) -> None:
    pattern = read_pattern(f"{RING}Rnd 2: sc in each st{tail}")
    assert pattern.rounds[1].printed == ((printed,) if printed else ())
    assert [s for s in (pattern.rounds[1].steps or ((),))[0] if isinstance(s, Work)] == [
        Work(SC, None)
    ]


def test_a_count_in_uk_terms_is_of_the_stitch_meant() -> None:
    pattern = read_pattern("Rnd 1: 8 htr in ring (8 htr)\nRnd 2: 2 tr in each st (16 tr)")
    assert pattern.terms == "uk" and "htr" in pattern.terms_why
    assert pattern.rounds[0].steps == ((Work(HDC, 8, "ring"),),)
    assert pattern.rounds[1].printed == ((Printed(16, "dc"),),)


@pytest.mark.parametrize(
    ("text", "terms"),
    [
        ("6 sc in ring", "us"),
        ("8 hdc in ring", "us"),
        ("8 htr in ring", "uk"),
        ("12 tr in ring, miss 1", "uk"),
        ("12 dc in ring", "us"),
    ],
)
def test_the_vocabulary_is_guessed_and_can_be_forced(text: str, terms: str) -> None:
    assert read_pattern(f"Rnd 1: {text}").terms == terms
    assert read_pattern("Rnd 1: 12 dc in ring", "uk").rounds[0].steps == ((Work(SC, 12, "ring"),),)


def test_a_round_goes_on_over_lines_and_a_label_may_stand_alone() -> None:
    text = RING + "Rnd 2: *sc in next st,\n  2 sc in next st;\nrep from * around,\njoin. (9)\n"
    pattern = read_pattern(text + "\nRound 3\nsc in each st\n(9)\n")
    second, third = pattern.rounds[1:]
    assert second.steps is not None and second.steps[0][0] == Repeat((Work(SC), increase(SC)))
    assert second.printed == ((Printed(9),),)
    assert third.steps == EVEN and third.printed == ((Printed(9),),)


def test_two_rounds_on_one_line_and_a_table_with_a_column_of_counts() -> None:
    text = "Rnd 1: 6 sc in ring (6) Rnd 2: inc around (12)\n| Rnd 3 | sc in all | 12 |"
    told = [(r.first, r.printed[0][0].number) for r in read_pattern(text).rounds]
    assert told == [(1, 6), (2, 12), (3, 12)]


def test_an_unread_word_is_told_with_line_and_column_and_the_rest_goes_on() -> None:
    second = "\nRnd 2: sc in next st,\n  frobnicate twice (12)\n"
    pattern = read_pattern(RING + second + "Rnd 3: sc around (12)")
    (unread,) = pattern.unread
    assert unread.where == Where(4, 3)
    assert "frobnicate" in unread.why
    assert pattern.rounds[1].steps is None and pattern.rounds[1].unread == unread
    assert pattern.rounds[1].printed == ((Printed(12),),)
    assert pattern.rounds[2].steps == EVEN


@pytest.mark.parametrize(
    "line",
    [
        "Repeat round 1 until you are pleased with it.",
        "Now 2 sc in wherever you like.",
        "Continue in this way for a while with rnd 1.",
    ],
)
def test_a_line_like_an_instruction_that_cannot_be_read_is_told(line: str) -> None:
    pattern = read_pattern(f"{RING}\n{line}\n")
    assert [u.where.line for u in pattern.unread] == [3]
    assert len(pattern.rounds) == 1 and pattern.measures == ()


def test_remarks_are_not_unread() -> None:
    before, after = "Materials: worsted yarn, 5 mm hook\n", "\nSew the two ends, wear your hat.\n"
    assert read_pattern(before + RING + after).unread == ()


@pytest.mark.parametrize(
    "words",
    ["as Rnd 1", "rep Rnd 1", "Repeat round 1.", "Same as round 1", "Work as for Rnd 1"],
)
def test_rounds_said_by_other_rounds(words: str) -> None:
    told = read_pattern(f"{RING}Rnds 2-4: {words} (6)").rounds[1]
    assert told.as_rounds == (1, 1) and told.printed == ((Printed(6),),)


def test_rounds_repeated_so_many_times_have_to_be_as_many_as_the_label_says() -> None:
    text = RING + "Rnd 2: sc around\nRnd 3: sc around\nRnds 4-9: Repeat rounds 2 and 3 three times"
    assert read_pattern(text).rounds[3].as_rounds == (2, 3)
    wrong = read_pattern(text.replace("4-9", "4-8")).unread
    assert len(wrong) == 1 and "6 rounds" in wrong[0].why
    ordinal = read_pattern("1st round: 6 dc in ring\n2nd to 4th rounds: As 1st round.")
    assert ordinal.rounds[1].as_rounds == (1, 1)


def test_a_round_without_a_label_is_read_and_a_list_of_abbreviations_is_none() -> None:
    pattern = read_pattern(f"{RING}\nEdging: sc in each st around (6)\n\nsc - single crochet\n")
    assert [r.label for r in pattern.rounds] == ["Rnd 1", "Edging"]
    assert pattern.rounds[1].steps == EVEN and pattern.unread == ()


def test_as_last_round_takes_its_steps() -> None:
    pattern = read_pattern(RING + "Next round: sc in each st\nNext 2 rounds: As last round.")
    assert pattern.rounds[2].steps == EVEN
    assert (pattern.rounds[2].first, pattern.rounds[2].last) == (3, 4)


SIZED = """Hat, sizes S (M, L)
Rnd 1: 8 (9, 10) sc in a ring. (8, 9, 10 sc)
Rnd 2: 2 sc in each st. 16 (18, 20) sts
Size L only
Rnd 3: *sc 9, inc* around (22)
All sizes
Rnd 4: sc in each st (16, 18, 22)
Sizes M (L) only - Rnd 5: sc in each st. 18 (22) sts
Rnd 6 (M and L only): sc in each st
"""


def test_sizes() -> None:
    pattern = read_pattern(SIZED)
    assert pattern.sizes == ("S", "M", "L") and pattern.unread == ()
    first, second, third, fourth, fifth, sixth = pattern.rounds
    assert first.steps == tuple((Work(SC, n, "ring"),) for n in (8, 9, 10))
    assert first.printed == tuple((Printed(n, "sc"),) for n in (8, 9, 10))
    assert second.steps == ((increase(SC, None),),)
    assert [p[0].number for p in second.printed] == [16, 18, 20]
    assert third.sizes == ("L",) and third.printed == ((Printed(22),),)
    assert fourth.sizes is None and [p[0].number for p in fourth.printed] == [16, 18, 22]
    assert fifth.sizes == ("M", "L") and [p[0].number for p in fifth.printed] == [18, 22]
    assert sixth.sizes == ("M", "L") and sixth.printed == ()


def test_sizes_are_told_by_the_numbers_where_no_line_names_them() -> None:
    pattern = read_pattern("Rnd 1: 8 (9, 10) sc in ring\nRnd 2: 2 sc in each st: 16 (18, 20) sts")
    assert len(pattern.sizes) == 3
    counted = read_pattern("R1: 6 sc in ring (6)\nR2: inc x 6 (12)\nR3: (sc, inc) x 6 (18)")
    assert counted.sizes == () and counted.rounds[1].steps == ((increase(SC, 6),),)


def test_a_size_the_pattern_has_not_is_unread() -> None:
    pattern = read_pattern(SIZED + "Size XL only - Rnd 7: sc in each st\n")
    assert [u.where.line for u in pattern.unread] == [10]


OWN = """Special stitches
CS = 5 dc in one place. Fan: (dc, ch 2, dc) in next st.
inc = 2 sc in the same stitch; dec = 2 sts worked as one
Knot = dc4tog in one st
Rnd 1: 12 sc in ring
Rnd 2: *CS in next st, sk 2, fan in next st, sk 2* around [2 CS, 2 fans]
Rnd 3: (inc, dec) x 3, knot in next 2 sts
"""


def test_words_a_pattern_defines() -> None:
    pattern = read_pattern(OWN)
    assert pattern.figures == ("CS", "fan") and pattern.unread == ()
    (second,) = pattern.rounds[1].steps or ()
    assert isinstance(second[0], Repeat)
    assert Into((Several(DC, 5),), 1, "next", "CS") in second[0].steps
    assert pattern.rounds[1].printed == ((Printed(2, "CS"), Printed(2, "fan")),)
    assert pattern.rounds[2].steps == (
        (Repeat((increase(SC), Together(SC)), times=3), Work(Bunch("cluster", DC, 4), 2)),
    )


def test_a_group_spelt_out_takes_the_name_its_count_gives() -> None:
    group = "*sc in next st, sk 2, 5 dc in next st, sk 2* around (2 shells, 2 sc)"
    ((repeat,),) = read_pattern(f"Rnd 1: 12 sc in ring\nRnd 2: {group}").rounds[1].steps or ()
    assert isinstance(repeat, Repeat)
    assert Into((Several(DC, 5),), 1, "next", "shell") in repeat.steps


@pytest.mark.parametrize(
    ("line", "opening"),
    [
        ("The ch 2 that opens a round is not a st.", StartChain(2)),
        ("Ch 2 at the beginning of rounds does not count as a stitch.", StartChain(2)),
        ("Starting chains do not count as stitches", StartChain(2)),
        ("ch 2 is the first hdc of its round", StartChain(2, HDC)),
        ("Beginning ch-2 counts as first hdc throughout.", StartChain(2, HDC)),
        ("The opening chain counts as a stitch", StartChain(2, HDC)),
        ("Chain 2 at the start is a hdc", StartChain(2, HDC)),
        ("Use a 5 mm hook", StartChain(2, open=True)),
    ],
)
def test_what_is_said_of_the_opening_chain(line: str, opening: StartChain) -> None:
    pattern = read_pattern(f"Hat\n{line}\n\nRnd 1: 8 hdc in ring\nRnd 2: Ch 2, hdc in each st")
    assert (pattern.rounds[1].steps or ())[0][0] == opening
    said = None if opening.open else opening.stands_for is not None
    assert pattern.chain_said == said


def test_a_saying_in_passing_holds_from_there_on() -> None:
    text = "Rnd 1: Ch 3 (counts as dc), 11 dc in ring\nRnd 2: Ch 3, dc in each st\n"
    pattern = read_pattern(text)
    assert pattern.chain_said is True
    assert (pattern.rounds[1].steps or ())[0][0] == StartChain(3, DC)


def test_a_piece_may_start_on_a_joined_chain_or_on_a_ring() -> None:
    cowl = read_pattern("Ch 104, join to form a ring without twisting.\nRnd 1: Ch 1, sc in each ch")
    assert cowl.starts == (104,) and cowl.unread == ()
    careful = "Ch 96, sl st in first ch, being careful not to twist.\nRnd 1: sc in each ch around"
    assert read_pattern(careful).starts == (96,)
    hat = read_pattern("Ch 4, join with sl st to form a ring.\nRnd 1: 8 sc in ring")
    assert hat.starts == () and hat.rounds[0].steps == ((Work(SC, 8, "ring"),),)


@pytest.mark.parametrize(
    ("line", "gauge"),
    [
        ("Gauge: 16 hdc and 10.5 rows = 10 cm", (16, 10.5, 10, HDC)),
        ('Gauge: 14 sts and 11 rnds = 4" in hdc', (14, 11, 10.16, HDC)),
        ("21 dc x 15 rows = 10x10 cm", (21, 15, 10, DC)),
        ('2" x 2" = 7 hdc x 5 rows', (7, 5, 5.08, HDC)),
        ("Tension: 18 sts to 10 cm", (18, None, 10, None)),
        ("4 inches = 14 sc and 16 rows", (14, 16, 10.16, SC)),
        ('11 dc = 4", 7 rounds of dc = 4"', (11, 7, 10.16, DC)),
        ('11 dc = 4", 3.5 rounds = 2"', (11, 7, 10.16, DC)),
    ],
)
def test_gauges(line: str, gauge: tuple[float, float | None, float, Stitch | None]) -> None:
    (found,) = read_pattern(f"Hat (US terms)\n{line}\n\n{RING}").gauges
    stitches, rounds, over, stitch = gauge
    assert found.stitches == stitches and found.stitch == stitch
    assert found.rounds == (None if rounds is None else pytest.approx(rounds))
    assert found.over_cm == pytest.approx(over)
    assert found.where == Where(2, 1)


@pytest.mark.parametrize(
    ("line", "what", "values"),
    [
        ('Measures 21" around.', "around", (53.34,)),
        ("Circumference: 56 cm", "around", (56,)),
        ("To fit a head of 54-58 cm", "head", (56,)),
        ("Head circumference 22 inches", "head", (55.88,)),
        ("8 in deep", "depth", (20.32,)),
        ("brim 6 cm", "brim", (6,)),
        ("After rnd 5 the disc is 4.5 in across", "across", (11.43,)),
        ('Sizes (small, medium): 18", 20" around', "around", (45.72, 50.8)),
    ],
)
def test_measures(line: str, what: str, values: tuple[float, ...]) -> None:
    (found,) = read_pattern(f"Hat\n{line}\n\n{RING}").measures
    assert found.what == what and found.values_cm == pytest.approx(values)
    assert found.after_round == (5 if what == "across" else None)


def test_bare_pairs_are_settled_by_the_counts_of_the_whole_pattern() -> None:
    # beside a chain two sc are plain; the counts say they are two in one
    text = "\n".join(
        ["Rnd 1: 8 sc in ring (8)", "Rnd 2: *2 sc, ch 1, sk 1* around (12)",
         "Rnd 3: *2 sc, ch 1, sk 1* around (18)"]
    )  # fmt: skip
    pattern = read_pattern(text)
    ((repeat,),) = pattern.rounds[1].steps or ()
    assert isinstance(repeat, Repeat) and repeat.steps[0] == increase(SC)
    assert len(pattern.notes) == 1 and "two in one stitch" in pattern.notes[0]
    plain = read_pattern(text.replace("(12)", "(8)").replace("(18)", "(8)"))
    assert plain.notes == ()


@pytest.mark.parametrize("text", ["", "\n\n", "A poem about wool.", "x" * 1_000_001, "\x00\x01"])
def test_what_holds_no_rounds_or_is_too_large_is_refused(text: str) -> None:
    with pytest.raises(ReadError, match=r"reads as a round|at most 1 MB"):
        read_pattern(text)
