"""Every round of a candidate as steps, each worked on the round below before it is kept.

Rounds are made section by section in the order of the tally. What a round makes comes from the
counter, never from the tally; where the two differ the pattern is refused (InternalCheckError).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from evenround.solver import InternalCheckError
from evenround.solver.candidate import Candidate
from evenround.solver.piece import Brim, Section
from evenround.solver.tally import SectionTally
from evenround.tables.facts import table
from evenround.tables.plan import Plan
from evenround.tables.rounds.counter import Below, plain_round, work_round
from evenround.tables.rounds.steps import (
    Bunch,
    EveryNth,
    Into,
    Join,
    Repeat,
    Several,
    Spread,
    StartChain,
    Step,
    Stitch,
    Together,
    Work,
)
from evenround.tables.rounds.writer import Unit
from evenround.tables.words import times

from .figure_rounds import band_rounds
from .known import figure_of
from .shaping import change_round
from .written import WrittenRound


@dataclass(frozen=True, slots=True)
class Worked:
    """A section of the tally with what it is made of: its place among the piece's sections
    (that of the section before for a nudge), its stitch, its rounds one by one."""

    tally: SectionTally
    spec: Section
    index: int
    stitch: str
    rounds: tuple[WrittenRound, ...]


def worked_sections(plan: Plan, candidate: Candidate, *, shift: bool) -> list[Worked]:
    """Every section of the candidate's tally, worked round by round from the start."""
    return _Worker(plan, candidate, shift=shift).sections()


class _Worker:
    def __init__(self, plan: Plan, candidate: Candidate, *, shift: bool) -> None:
        self.plan, self.tally, self.shift = plan, candidate.tally, shift
        self.number = 0
        self.grown = 0  # the section's rounds that grow in sectors: every other is shifted
        self.below = Below(())
        self.unit: Unit = "st"

    def sections(self) -> list[Worked]:
        """A nudge is worked in the stitch of the section before it, as its width is judged."""
        out: list[Worked] = []
        at = -1
        if self.tally.crown is None:
            self.below, self.unit = plain_round(self.tally.start, "ch"), "ch"
        for section in self.tally.sections:
            if section.section != "nudge":
                at += 1
            index = max(at, 0)
            stitch = self.plan.section_stitches[index]
            spec = self.plan.piece.sections[index]
            if section.section != "crown" and self.below.count != section.count_in:
                raise InternalCheckError(
                    f"{section.name} wants {section.count_in} places, has {self.below.count}"
                )
            rounds = tuple(self.rounds(section, spec, index, Stitch(stitch)))
            out.append(Worked(section, spec, index, stitch, rounds))
        return out

    def rounds(
        self, section: SectionTally, spec: Section, index: int, stitch: Stitch
    ) -> Iterator[WrittenRound]:
        if section.per_repeat is not None and section.repeats is not None:
            yield from self.figure(section, index)
            return
        count, self.grown = section.count_in, 0
        for place, change in enumerate(section.changes):
            if section.section == "crown" and place == 0:
                steps: tuple[Step, ...] = (Work(stitch, change, "ring"),)
            else:
                steps = self.shaped(section, stitch, count, change)
            count += change
            yield self.round(steps, count, note=self.note(section, spec, place))

    def shaped(
        self, section: SectionTally, stitch: Stitch, count: int, change: int
    ) -> tuple[Step, ...]:
        """One round that may grow or shrink: in a crown or brim every other one is shifted, a
        nudge keeps clear of the join."""
        if section.section == "nudge":
            return change_round(stitch, count, change, shift=self.shift)
        stands = change != 0 and (count + change) % count != 0
        shift = self.shift and stands and self.grown % 2 == 1
        self.grown += stands
        return change_round(stitch, count, change, shift=shift)

    def note(self, section: SectionTally, spec: Section, place: int) -> str:
        firm = spec.firm_rounds if isinstance(spec, Brim) else 0
        return "firm" if section.section == "brim" and place >= section.rounds - firm else ""

    def figure(self, section: SectionTally, index: int) -> Iterator[WrittenRound]:
        """A figure's rounds as its name has them, else in words: it is not written out."""
        known = figure_of(self.plan, index)
        written = None if known is None else band_rounds(known, section, self.below)
        if written is None:
            yield from self.unwritten(section)
            return
        for each, count in zip(written, section.counts, strict=True):
            yield replace(self.round(each.steps, count), begin=each.begin, how=each.how)

    def unwritten(self, section: SectionTally) -> Iterator[WrittenRound]:
        assert section.per_repeat is not None and section.repeats is not None
        first, counts = self.number + 1, section.counts
        self.number += section.rounds
        rest = section.count_in - section.repeats * (section.repeat or 0)
        over = f", and {rest} more" if rest else ""
        unit = self.unit
        for low, high, words in _unwritten_words(section.per_repeat, section.repeats):
            yield WrittenRound(
                first + low,
                first + high,
                None,
                counts[low : high + 1],
                (("", counts[high]),),
                unit,
                words=f"{words}{over}",
            )
        self.below, self.unit = plain_round(section.count_out), "place"

    def round(self, steps: Sequence[Step], count: int, note: str = "") -> WrittenRound:
        """Open and close a round, work it, and keep it if it comes out as the tally says."""
        self.number += 1
        whole = self.opened(steps)
        worked = work_round(whole, self.below)
        if not worked.comes_to(count):
            raise InternalCheckError(
                f"round {self.number} as written makes {worked.makes} of {worked.has} places "
                f"({worked.over} over, {worked.short} short); the tally has {count}"
            )
        unit, space = self.unit, space_length(self.below)
        self.below = worked.made
        self.unit = "place" if worked.spaces() else "st"
        return WrittenRound(
            self.number, self.number, whole, (count,), made_of(worked.made), unit, space, note=note
        )

    def opened(self, steps: Sequence[Step]) -> tuple[Step, ...]:
        """A joined round opens with chains that do not count and ends with the join."""
        if not self.plan.joined:
            return tuple(steps)
        return (*opening(steps), *steps, Join())


