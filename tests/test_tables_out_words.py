"""Counts into words: crowns, rhythms, spacing, breaches, warnings."""

from __future__ import annotations

import re
from typing import Literal, get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st
from test_tables_out_sample import garden_fit

from evenround.solver.candidate import Breach, NearMiss, Notice, Requirement
from evenround.solver.piece import Rhythm
from evenround.solver.tally import SectionTally, Tally
from evenround.tables import words
from evenround.tables.reasons import REQUIREMENTS, breach_words, mend_words, notice_words


def crown(*changes: int, sectors: int | None = None) -> Tally:
    section = SectionTally("crown", "crown", 0, changes, sectors=sectors or changes[1])
    return Tally(changes[0], (section,))


@pytest.mark.parametrize(
    ("tally", "said"),
    [
        # worked_examples 1: mamas2hands.com 2017, 8 a round to 80, then 4: 84
        (crown(*(8,) * 10, 4), "8 x 10 + 4"),
        # worked_examples 2: pattern collection on CD-ROM, 16, 32, 48, 54, 60
        (crown(16, 16, 16, 6, 6), "16 x 3, then 6 x 2"),
        # worked_examples 3: ThriftyFun tf41072356, 12 to 60, 66
        (crown(*(12,) * 5, 6), "12 x 5 + 6"),
        # worked_examples 5: scribd 877311526, 12, 24, 48, 60, 66
        (crown(12, 12, 24, 12, 6), "12 x 2, then 24 x 1, then 12 x 1 + 6"),
        (crown(10, 8, 8, 8), "10 + 8 x 3"),
        (crown(6, 6, 0, 6), "6 x 2, 1 even, then 6 x 1"),
        (crown(8, sectors=8), "8 x 1"),
    ],
)
def test_a_crown_in_short(tally: Tally, said: str) -> None:
    assert words.crown_words(tally) == said


def test_no_crown_no_words() -> None:
    assert words.crown_words(Tally(20, (SectionTally("even", "sides", 20, (0,)),))) is None


@pytest.mark.parametrize(
    ("rhythm", "said"),
    [
        (Rhythm(1, 1), "every round"),
        (Rhythm(1, 2), "every 2nd round"),
        (Rhythm(1, 3), "every 3rd round"),
        (Rhythm(1, 11), "every 11th round"),
        (Rhythm(1, 21), "every 21st round"),
        (Rhythm(2, 3), "2 of 3 rounds"),
    ],
)
def test_rhythms(rhythm: Rhythm, said: str) -> None:
    assert words.rhythm_words(rhythm) == said


@pytest.mark.parametrize(
    ("count", "change", "sectors", "said"),
    [
        (108, 0, None, "work even"),
        (8, 8, 8, "two in each stitch"),
        (8, 16, 8, "three in each stitch"),
        (72, 8, 8, "increase on 8 sectors, 8 plain between"),
        (80, 4, 8, "4 increases, 19 plain between"),
        # worked_examples 4: instructables.com, 64 sts, two increases, 31 plain before each
        (64, 2, None, "2 increases, 31 plain between"),
        (48, 15, None, "15 increases, 3 plain before 3 of them, 2 before 12"),
        (110, -2, None, "two together twice, 53 plain before each"),
        (51, -4, None, "two together 4 times, 11 plain before 3 of them, 10 before 1"),
        (64, 1, None, "1 increase, 63 plain between"),
    ],
)
def test_what_a_round_does(count: int, change: int, sectors: int | None, said: str) -> None:
    assert words.round_words(count, change, sectors) == said


@given(st.integers(4, 200), st.integers(-30, 200))
def test_every_round_has_words(count: int, change: int) -> None:
    if change < 0 and 2 * -change > count:
        return
    said = words.round_words(count, change, None)
    assert said
    assert not re.search(r"-\d", said)  # never a negative number of plain stitches


@given(st.floats(-1000, 1000), st.sampled_from(["cm", "in"]))
def test_signed_numbers_have_a_sign_or_are_nought(cm: float, unit: words.Unit) -> None:
    said = words.signed(cm, unit)
    assert said[0] in "+-" or float(said) == 0
    assert not (said.startswith("-") and float(said) == 0)


def test_names_are_made_harmless() -> None:
    assert words.clean("a\x1b[31mb\n c\t\x07d") == "a [31mb c d"


# --- requirements and warnings -----------------------------------------------------------


@pytest.mark.parametrize("requirement", get_args(Requirement))
def test_every_requirement_has_a_name_a_breach_and_a_mend(requirement: Requirement) -> None:
    breach = Breach(requirement, "the fan", 7.0, 2.0, 5.0)
    candidate = garden_fit().candidates[0]
    miss = NearMiss(112, 58.9, 1.4, 19.5, breach, candidate.tally, candidate.measures)
    assert requirement in REQUIREMENTS
    assert len(breach_words(breach, "cm")) > 10
    assert mend_words(miss, "cm").split()[0] in {"allow", "make", "another"}


