"""The new rounds of an adapted pattern in words, from the first that changes on.

Every round is worked stitch by stitch on the one below, its words are read back and worked
again; a round of the pattern that still comes out is kept as it stands.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from evenround.solver import InternalCheckError
from evenround.solver.adapt import main_sections
from evenround.solver.tally import SectionTally, Tally
from evenround.tables.audit.rows import Row
from evenround.tables.layout import paragraph
from evenround.tables.pattern.figure_rounds import band_rounds
from evenround.tables.pattern.lines import before_words
from evenround.tables.pattern.shaping import change_round
from evenround.tables.pattern.working import opening, space_length
from evenround.tables.pattern.written import WrittenRound
from evenround.tables.rounds.counter import Below, CountError, plain_round, work_round
from evenround.tables.rounds.figures import FigureRounds
from evenround.tables.rounds.pattern import Terms
from evenround.tables.rounds.reader import ReadError, read_steps
from evenround.tables.rounds.steps import Join, StartChain, Step, Stitch, Work
from evenround.tables.rounds.writer import PLURALS, Unit, write_steps
from evenround.tables.words import plural, times

from .answer import Answer, Option
from .segments import by_counts


@dataclass(frozen=True, slots=True)
class NewRound:
    """A round in words, for the rounds ``first`` to ``last``; ``kept``: as the pattern has it;
    ``begin`` and ``how`` as in WrittenRound."""

    first: int
    last: int
    words: str
    count: int
    section: str
    kept: bool = False
    begin: str = ""
    how: str = ""

    @property
    def before(self) -> str:
        """What the maker must know before the round, as `evenround write` says it."""
        as_written = WrittenRound(
            self.first, self.last, None, (self.count,), (), begin=self.begin, how=self.how
        )
        return before_words(as_written)

    @property
    def label(self) -> str:
        """``Rnd 5``, ``Rnds 6-9``."""
        if self.first == self.last:
            return f"Rnd {self.first}"
        return f"Rnds {self.first}-{self.last}"


def new_rounds(answer: Answer, option: Option) -> tuple[NewRound, ...]:
    """The rounds of an option, those before the first change as one that is kept.

    Raises InternalCheckError where words and counts differ.
    """
    every = list(_Writer(answer, option).rounds())
    first = _first_change(answer.original.design.tally, option.tally)
    kept = [each for each in every if each.first < first]
    later = [each for each in every if each.first >= first]
    out = []
    if kept:
        words = "as the pattern has them" if len(kept) > 1 else "as the pattern has it"
        out.append(NewRound(1, kept[-1].last, words, kept[-1].count, "", kept=True))
    own = answer.original.own_number
    named = [replace(r, first=own(r.first), last=own(r.last)) for r in (*out, *later)]
    return tuple(_folded(named))


def _first_change(before: Tally, after: Tally) -> int:
    """The first round (from 1) that is not what it was: another count, or in another figure."""
    old, new = _natures(before), _natures(after)
    for number, (a, b) in enumerate(zip(old, new, strict=False), 1):
        if a != b:
            return number
    return min(len(old), len(new)) + 1


def _natures(tally: Tally) -> list[tuple[str, int, int | None]]:
    return [(s.name, count, s.repeat) for s in tally.sections for count in s.counts]


def _folded(rounds: Sequence[NewRound]) -> Iterator[NewRound]:
    kept: NewRound | None = None
    for each in rounds:
        same = kept is not None and replace(kept, first=0, last=0) == replace(each, first=0, last=0)
        if kept is not None and same and each.first == kept.last + 1:
            kept = replace(kept, last=each.last)
            continue
        if kept is not None:
            yield kept
        kept = each
    if kept is not None:
        yield kept


class _Writer:
    def __init__(self, answer: Answer, option: Option) -> None:
        written = answer.original.written
        assert written is not None
        self.rows = written.rows
        self.old = main_sections(answer.original.design.tally)
        self.tally = option.tally
        self.stitches = answer.original.stitches
        self.terms: Terms = answer.original.terms
        self.figure, self.place = answer.request.figure, answer.request.place
        self.number = self.grown = 0
        self.shifts: tuple[bool, ...] = ()
        self.habit: Habit = ((), ())
        self.below = Below(())
        self.unit: Unit = "st"

    def rounds(self) -> Iterator[NewRound]:
        if self.tally.crown is None:
            self.below, self.unit = plain_round(self.tally.start, "ch"), "ch"
        place = -1
        for section in self.tally.sections:
            if section.section == "nudge":
                stitch = self.stitches[max(place, 0)]
                yield from self.nudge(section, stitch)
                continue
            place += 1
            self.habit = _habit(self.rows[place]) or self.habit
            yield from self.section(section, place)

    def nudge(self, section: SectionTally, stitch: str) -> Iterator[NewRound]:
        for change in section.changes:
            yield self.shaped(section, stitch, change)

    def section(self, section: SectionTally, place: int) -> Iterator[NewRound]:
        rows, stitch = self.rows[place], self.stitches[place]
        self.grown, self.shifts = 0, shifts_of(rows)
        if (new := self.new_figure(section, place)) is not None:
            yield from self.figured(section, new)
            return
        counted = any(by_counts(row) is not None for row in rows)
        figured = section.per_repeat is not None and section.repeats is not None
        if section.repeat != self.old[place].repeat or (counted and figured):
            # the old rounds may divide the new count too: a new repeat is never worked in them
            yield self.unwritten(section)
            return
        for at, change in enumerate(section.changes):
            row = rows[at] if at < len(rows) else None
            if row is None and section.section == "even" and rows:
                row = rows[-1]  # more of the same
            count = section.counts[at]
            shift = self.shifted(change)
            kept = None if row is None else self.as_written(section, row, count)
            if kept is not None:
                yield kept
            elif row is not None and section.section in ("band", "edging"):
                yield self.unknown(section, row, count, "which does not come out as it is written")
            elif row is not None and row.judged is None and self.same(section, place, at):
                yield self.unknown(section, row, count, "which was not understood")
            else:
                yield self.shaped(section, stitch, change, shift=shift)

    def shifted(self, change: int) -> bool:
        """Whether a round that grows stands half a gap on, as the pattern's own does; where it
        has more of them, in turn."""
        if change <= 0 or not self.shifts or not self.below.count:
            return False
        at, self.grown = self.grown, self.grown + 1
        if at < len(self.shifts):
            return self.shifts[at]
        turn = len(self.shifts) > 1 and self.shifts[-1] != self.shifts[-2]
        return self.shifts[-1] != (turn and (at - len(self.shifts)) % 2 == 0)

    def new_figure(self, section: SectionTally, place: int) -> FigureRounds | None:
        """The figure asked for, where the section is the one it is for."""
        figured = place == self.place and section.section in ("band", "edging")
        return self.figure if figured else None

    def figured(self, section: SectionTally, figure: FigureRounds) -> Iterator[NewRound]:
        """A section in a new figure, where the pattern's rounds are joined opened and closed as
        `evenround write` does it: chains as high as its own first stitch."""
        rounds = band_rounds(figure, section, self.below)
        if rounds is None:
            raise InternalCheckError(f"{figure.name} does not leave the counts of {section.name}")
        closing = self.habit[1]
        for each, count in zip(rounds, section.counts, strict=True):
            opened = (*opening(each.steps), *each.steps, *closing) if closing else each.steps
            made = self.in_words(section, opened, count)
            yield replace(made, begin=each.begin, how=each.how)

    def same(self, section: SectionTally, place: int, at: int) -> bool:
        """Whether a round begins and ends on the counts it had."""
        old = self.old[place]
        before = (old.count_in, *old.counts)[at : at + 2]
        return before == (section.count_in, *section.counts)[at : at + 2]

    # --- one round --------------------------------------------------------------------------

    def as_written(self, section: SectionTally, row: Row, count: int) -> NewRound | None:
        """A round of the pattern, if it still comes out and makes the count."""
        if row.judged is None or row.wrong or not row.steps:
            return None
        try:
            worked = work_round(row.steps, self.below)
            if not worked.comes_to(count):
                return None
            return self.in_words(section, row.steps, count)
        except (CountError, ReadError, InternalCheckError):
            return None

    def shaped(
        self, section: SectionTally, stitch: str, change: int, *, shift: bool = False
    ) -> NewRound:
        count = self.below.count
        if not count:
            ring = self.opened((Work(Stitch(stitch), change, "ring"),))
            return self.in_words(section, ring, change)
        steps = self.opened(change_round(Stitch(stitch), count, change, shift=shift))
        return self.in_words(section, steps, count + change)

    def opened(self, steps: Sequence[Step]) -> tuple[Step, ...]:
        """The round opened and closed as the rounds of the section are, where their chains do
        not count."""
        opening, closing = self.habit
        return (*opening, *steps, *closing)

    def in_words(self, section: SectionTally, steps: Sequence[Step], count: int) -> NewRound:
        """The round in words, read back and worked on the round below."""
        words = write_steps(
            steps, self.terms, unit=self.unit, space=space_length(self.below), said=True
        )
        worked = work_round(read_steps(words, self.terms), self.below)
        if not worked.comes_to(count):
            raise InternalCheckError(f"{words!r} makes {worked.makes} of {worked.has}, not {count}")
        self.number += 1
        self.below = worked.made
        self.unit = "place" if worked.spaces() else "st"
        return NewRound(self.number, self.number, words, count, section.name)

    def unwritten(self, section: SectionTally) -> NewRound:
        """The rounds of a figure that nobody wrote: by their counts."""
        first, self.number = self.number + 1, self.number + section.rounds
        assert section.per_repeat is not None and section.repeats is not None
        leaves, unit = section.per_repeat[-1], self.unit if self.unit == "ch" else "st"
        as_many = "as many" if leaves == section.repeat else str(leaves)
        words = (
            f"Your own figure of {section.repeat} {PLURALS[unit]}, {times(section.repeats)} "
            f"around, each leaving {as_many}."
        )
        self.below, self.unit = plain_round(section.count_out), "st"
        return NewRound(first, self.number, words, section.count_out, section.name)

    def unknown(self, section: SectionTally, row: Row, count: int, why: str) -> NewRound:
        """A round that cannot be written: as it stands."""
        self.number += 1
        self.below, self.unit = plain_round(count), "st"
        words = f"As {row.given.label} of the pattern, {why}."
        return NewRound(self.number, self.number, words, count, section.name)


def shifts_of(rows: Sequence[Row]) -> tuple[bool, ...]:
    """For every round that grows, whether its first increase stands part of a gap on, with the
    rest of the gap at the end."""
    return tuple(
        _half_a_gap_on(row.steps)
        for row in rows
        if row.judged is not None and row.below is not None and row.after is not None
        if 0 < row.below.count < row.after.count
    )


def _half_a_gap_on(steps: Sequence[Step]) -> bool:
    work = [step for step in steps if not isinstance(step, StartChain | Join)]
    if len(work) < 2:
        return False
    return all(isinstance(step, Work) and step.n is not None for step in (work[0], work[-1]))


Habit = tuple[tuple[Step, ...], tuple[Step, ...]]
"""What opens and what closes a round."""


def _habit(rows: Sequence[Row]) -> Habit | None:
    """How rounds are opened and closed: chains that do not count, and a join."""
    for row in rows:
        chains = [step for step in row.steps if isinstance(step, StartChain)]
        joins = tuple(step for step in row.steps if isinstance(step, Join))
        if row.judged is None or not (chains or joins):
            continue
        if any(step.stands_for is not None for step in chains):
            return (), ()
        return tuple(replace(step, open=False) for step in chains), joins
    return None


COUNTING = (
    "The pattern's opening chains count as stitches: new rounds are written without them; where "
    "you open with one, it is the first stitch."
)


def _counting_chains(answer: Answer) -> bool:
    """Whether opening chains of the pattern stand for stitches."""
    written = answer.original.written
    steps = (step for row in written.every for step in row.steps) if written is not None else ()
    return any(isinstance(step, StartChain) and step.stands_for is not None for step in steps)


def text(answer: Answer, option: Option) -> str:
    """The new rounds as text at 80 columns."""
    out = [f"The rounds of number {option.rank}:", ""]
    if _counting_chains(answer):
        out += [paragraph(COUNTING), ""]
    for line, is_head in lines(answer, option):
        out += [line] if is_head else [paragraph(line, "    ", "  ")]
    return "\n".join(out) + "\n"


def lines(answer: Answer, option: Option) -> Iterator[tuple[str, bool]]:
    """The new rounds as lines, each with whether it is a heading."""
    section = ""
    start, was = option.tally.start, answer.original.design.tally.start
    if option.tally.crown is None and start != was:
        yield f"Begin on a chain of {start}, not {was}.", False
    for each in new_rounds(answer, option):
        if each.section != section and each.section:
            section = each.section
            yield f"{section[:1].upper()}{section[1:]}", True
        if each.before:
            yield each.before, False
        yield f"{each.label}: {each.words} ({plural(each.count, 'st')})", False