def opening(steps: Sequence[Step]) -> tuple[StartChain, ...]:
    """The chains that open a joined round of these steps, where there are any."""
    stitch = first_stitch(steps)
    chains = 0 if stitch is None else opening_chains(stitch.name)
    return (StartChain(chains),) if chains else ()


def opening_chains(stitch: str) -> int:
    """Chains that open a joined round without counting as a stitch: one for sc and hdc, one
    less than the stitch is tall (terms.csv) for taller ones, none for a slip stitch."""
    tall = next((int(r["turning_chains"]) for r in table("terms") if r["us_abbr"] == stitch), 1)
    return 0 if tall == 0 else max(1, tall - 1)


def first_stitch(steps: Sequence[Step]) -> Stitch | None:
    """The first stitch a round works."""
    for step in steps:
        found = _stitch_of(step)
        if found is not None:
            return found
    return None


def _stitch_of(step: Step) -> Stitch | None:
    match step:
        case Work() | Together() | Spread():
            return _plain(step.stitch)
        case Into() | EveryNth():
            stitches = [part.stitch for part in step.parts if isinstance(part, Several)]
            return _plain(stitches[0]) if stitches else None
        case Repeat():
            return first_stitch(step.steps)
        case _:
            return None


def _plain(stitch: Stitch | Bunch) -> Stitch:
    return stitch.stitch if isinstance(stitch, Bunch) else stitch


def made_of(made: Below) -> tuple[tuple[str, int], ...]:
    """What a round is made of, in order of appearance: stitches, "" for one nobody named, chains
    by their spaces ("ch-1 sp"; "ch sp" where they differ)."""
    space = space_length(made)
    chains = "ch sp" if space is None else f"ch-{space} sp"
    found: dict[str, int] = {}
    for place in made.places:
        if place.name == "ch" and not place.opens:
            continue
        name = {"st": "", "ch": chains}.get(place.name, place.name)
        found[name] = found.get(name, 0) + 1
    return tuple(found.items())


def space_length(below: Below) -> int | None:
    """How many chains each chain space of a round has, where all have as many."""
    lengths: list[int] = []
    for place in below.places:
        if place.opens:
            lengths.append(1)
        elif place.name == "ch" and lengths:
            lengths[-1] += 1
    return lengths[0] if len(set(lengths)) == 1 else None


def _unwritten_words(per_repeat: Sequence[int], repeats: int) -> Iterator[tuple[int, int, str]]:
    """First and last round (from 0) and what is worked, by the counts alone."""
    if len(set(per_repeat)) == 1:
        last = len(per_repeat) - 2
        yield 0, last, f"work the figure of {per_repeat[0]} places {times(repeats)} around"
        return
    for place in range(len(per_repeat) - 1):
        takes, leaves = per_repeat[place : place + 2]
        yield (
            place,
            place,
            f"work rnd {place + 1} of the figure {times(repeats)} around, each taking {takes} "
            f"places and leaving {leaves}",
        )
