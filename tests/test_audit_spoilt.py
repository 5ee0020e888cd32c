"""Sound hats spoilt in one place: the audit finds the place and what stood there before."""

from __future__ import annotations

import re
from dataclasses import replace

from audit_patterns import SC, Hat, hats, pattern_of
from helpers import CALM
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from evenround.tables.audit import audit_pattern
from evenround.tables.rounds.pattern import Pattern, Printed, RoundText
from evenround.tables.rounds.steps import Repeat, Step, Work

TRIES = settings(CALM, max_examples=150)


def _numbers(words: str) -> set[int]:
    return {int(number) for number in re.findall(r"\d+", words)}


def _with(hat: Hat, at: int, changed: RoundText) -> Pattern:
    rounds = hat.rounds()
    rounds[at] = changed
    return pattern_of(rounds)


@TRIES
@given(hats())
def test_a_sound_hat_agrees_in_every_round(hat: Hat) -> None:
    audit = audit_pattern(pattern_of(hat.rounds()))
    assert audit.agrees
    assert audit.notes == ()
    assert [r.makes for r in audit.rounds][: len(hat.counts)] == hat.counts
    assert all(r.agrees is True and r.standing == "ok" for r in audit.rounds)


@TRIES
@given(hats(printed=False))
def test_a_sound_hat_without_printed_counts_agrees(hat: Hat) -> None:
    audit = audit_pattern(pattern_of(hat.rounds()))
    assert audit.agrees
    assert all(r.printed is None and r.agrees is True for r in audit.rounds)


@TRIES
@given(hats(), st.data())
def test_a_wrong_printed_count_is_found_and_the_right_one_named(
    hat: Hat, data: st.DataObject
) -> None:
    at = data.draw(st.integers(1, len(hat.counts) - 2), label="round")
    off = data.draw(st.sampled_from([-3, -2, -1, 1, 2, 3]), label="off by")
    right = hat.counts[at]
    spoilt = replace(hat.rounds()[at], printed=((Printed(right + off),),))
    audit = audit_pattern(_with(hat, at, spoilt))
    assert [fault.label for fault in audit.faults] == [f"Rnd {at + 1}"]
    fault = audit.faults[0]
    assert fault.inherits == ()
    assert f"print {right} instead of {right + off}" in fault.mends[0]


def _spoil_gap(steps: tuple[Step, ...], gap: int, wrong: int) -> tuple[Step, ...]:
    """The gap inside the repeat changed, in the one place."""
    return tuple(
        replace(
            step,
            steps=tuple(Work(SC, wrong) if s == Work(SC, gap) else s for s in step.steps),
        )
        if isinstance(step, Repeat)
        else step
        for step in steps
    )


@TRIES
@given(hats(), st.data())
def test_a_wrong_gap_is_found_and_the_right_one_named(hat: Hat, data: st.DataObject) -> None:
    at = data.draw(st.integers(3, len(hat.counts) - 1), label="round")
    gap = at - 1
    off = data.draw(st.sampled_from([-2, -1, 1, 2]), label="off by")
    assume(gap + off >= 1)
    rounds = hat.rounds()
    assert rounds[at].steps is not None
    spoilt = _spoil_gap(rounds[at].steps[0], gap, gap + off)
    audit = audit_pattern(_with(hat, at, replace(rounds[at], steps=(spoilt,))))
    first = audit.first_fault
    if first is None:
        # By chance stopping inside the repeat gives the printed count: a note, with the gap
        # that comes out even.
        spoilt_round = audit.rounds[at]
        assert spoilt_round.standing == "note"
        assert {"part", "plain"} & set(spoilt_round.fits)
        assert any(f"comes out even on {hat.counts[at - 1]}" in note for note in audit.notes)
        return
    assert [f.label for f in audit.faults] == [f"Rnd {at + 1}"]
    assert any(
        gap in _numbers(mend.rpartition("should be")[2]) or (gap == 1 and "in next st" in mend)
        for mend in first.mends
    ), first
    assert any(f"makes {hat.counts[at]}" in mend for mend in first.mends), first


@TRIES
@given(hats(), st.data())
def test_a_wrong_number_of_repeats_is_found_and_the_right_one_named(
    hat: Hat, data: st.DataObject
) -> None:
    exact = [at for at in range(2, len(hat.counts)) if hat.styles[at - 2] != "to the end"]
    assume(exact)
    at = data.draw(st.sampled_from(exact), label="round")
    off = data.draw(st.sampled_from([-1, 1]), label="off by")
    rounds = hat.rounds()
    assert rounds[at].steps is not None
    spoilt = tuple(
        replace(step, times=step.times + off)
        if isinstance(step, Repeat) and step.times is not None
        else step
        for step in rounds[at].steps[0]
    )
    audit = audit_pattern(_with(hat, at, replace(rounds[at], steps=(spoilt,))))
    assert [fault.label for fault in audit.faults] == [f"Rnd {at + 1}"]
    times = hat.sectors if hat.styles[at - 2] == "times" else hat.sectors - 1
    assert f"{times} times" in audit.faults[0].mends[0].rpartition("should be")[2]


@TRIES
@given(hats(printed=False), st.data())
def test_without_printed_counts_a_round_that_needs_too_much_is_mended_by_the_next(
    hat: Hat, data: st.DataObject
) -> None:
    exact = [at for at in range(3, len(hat.counts) - 1) if hat.styles[at - 2] != "to the end"]
    exact = [at for at in exact if hat.styles[at - 1] != "to the end"]
    assume(exact)
    at = data.draw(st.sampled_from(exact), label="round")
    rounds = hat.rounds()
    assert rounds[at].steps is not None
    spoilt = _spoil_gap(rounds[at].steps[0], at - 1, at)
    audit = audit_pattern(_with(hat, at, replace(rounds[at], steps=(spoilt,))))
    assert [fault.label for fault in audit.faults] == [f"Rnd {at + 1}"]
    assert f"makes {hat.counts[at]}" in audit.faults[0].mends[0]
    assert audit.faults[0].inherits[0] == f"Rnd {at + 2}"
