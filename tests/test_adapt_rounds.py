"""The new rounds of an adapted pattern, in words. Wordings are ours."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from adapt_patterns import PLAIN_CAP, crown, example, lines, original

from evenround.solver import fit
from evenround.solver.tally import SectionTally, Tally
from evenround.tables.adapt.answer import adapted, edge_notes
from evenround.tables.adapt.ask import Changes
from evenround.tables.adapt.rewrite import new_rounds
from evenround.tables.audit import audit_pattern
from evenround.tables.brief import example_brief, plan
from evenround.tables.pattern import to_text, write_pattern
from evenround.tables.pattern.working import first_stitch, opening_chains
from evenround.tables.rounds.counter import Below, plain_round, work_round
from evenround.tables.rounds.figures import figure_names
from evenround.tables.rounds.reader import read_pattern, read_steps


def test_the_new_rounds_of_the_plain_cap() -> None:
    # worked_examples 4: 31 stitches before each of two increases
    answer = adapted(original(PLAIN_CAP), Changes(repeat="6"), "cm", 3)
    kept, nudge, rest = new_rounds(answer, answer.options[0])
    assert (kept.first, kept.last, kept.count, kept.kept) == (1, 9, 64, True)
    assert nudge.words == "*2 hdc in next st, hdc in next 31 sts; rep from * around."
    assert (nudge.first, nudge.count) == (10, 66)
    assert (rest.first, rest.last, rest.words, rest.count) == (
        11,
        20,
        "Hdc in each st around.",
        66,
    )


@pytest.mark.parametrize(
    "changes",
    [
        Changes(repeat="6"),
        Changes(repeat="9", band_only=True),
        Changes(figure="shell"),
        Changes(figure="open fan with give"),
        Changes(gauge="17 x 13 / 10cm"),
        Changes(head="57.5"),
        Changes(sectors="7"),
    ],
)
@pytest.mark.parametrize("name", ["garden", "bucket"])
def test_new_rounds_follow_one_another_and_make_their_counts(name: str, changes: Changes) -> None:
    answer = adapted(original(example(name)[0]), changes, "cm", 3)
    assert answer.options
    for option in answer.options:
        counts = option.tally.round_counts
        number, below = 0, Below(())
        for each in new_rounds(answer, option):
            assert each.first == number + 1
            number = each.last
            assert each.count == counts[each.last - 1]
            if each.kept or "own figure" in each.words:
                below = plain_round(each.count)
                continue
            for at in range(each.first, each.last + 1):
                worked = work_round(read_steps(each.words), below)
                assert (worked.even, worked.makes) == (True, counts[at - 1])
                below = worked.made
        assert number == len(counts)


def band_words(text: str, name: str) -> list[tuple[str, str]]:
    """What is said before the rounds of a band in another figure, and their words."""
    answer = adapted(original(text), Changes(figure=name), "cm", 1)
    every = new_rounds(answer, answer.options[0])
    return [(each.before, each.words) for each in every if each.section == "band"]


@pytest.mark.parametrize("name", [each for each in figure_names() if "edge" not in each])
def test_a_new_figure_is_opened_and_joined_as_the_pattern_is(name: str) -> None:
    """As `evenround write` does it, for every figure of the table; a spiral has neither."""
    text = example("garden")[0]
    assert ", join. (" in text
    joined = band_words(text, name)
    assert joined
    for _, words in joined:
        chains = opening_chains(main.name) if (main := first_stitch(read_steps(words))) else 0
        assert words.startswith(f"Ch {chains}, ") is bool(chains)
        assert words.endswith(", join.")
    made = replace(plan(example_brief("garden")), joined=False)
    spiral = to_text(write_pattern(made, fit(made.piece, best=1, near=False).candidates[0]))
    plain = band_words(spiral, name)
    assert plain and not any("join" in words or words.startswith("Ch ") for _, words in plain)


def test_where_a_new_figure_begins_is_said() -> None:
    first, second = band_words(example("bucket", "adult L")[0], "shell")[:2]
    assert first[0] == ""
    assert re.fullmatch(
        r"To begin (each of )?Rnds? [-0-9]+, slip along to the middle of the first shell\.",
        second[0],
    )


@pytest.mark.parametrize("repeat", [5, 6, 7, 9, 10, 11])
def test_the_mended_pattern_passes_the_audit(repeat: int) -> None:
    answer = adapted(original(PLAIN_CAP), Changes(repeat=str(repeat)), "cm", 6)
    assert answer.options
    for option in answer.options:
        every = new_rounds(answer, option)
        kept = [line for line in PLAIN_CAP.splitlines() if _number(line) <= every[0].last]
        new = [f"{each.label}: {each.words} ({each.count} sts)" for each in every[1:]]
        text = "\n".join([*kept, *new])
        found = audit_pattern(read_pattern(text), text=text)
        assert found.agrees
        assert [each.places for each in found.rounds] == list(option.tally.round_counts)


def _number(line: str) -> int:
    """The first round a line of the cap is for; its even rounds are never kept here."""
    found = re.match(r"Rnds? (\d+)", line)
    assert found is not None
    return int(found[1])


def test_a_round_that_was_not_understood_is_pointed_at() -> None:
    text = PLAIN_CAP.replace(
        "Rnd 6: *2 hdc in next st, hdc in next 3 sts; rep from * around. (40)",
        "Rnd 6: Wibble the frobs all about. (40)",
    )
    answer = adapted(original(text), Changes(repeat="6"), "cm", 1)
    kept = new_rounds(answer, answer.options[0])[0]
    assert (kept.last, kept.words) == (9, "as the pattern has them")
    other = adapted(original(text), Changes(sectors="8"), "cm", 1)
    assert all("Wibble" not in each.words for each in new_rounds(other, other.options[0]))


def test_another_chain_is_said_first() -> None:
    text = lines(
        ["Ch 96 and join."],
        ["Rnd 1: Sc in each ch around. (96)"],
        ["Rnds 2-3: *Sc in next st, ch 2, sk next 2 sts; rep from * around. (96)"],
    )
    answer = adapted(original(text), Changes(repeat="5"), "cm", 1)
    first = answer.options[0]
    assert (first.tally.start, first.changes[0]) == (95, "chain of 95, was 96")


@pytest.mark.parametrize("printed", ["(24)", "[20]"])
def test_a_repeat_between_two_stars_is_seen_whatever_is_printed(printed: str) -> None:
    """24 = 12 x 2; a misprinted count hides no repeat that comes out even."""
    text = lines(crown(8, 3), ["Rnds 4-5: hdc in each st around. (24)"])
    found = original(f"{text}\nRnd 6: *fpdc, bpdc* around {printed}")
    band = found.design.tally.sections[-1]
    assert (band.section, band.repeat, band.repeats) == ("band", 2, 12)
    assert not [said for said in found.unread if "was not seen" in said]


@pytest.mark.parametrize(
    ("sectors", "words"),
    [
        (9, ""),
        (8, "brim grows by 56 sts, was 63: beside the sides its edge is 4 % shorter: it hangs"),
        (6, "brim grows by 42 sts, was 63: beside the sides its edge is 13 % shorter: it hangs"),
        (12, "brim grows by 84 sts, was 63: beside the sides its edge is 13 % longer: it spreads"),
    ],
)
def test_an_edge_that_changes_more_than_the_sides_is_said(sectors: int, words: str) -> None:
    # our own sun hat: 99 in the sides, 162 at the edge
    def hat(count: int, adds: int) -> Tally:
        crown = SectionTally("crown", "crown", 0, (*[9] * 10, count - 90), sectors=9)
        even = SectionTally("even", "sides", count, (0,) * 9)
        return Tally(9, (crown, even, SectionTally("brim", "brim", count, (adds, 0) * 7)))

    said = " ".join(edge_notes(hat(99, 9), hat(96, sectors)))
    assert said.removesuffix(" steeper").removesuffix(" more") == words
