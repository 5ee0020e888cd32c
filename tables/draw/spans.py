"""A candidate section by section as the pictures name them: a letter, rounds, counts, widths.

Every number is the tally's or the measures'; the letters only tie a picture to its list.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from evenround.solver.candidate import Candidate
from evenround.solver.piece import Section
from evenround.solver.tally import SectionTally
from evenround.tables.plan import Plan
from evenround.tables.words import clean


@dataclass(frozen=True, slots=True)
class Span:
    """A section of the tally that has rounds: ``first`` and ``last`` count from 1, ``index`` is
    its place among the piece's sections (a nudge has that of the section it is worked in),
    ``widths_cm`` how far around it is after each round."""

    letter: str
    name: str
    tally: SectionTally
    spec: Section
    index: int
    first: int
    widths_cm: tuple[float, ...]

    @property
    def last(self) -> int:
        """Number of the last round."""
        return self.first + self.tally.rounds - 1

    @property
    def rounds_words(self) -> str:
        """``14``, ``1-14``."""
        return str(self.first) if self.first == self.last else f"{self.first}-{self.last}"

    @property
    def counts_words(self) -> str:
        """``8 to 112``, ``110``; what the rounds end on."""
        counts = self.tally.counts
        begin = counts[0] if self.tally.section == "crown" else self.tally.count_in
        return str(counts[-1]) if begin == counts[-1] else f"{begin} to {counts[-1]}"


def spans(plan: Plan, candidate: Candidate) -> tuple[Span, ...]:
    """Every section with rounds, from the start on."""
    return tuple(_spans(plan, candidate))


def _spans(plan: Plan, candidate: Candidate) -> Iterator[Span]:
    at, first, letters = -1, 1, 0
    nudges = {nudge.round: nudge for nudge in candidate.measures.nudges}
    for section in candidate.tally.sections:
        at += section.section != "nudge"
        index = max(at, 0)
        if not section.rounds:
            continue
        name = clean(section.name)
        if section.section == "nudge" and first in nudges:
            change = nudges[first].change
            name = f"nudge, {abs(change)} {'more' if change > 0 else 'fewer'}"
        widths = candidate.measures.round_widths_cm[first - 1 : first - 1 + section.rounds]
        yield Span(
            _letter(letters), name, section, plan.piece.sections[index], index, first, widths
        )
        first += section.rounds
        letters += 1


def _letter(place: int) -> str:
    """A to Z, then AA and so on."""
    before = _letter(place // 26 - 1) if place >= 26 else ""
    return before + chr(ord("A") + place % 26)
