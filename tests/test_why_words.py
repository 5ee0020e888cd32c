"""Requirements, conflicts and changes in the maker's words. Our own briefs; no outside numbers."""

from __future__ import annotations

from dataclasses import replace

import pytest
from stuck_briefs import STUCK, hat

from evenround.solver.candidate import Requirement
from evenround.solver.near import near_misses
from evenround.solver.textbook import SecondOpinion
from evenround.solver.ways import Ways
from evenround.solver.why import RequirementConflict, Why
from evenround.solver.widen import Change
from evenround.tables.brief import example_brief, plan, read_brief
from evenround.tables.plan import Plan, Unit
from evenround.tables.reasons import REQUIREMENTS
from evenround.tables.why.asked import requirement_words, span
from evenround.tables.why.changes import changes_words, hook_words
from evenround.tables.why.conflicts import (
    confirmed_words,
    conflicts_words,
    contradicted_words,
    first_conflict,
)
from evenround.tables.why.explained import explain
from evenround.tables.why.short import short_words


def planned(text: str, size: str | None = None) -> Plan:
    return plan(read_brief(text.encode(), "brief"), size)


def garden() -> Plan:
    return plan(example_brief("garden"))


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("circumference", "57.5 cm around within 1.5 cm at 19 sts per 10 cm"),
        ("repeat", "a repeat of 8 + t"),
        ("nudge", "nudges of at most 6 stitches and 5 % of the count, 3 rounds apart"),
        ("crown sectors", "4 to 24 crown sectors"),
        ("start count", "7 to 10 stitches to start with"),
        ("second rate", "a crown of one rate"),
        ("double rounds", "no double round"),
        ("repeat width", "repeats 5.20 cm wide within 10 %"),
        ("give", "0 to 24 plain stitches of give in a repeat"),
        ("edging repeat", "an edging of 3"),
        ("brim sectors", "6 to 24 brim sectors"),
        (
            "brim rhythm",
            "brim increases every 2nd round or every 3rd round or every 4th round or every 5th "
            "round",
        ),
        ("flare", "a flare of 60 degrees within 10"),
        ("firm rounds", "2 firm last rounds in the brim"),
        ("brim width", "a brim 8.5 cm wide within 0.45 cm (one round)"),
        ("rounds", "4 rounds of open fan"),
        ("depth", "a depth of 19.5 cm within 0.67 cm (one round)"),
        ("even increases", "increases that come out even"),
    ],
)
def test_a_requirement_is_told_as_the_brief_states_it(name: Requirement, words: str) -> None:
    assert requirement_words(garden(), name, "cm") == words


def test_a_slip_in_a_wished_width_is_told_with_the_nearest_repeat() -> None:
    """At 10 sts in 10 cm a repeat of 4 is 4 cm."""
    asked = planned(STUCK["wished width"])
    conflict, ways = short_words(asked, near_misses(Ways(asked.piece)), "cm")
    assert conflict.startswith(
        "Conflict: a repeat of 4 and repeats 1.00 cm wide within 10 % cannot both hold: the "
        "nearest repeat is 4 sts, 4.00 cm wide."
    )
    assert "wish a repeat 4.00 cm wide instead of 1.00 cm (40 sts, 40.0 cm)" in ways


def test_every_requirement_has_words_in_either_unit() -> None:
    flat = STUCK["edge circumference"]
    text = (
        flat.replace(
            '[[sections]]\nkind = "brim"',
            '[[sections]]\nkind = "band"\nrepeat = 4\n\n[[sections]]\nkind = "brim"',
        )
        + '\n[[sections]]\nkind = "edging"\nrepeat = 4\n'
    )
    text = text.replace("repeat = 4\n\n[[", "repeat = 4\nrepeat_width = 4\n\n[[", 1)
    units: tuple[Unit, ...] = ("cm", "in")
    for unit in units:
        words = [requirement_words(planned(text), name, unit) for name in REQUIREMENTS]
        assert all(words) and len(set(words)) == len(words)


def test_other_ways_of_stating_them() -> None:
    cowl = plan(example_brief("cowl"))
    assert requirement_words(cowl, "circumference", "cm").startswith("60.0 to 68.0 cm around")
    repeats = "repeats of 4 (rib), 3 (V-stitch), 10 (wheel) and 6 (shell edge)"
    assert requirement_words(cowl, "repeat", "cm") == repeats
    plain = planned(STUCK["nudge"])
    assert requirement_words(plain, "nudge", "cm") == "no nudge"
    assert requirement_words(plain, "part round", "cm") == "no part round"
    edge = planned(STUCK["edge circumference"])
    # 40 cm and 5 cm of brim at 80 degrees: 40 + 2 pi 5 sin 80 = 70.9
    words = requirement_words(edge, "edge circumference", "cm")
    assert words == "an edge 70.9 cm around within 0.1 cm"
    even = planned(hat(band="repeat = 7\neven_repeats = true", tolerances="depth = 0.5\nbrim = 1"))
    assert requirement_words(even, "repeat", "cm") == "a repeat of 7, an even number of times"
    assert requirement_words(even, "depth", "in") == "a depth of 5.51 in within 0.2 in"