@pytest.mark.parametrize(
    ("breach", "miss_cm", "broken", "mended"),
    [
        (
            Breach("circumference", "sides", 54.737, 56.0, 59.0),
            0.4,
            "sides: around 54.74 cm, at least 56.00 allowed",
            "allow circumference 2.8 cm off",
        ),
        (
            Breach("repeat width", "fan", 4.2105, 4.68, 5.72),
            1.4,
            "fan: repeat 4.21 cm, at least 4.68 allowed",
            "allow repeat width 20 % off",
        ),
        (
            Breach("flare", "brim", 48.2, 50.0, 70.0),
            0.1,
            "flare 48.2 degrees, 50 to 70 allowed",
            "allow flare 12 degrees off",
        ),
        (
            Breach("nudge", "fan", 7.0, -6.0, 6.0),
            0.1,
            "fan: a nudge of +7, up to 6 allowed",
            "allow a nudge of 7 stitches",
        ),
        (
            Breach("nudge", "fan", 2.0, 3.0, None),
            0.1,
            "fan: nudges only 2 rounds apart, at least 3 allowed",
            "allow nudges 2 rounds apart",
        ),
        (
            Breach("edging repeat", "picot", 200.0, 3.0, 3.0),
            0.1,
            "picot: 200 is no multiple of 3",
            "make the edging's repeat a wish",
        ),
        (
            Breach("brim sectors", "brim", 22.0, 6.0, 16.0),
            0.1,
            "brim: 22 sectors, 6 to 16 allowed",
            "allow 22 brim sectors",
        ),
    ],
)
def test_a_breach_and_the_change_that_mends_it(
    breach: Breach, miss_cm: float, broken: str, mended: str
) -> None:
    candidate = garden_fit().candidates[0]
    miss = NearMiss(108, 57.0, miss_cm, 19.0, breach, candidate.tally, candidate.measures)
    assert breach_words(breach, "cm") == broken
    assert mend_words(miss, "cm") == mended


@given(st.floats(0.01, 9.0), st.sampled_from(["cm", "in"]))
def test_an_allowance_is_never_rounded_below_what_it_takes(off: float, unit: words.Unit) -> None:
    breach = Breach("circumference", "sides", 57.5 + off, 57.495, 57.505)
    candidate = garden_fit().candidates[0]
    miss = NearMiss(108, 57.5 + off, off, 19.0, breach, candidate.tally, candidate.measures)
    said = re.search(r"allow circumference ([\d.]+)", mend_words(miss, unit))
    assert said is not None
    allowed = float(said[1]) * (1.0 if unit == "cm" else 2.54)
    assert off - 1e-5 <= allowed <= off + 0.13


@pytest.mark.parametrize(
    ("notice", "part"),
    [
        (Notice("fullness", "crown", 1.12, 1.05), "crown may ripple: fullness 1.12, over 1.05"),
        (Notice("fullness", "crown", 0.8, 0.95), "crown may cup: fullness 0.80, under 0.95"),
        (Notice("slope", "brim", 1.15, 1.10), "brim may ripple: grows 1.15 times as fast"),
        (Notice("slope", "brim", 1.3, 1.25, True), "brim will ripple"),
        (Notice("width step", "fan", 6.1, 5.0), "6.1 % wider or narrower"),
        (Notice("stuck brim", "brim", 92, 16), "divides 92"),
        (Notice("edging", "picot", 200, 3), "even on 200"),
        (Notice("corners", "brim", 5, 6), "5 sectors, and fewer than six"),
    ],
)
def test_warnings(notice: Notice, part: str) -> None:
    assert part in notice_words(notice)


@pytest.mark.parametrize(
    ("what", "found", "limit", "said"),
    [
        ("fullness", 1.07, 1.05, "crown may ripple: fullness 1.07, over 1.05"),
        ("fullness", 1.0504, 1.05, "crown may ripple: fullness 1.050, over 1.05"),
        (
            "fullness",
            0.96,
            0.95,
            "crown is flatter than the dome asked for: fullness 0.96, over",
        ),
        ("fullness", 0.91, 0.95, "crown may cup: fullness 0.91, under 0.95"),
        ("fullness", 0.80, 0.85, "crown is more pointed than the dome asked for: fullness 0.80, "),
        ("shape", 0.22, 0.10, "crown is off a half sphere by 0.22 of fullness on average"),
    ],
)
def test_fullness_is_warned_of_by_the_shape_asked_for(
    what: Literal["fullness", "shape"], found: float, limit: float, said: str
) -> None:
    assert notice_words(Notice(what, "crown", found, limit)).startswith(said)
