"""What a written pattern does, as inferred, and its new rounds in words. Wordings are ours."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

import pytest

from evenround.solver import fit
from evenround.solver.adapt import main_sections
from evenround.solver.adapt_search import side_count
from evenround.solver.recount import recount
from evenround.solver.suits import Multiple
from evenround.solver.tally import SectionTally, Tally
from evenround.tables.adapt.answer import adapted, edge_notes
from evenround.tables.adapt.ask import AskError, Changes
from evenround.tables.adapt.infer import NothingReadError, original_of
from evenround.tables.adapt.original import Original
from evenround.tables.adapt.rewrite import new_rounds
from evenround.tables.audit import audit_pattern
from evenround.tables.brief import example_brief, plan
from evenround.tables.pattern import to_text, write_pattern
from evenround.tables.pattern.working import first_stitch, opening_chains
from evenround.tables.rounds.counter import Below, plain_round, work_round
from evenround.tables.rounds.figures import figure_names
from evenround.tables.rounds.reader import read_pattern, read_steps


def crown(sectors: int, rounds: int, first: int = 1, stitch: str = "hdc") -> Iterator[str]:
    """A disc of so many rounds in words."""
    yield f"Rnd {first}: {sectors} {stitch} in a ring. ({sectors})"
    yield f"Rnd {first + 1}: 2 {stitch} in each st around. ({2 * sectors})"
    for at in range(2, rounds):
        plain = f"{stitch} in next {at - 1} sts" if at > 2 else f"{stitch} in next st"
        yield (
            f"Rnd {first + at}: *2 {stitch} in next st, {plain}; rep from * around. "
            f"({sectors * (at + 1)})"
        )


def lines(*parts: Sequence[str] | Iterator[str]) -> str:
    return "\n".join(line for part in parts for line in part)


# worked_examples 4: instructables.com hat, its counts in our words
PLAIN_CAP = lines(
    ["Rnd 1: 4 sc in a ring. (4)", "Rnd 2: 2 hdc in each st around. (8)"],
    ["Rnd 3: 2 hdc in each st around. (16)"],
    (
        f"Rnd {k + 3}: *2 hdc in next st, hdc in next {k} st{'s' * (k > 1)}; rep from * around. "
        f"({8 * (k + 2)})"
        for k in range(1, 7)
    ),
    ["Rnds 10-20: Hdc in each st around. (64)"],
)


def original(text: str, size: str | None = None) -> Original:
    return original_of(read_pattern(text), "ours", size)


def example(name: str, size: str | None = None, rank: int = 1) -> tuple[str, list[int]]:
    """A built-in example as a written pattern, and its counts."""
    made = plan(example_brief(name), size)
    candidate = fit(made.piece, best=rank, near=False).candidates[rank - 1]
    return to_text(write_pattern(made, candidate)), list(candidate.tally.round_counts)


# --- inferences -------------------------------------------------------------------------------


def test_a_plain_cap() -> None:
    found = original(PLAIN_CAP)
    assert found.inferred == (
        "crown (hdc): 4 x 2, then 8 x 7, stops rnd 9, rnds 1-9",
        "even rounds (hdc): 64 sts, rnds 10-20",
    )
    assert found.unsaid[0].startswith("the gauge;")
    assert found.complete and found.unread == () and found.gauge is None


@pytest.mark.parametrize(
    ("name", "size", "kinds"),
    [
        ("garden", None, ["crown", "even", "band", "brim", "edging"]),
        ("bucket", "adult L", ["crown", "even", "band", "brim", "edging"]),
        ("bucket", "6-12 months", ["crown", "even", "band", "brim", "edging"]),
    ],
)
def test_our_own_patterns_are_inferred_as_they_were_made(
    name: str, size: str | None, kinds: list[str]
) -> None:
    text, counts = example(name, size)
    made = plan(example_brief(name), size)
    candidate = fit(made.piece, best=1, near=False).candidates[0]
    found = original(text)
    tally = found.design.tally
    assert list(tally.round_counts) == counts
    assert recount(tally) == tally.round_counts
    assert [s.section for s in main_sections(tally)] == kinds
    pairs = zip(main_sections(candidate.tally), main_sections(tally), strict=True)
    for was, now in pairs:
        assert (was.count_in, was.changes) == (now.count_in, now.changes)
        assert (was.repeat, was.repeats) == (now.repeat, now.repeats)
    assert found.head_cm == pytest.approx(made.head_cm)
    assert found.gauge is not None
    assert found.gauge.width_cm == pytest.approx(made.piece.sections[1].gauge.width_cm)


def test_a_nudge_is_told_from_a_crown() -> None:
    text, _ = example("garden")
    assert "nudge: 2 fewer, rnd 15" in original(text).inferred


def test_a_band_whose_repeat_changes_the_count() -> None:
    text = lines(
        crown(6, 8, stitch="sc"),
        ["Rnd 9: *Sk 2 sts, (3 dc, ch 1, 3 dc) in next st, sk 1 st; rep from * around. (84)"],
    )
    band = main_sections(original(text).design.tally)[1]
    assert (band.repeat, band.repeats, band.per_repeat) == (4, 12, (4, 7))


def test_a_wrong_round_is_said_and_the_printed_count_taken() -> None:
    text = PLAIN_CAP.replace(
        "hdc in next 5 sts; rep from * around. (56)", "hdc in next 4 sts; rep from * around. (56)"
    )
    assert text != PLAIN_CAP
    found = original(text)
    assert any("does not come out as printed" in line for line in found.unread)
    assert side_count(found.design.tally) == 64


def test_a_round_in_the_crown_that_is_not_understood_stays() -> None:
    text = PLAIN_CAP.replace(
        "Rnd 6: *2 hdc in next st, hdc in next 3 sts; rep from * around. (40)",
        "Rnd 6: Wibble the frobs all about. (40)",
    )
    assert text != PLAIN_CAP
    found = original(text)
    assert not found.complete
    assert found.design.fixed == 6
    assert any("was not understood" in line and "kept as it is" in line for line in found.unread)
    answer = adapted(found, Changes(repeat="7"), "cm", 8)
    assert answer.options
    for option in answer.options:
        assert option.tally.crown is not None
        assert option.tally.crown.counts[:6] == (4, 8, 16, 24, 32, 40)


def test_nothing_is_adapted_below_what_was_not_understood() -> None:
    text = lines(
        PLAIN_CAP.splitlines(),
        ["Rnd 21: Wibble the frobs all about. (64)", "Rnd 22: Hdc in each st around. (64)"],
    )
    found = original(text)
    assert not found.complete
    assert len(found.design.tally.round_counts) == 20
    assert any("left out, and all after it" in line for line in found.unread)


def test_a_figure_whose_repeat_was_not_seen_ends_the_design() -> None:
    # case C08's kind: a mesh that no reading brings to its printed count
    text = lines(
        crown(8, 7),
        ["Rnd 8: Hdc in each st around. (56)"],
        ["Rnd 9: Ch 4, *sk next st, dc in next st, ch 2; rep from * around. (74)"],
    )
    found = original(text)
    assert not found.complete
    assert [s.section for s in main_sections(found.design.tally)] == ["crown", "even"]


def test_nothing_understood_is_an_error() -> None:
    with pytest.raises(NothingReadError):
        original("Rnd 1: Wibble the frobs.\nRnd 2: Frob the wibbles.")


def test_sizes_by_name() -> None:
    text = (
        "Sizes S (M, L)\n"
        "Rnd 1: 6 (7, 8) sc in a ring. 6 (7, 8) sts.\n"
        "Rnd 2: 2 sc in each st around. 12 (14, 16) sts.\n"
        "Rnds 3-6: Sc in each st around. 12 (14, 16) sts.\n"
    )
    assert side_count(original(text, "m").design.tally) == 14
    with pytest.raises(ValueError, match="the pattern's sizes are: S, M, L"):
        original(text, "XL")


# --- what is asked ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        (Changes(repeat="x"), "--repeat: found 'x'; a repeat is"),
        (Changes(figure="nothing"), "--figure: found 'nothing'; the figures are"),
        (Changes(figure="shell", repeat="7"), "--repeat: found 7 beside --figure shell"),
        (Changes(head="57"), "--head: the pattern says no gauge"),
        (Changes(ease="1"), "--ease: the pattern says no gauge"),
        (Changes(gauge="16", head="57"), "--gauge: found '16'; say what it is over"),
        (Changes(gauge="16/10cm", head="x"), "--head: found 'x'; a length is"),
        (Changes(gauge="16/10cm", ease="1"), "--ease: the pattern says no head"),
        (Changes(gauge="16/10cm", head="900"), "--head: 900.0 cm with an ease of 0.0 cm is no"),
        (Changes(sectors="3"), "--sectors: found '3'; a number from 4 to 24"),
        (Changes(sectors="8", band_only=True), "--band-only: needs a --repeat or --figure"),
    ],
)
def test_what_cannot_be_met_is_said(changes: Changes, message: str) -> None:
    with pytest.raises(AskError) as caught:
        adapted(original(PLAIN_CAP), changes, "cm", 3)
    assert str(caught.value).startswith(message)


def test_a_head_with_a_gauge_aims_at_the_circumference() -> None:
    answer = adapted(
        original(PLAIN_CAP), Changes(head="54", ease="-2", gauge="13 x 10 / 10cm"), "cm", 4
    )
    assert answer.request.around_cm == pytest.approx(52)
    for option in answer.options:
        assert abs(side_count(option.tally) * 10 / 13 - 52) <= 1.5 + 1e-9
    assert side_count(answer.options[0].tally) == 68


def test_a_nudge_right_below_the_crown_is_not_added_again() -> None:
    answer = adapted(original(example("garden")[0]), Changes(head="53"), "cm", 6)
    around = answer.request.around_cm
    assert around == pytest.approx(53 + 0.9), "the pattern: 57.9 cm around for a head of 57"
    assert answer.options
    for option in answer.options:
        for section in main_sections(option.tally)[1:3]:
            assert abs(section.count_in * 10 / 19 - 53.9) <= 1.5 + 1e-9


def test_other_sectors_are_never_the_old_ones() -> None:
    answer = adapted(original(example("garden")[0]), Changes(sectors="10"), "cm", 4)
    assert answer.options
    for option in answer.options:
        assert option.tally.crown is not None and option.tally.crown.sectors == 10


def test_no_repeat_within_the_tolerance_is_said() -> None:
    # 54.9 cm at 19 sts: from 102 to 107 no multiple of 10
    answer = adapted(original(example("garden")[0]), Changes(head="54"), "cm", 6)
    assert answer.options == ()
    assert {side_count(each.tally) for each in answer.near} >= {100}
    assert answer.near[0].notes[0] == "further from the circumference"


def test_another_gauge_keeps_the_circumference_and_the_depth() -> None:
    text, counts = example("bucket", "adult L")
    answer = adapted(original(text), Changes(gauge="20 x 15 / 10cm"), "cm", 3)
    around = 108 * 10 / 18
    first = answer.options[0].tally
    assert abs(side_count(first) * 10 / 20 - around) <= 1.5 + 1e-9
    above = sum(s.rounds for s in main_sections(first)[:3])
    was = 14 + 11 + 2
    assert len(counts) == was + 9
    assert above == round(was * 15 / 13.5)


def test_the_flat_patterns_over_falls_away_in_joined_rounds() -> None:
    answer = adapted(original(PLAIN_CAP), Changes(repeat="6 + 1"), "cm", 1)
    assert answer.request.asked.repeats == {1: Multiple(6)}
    assert any("falls away" in note for note in answer.request.notes)


# --- the new rounds -----------------------------------------------------------------------------


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