def test_ranges() -> None:
    assert [span(8, 8), span(6, 16), span(4, None)] == ["8", "6 to 16", "4 or more"]


CHANGES = [
    (Change("circumference", None, (1.6,)), "widen the circumference's tolerance to 1.6 cm"),
    (Change("depth", None, (0.8,)), "widen the depth's tolerance to 0.8 cm"),
    (Change("brim width", None, (0.5,)), "widen the tolerance of the brim's width to 0.5 cm"),
    (
        Change("edge circumference", None, (4.0,)),
        "widen the tolerance of the edge's circumference to 4.0 cm",
    ),
    (Change("flare", None, (12.0,)), "widen the flare's tolerance to 12 degrees"),
    (Change("repeat width", None, (0.12,)), "widen the tolerance of a repeat's width to 12 %"),
    (Change("nudge", None, (8, 0.05, 3)), "allow a nudge of 8 stitches"),
    (Change("nudge", None, (8, 0.07, 3)), "allow a nudge of 8 stitches, 7 % of the count"),
    (Change("nudge", None, (6, 0.07, 3)), "allow a nudge of 7 % of the count"),
    (Change("nudge", None, (6, 0.05, 1)), "allow nudges 1 round apart"),
    (Change("nudge", None, (8, 0.05, 2)), "allow a nudge of 8 stitches, 2 rounds apart"),
    (Change("part round", 0, (1,)), "allow a part round"),
    (Change("second rate", 0, (2,)), "allow a second rate"),
    (Change("crown sectors", 0, (3, 24)), "allow 3 to 24 crown sectors"),
    (Change("start count", 0, (6, 10)), "allow 6 to 10 stitches to start with"),
    (Change("rounds", 1, (0, 9)), "allow 0 to 9 rounds of sides"),
    (Change("give", 2, (0, 30)), "allow a give of 0 to 30 plain stitches"),
    (Change("repeat", 2, (6,)), "a repeat of 6 + t instead of 8 + t"),
    (Change("brim sectors", 3, (4, 24)), "allow 4 to 24 brim sectors"),
    (Change("firm rounds", 3, (1,)), "allow a brim with only 1 firm last round"),
    (Change("firm rounds", 3, (0,)), "allow a brim with no firm last rounds"),
    (Change("brim rhythm", 3, (1, 1)), "let the brim increase every round too"),
    (Change("edging repeat", 4, (0,)), "make the edging's repeat a wish"),
]


@pytest.mark.parametrize(("change", "words"), CHANGES)
def test_a_change_in_words(change: Change, words: str) -> None:
    plan_ = garden()
    assert changes_words(plan_, (change,), "cm", plan_.piece) == words


def test_two_changes_are_joined_and_inches_rounded_up() -> None:
    plan_ = garden()
    two = (Change("circumference", None, (1.6,)), Change("part round", 0, (1,)))
    # 1.6 cm are 0.6299 in
    words = "widen the circumference's tolerance to 0.63 in and allow a part round"
    assert changes_words(plan_, two, "in", plan_.piece) == words
    cowl = plan(example_brief("cowl"))
    change = Change("rounds", 1, (3, 6))
    assert changes_words(cowl, (change,), "cm", cowl.piece) == "allow 3 to 6 rounds of V-stitch"
    change = Change("repeat", 1, (4,))
    words = changes_words(cowl, (change,), "cm", cowl.piece)
    assert words == "a repeat of 4 instead of 3 in V-stitch"


def test_a_gauge_says_whether_another_hook_gets_there() -> None:
    """Half a millimetre of hook moves a gauge by 3 to 5 % (common practice, from memory)."""
    plan_ = garden()
    change = (Change("gauge", None, (1.04,)),)
    words = changes_words(plan_, change, "cm", plan_.piece)
    assert words == (
        "a gauge of 19.0 sts x 15.0 rounds / 10 cm (4.0 % tighter, by a smaller hook: one size "
        "usually gets there)"
    )
    assert changes_words(plan_, change, "cm", plan_.piece, hooks=False).endswith("/ 10 cm")
    assert hook_words(0.96) == "4.0 % looser, by a larger hook: one size usually gets there"
    assert hook_words(0.93).endswith("by a larger hook: one size usually does not get there")
    assert hook_words(1.01).startswith("1.0 % tighter")
    assert hook_words(1.01).endswith("less than one hook size")


def conflict(text: str, *names: Requirement, unit: Unit = "cm") -> str:
    plan_ = planned(text)
    return first_conflict(plan_, names, near_misses(Ways(plan_.piece)), unit)


SEVEN = hat(head="56", depth="20", gauge="16 x 12 / 10cm", around="0.5", band="repeat = 7")


