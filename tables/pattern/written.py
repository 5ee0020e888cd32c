"""A written pattern as plain frozen data: headings, rounds with their steps, what stands around."""

from __future__ import annotations

from dataclasses import dataclass

from evenround.tables.rounds.pattern import Terms
from evenround.tables.rounds.steps import Step
from evenround.tables.rounds.writer import Unit


@dataclass(frozen=True, slots=True)
class WrittenRound:
    """One instruction, for the rounds ``first`` to ``last`` (both from 1), each the same.

    ``steps`` is what is worked; None where nobody wrote the figure's rounds down: ``words`` then
    says what to work. ``counts`` is the count after the round (after every round where the
    figure is not written), ``made`` what the count counts: names in US terms with how many, in
    order of appearance; "" stands for stitches nobody named. ``unit`` and ``space`` say what the
    round below is made of (see writer). ``note`` is "firm" or "nudge" or nothing.
    ``begin`` is where it begins where that is not the join, ``how`` what steps cannot say;
    ``after`` is a sentence to be said below it.
    """

    first: int
    last: int
    steps: tuple[Step, ...] | None
    counts: tuple[int, ...]
    made: tuple[tuple[str, int], ...]
    unit: Unit = "st"
    space: int | None = None
    words: str = ""
    note: str = ""
    begin: str = ""
    how: str = ""
    after: str = ""

    @property
    def label(self) -> str:
        """``Rnd 5``, ``Rnds 16-22``."""
        if self.first == self.last:
            return f"Rnd {self.first}"
        return f"Rnds {self.first}-{self.last}"

    @property
    def count(self) -> int:
        """The count after the last of its rounds."""
        return self.counts[-1]


@dataclass(frozen=True, slots=True)
class Heading:
    """A part of the piece: its name, its stitches (one or more; a figure's as ``stitches_used``
    names them, else the section's in US terms), its rounds, what is said before them."""

    kind: str
    name: str
    stitches: tuple[str, ...]
    rounds: tuple[WrittenRound, ...]
    before: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class WrittenPattern:
    """The whole pattern in ``terms``. Everything but the headings is sentences in those terms.

    ``gauge`` and ``measurements`` are lines, ``abbreviations`` pairs of short and long; ``start``
    is how the piece is begun; ``warnings`` are about the shape, ``cautions`` about the wearer.
    """

    title: str
    size: str | None
    terms: Terms
    joined: bool
    materials: tuple[str, ...]
    gauge: tuple[str, ...]
    abbreviations: tuple[tuple[str, str], ...]
    notes: tuple[str, ...]
    measurements: tuple[str, ...]
    yarn: tuple[str, ...]
    start: str
    headings: tuple[Heading, ...]
    finishing: tuple[str, ...]
    warnings: tuple[str, ...]
    assumptions: tuple[str, ...]
    cautions: tuple[str, ...]

    @property
    def rounds(self) -> tuple[WrittenRound, ...]:
        """Every instruction in order."""
        return tuple(r for heading in self.headings for r in heading.rounds)
