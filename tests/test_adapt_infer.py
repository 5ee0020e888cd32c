"""What a written pattern does, as inferred, and what is asked of it. Wordings are ours."""

from __future__ import annotations

import pytest
from adapt_patterns import PLAIN_CAP, crown, example, lines, original

from evenround.solver import fit
from evenround.solver.adapt import main_sections
from evenround.solver.adapt_search import side_count
from evenround.solver.recount import recount
from evenround.solver.suits import Multiple
from evenround.tables.adapt.answer import adapted
from evenround.tables.adapt.ask import AskError, Changes
from evenround.tables.adapt.infer import NothingReadError
from evenround.tables.brief import example_brief, plan

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