def test_a_conflict_has_the_numbers() -> None:
    """Plain division: at 16 sts per 10 cm 84 and 91 sts are 52.5 and 56.9 cm."""
    assert conflict(SEVEN, "circumference", "repeat") == (
        "Conflict: 56.0 cm around within 0.5 cm at 16 sts per 10 cm and a repeat of 7 cannot both "
        "hold: the nearest counts are 84 and 91 sts, 52.5 and 56.9 cm (3.5 cm too small and 0.9 "
        "cm too big). Give up either, and the other can be met."
    )


def test_conflicts_without_the_circumference_tell_what_else_comes_nearest() -> None:
    """Plain division: rounds of 1.25 cm make brims of 5 and 6.25 cm, never 5.5."""
    told = conflict(STUCK["brim width"], "brim width")
    assert told == (
        "Conflict: a brim 5.5 cm wide within 0.2 cm cannot be met; 40 sts come nearest (brim width "
        "5.00 cm, at least 5.30 allowed)."
    )
    told = conflict(STUCK["firm rounds"], "flare", "firm rounds", "brim width")
    assert "cannot all hold; 40 sts come nearest (brim: 0 firm last rounds, at least 4" in told
    assert told.endswith("Give up any one of them, and the rest can be met.")
    assert conflict(STUCK["brim width"], "repeat width").count("nearest") == 0


def test_further_conflicts_and_none_at_all() -> None:
    plan_, opinion = planned(SEVEN), SecondOpinion("impossible")
    pairs: list[tuple[Requirement, ...]] = [("circumference", "repeat"), ("depth", "part round")]
    found = tuple(RequirementConflict(names) for names in pairs)
    lines = conflicts_words(plan_, Why(False, found, "second opinion", opinion), (), "cm")
    assert lines[0].startswith("Conflict: 56.0 cm around")
    assert lines[1].startswith("A further conflict, whatever is done about that one: a depth of")
    none = conflicts_words(plan_, Why(False, (), "second opinion", opinion), (), "cm")
    assert len(none) == 1 and "look at what was measured, a gauge or the width of a re" in none[0]


def test_a_conflict_beside_another_has_its_numbers_too() -> None:
    """No count misses the circumference alone here, for the brim cannot be made on any. At a
    centimetre a stitch 42 and 43 lie around 42.5 cm, and of repeats of 6 42 and 48 around 44.5."""
    brim = 'flare = 30\nwidth = 6\nsector_range = [7, 7]\nrhythms = ["every second"]'
    for head, around, band, numbers in (
        ("42.5", "0.4", None, "42 and 43 sts, 42.0 and 43.0 cm (0.5 cm too small and 0.5 cm"),
        ("44.5", "0.6", "repeat = 6", "42 and 48 sts, 42.0 and 48.0 cm (2.5 cm too small and 3.5"),
    ):
        text = hat(head=head, around=around, band=band, brim=brim, edging="repeat = 11")
        brief = read_brief(text.encode(), "two conflicts")
        found = explain(brief, brief.sizes[0], seconds=10.0)
        told = conflicts_words(found.plan, found.why, found.near_misses, "cm")
        assert len(told) == 2
        assert [f"the nearest counts are {numbers}" in line for line in told] == [False, True]


def test_how_it_was_confirmed() -> None:
    sure = Why(False, (), "second opinion", SecondOpinion("impossible"))
    assert confirmed_words(sure, 2.0).startswith("Confirmed by a second opinion")
    unsure = replace(sure, confirmed_by="unconfirmed", opinion=SecondOpinion("unknown"))
    assert confirmed_words(unsure, 2.5).startswith("Not confirmed: the second opinion came to no")
    assert "within 2.5 s" in confirmed_words(unsure, 2.5)
    found = SecondOpinion("possible", (("crown", 14, 0, 108), ("nudge", 1, 108, 110)))
    lines = contradicted_words(Why(False, (), "contradicted", found))
    assert "please report it, with the brief" in lines[0]
    assert lines[1:] == [
        "crown: 14 rounds, from 0 to 108 sts",
        "nudge: 1 round, from 108 to 110 sts",
    ]
    other = contradicted_words(Why(True, (), "contradicted", SecondOpinion("impossible")))
    assert other[0].startswith("The search found a design, but the second opinion says there is")
    assert "please report it" in other[0]


def test_the_short_answer() -> None:
    plan_ = planned(SEVEN)
    lines = short_words(plan_, near_misses(Ways(plan_.piece)), "cm")
    assert lines[0].startswith("Conflict: 56.0 cm around within 0.5 cm at 16 sts per 10 cm and a")
    assert lines[1].startswith("Ways out, cheapest first: 1) a repeat of ")
    assert [f" {n}) " in lines[1] for n in (1, 2, 3, 4)] == [True, True, True, False]
    assert "widen the circumference's tolerance to 0.9 cm (91 sts, 56.9 cm)" in lines[1]
    assert short_words(garden(), (), "cm") == []
