"""A pattern for all sizes as plain frozen data: each size's own pattern, and all side by side."""

from __future__ import annotations

from dataclasses import dataclass

from evenround.tables.rounds.pattern import Terms

from .side_by_side import Row, Said
from .written import WrittenPattern, WrittenRound


@dataclass(frozen=True, slots=True)
class SizesLine:
    """One line of rounds: the sizes that work it with each one's own round; what is said before
    and after it, for all or some of those."""

    row: Row[WrittenRound]
    before: tuple[Said, ...] = ()
    after: tuple[Said, ...] = ()


@dataclass(frozen=True, slots=True)
class SizesHeading:
    """A part of the piece in all sizes: its title, what is said before its rounds, its lines,
    what is said at its end."""

    title: str
    before: tuple[Said, ...]
    lines: tuple[SizesLine, ...]
    after: tuple[Said, ...] = ()


@dataclass(frozen=True, slots=True)
class SizesPattern:
    """A pattern for all sizes, smallest first: ``names`` are the brief's, ``marks`` what sizes
    are called in the lines. ``patterns`` has each size's own. Sentences name sizes by index."""

    title: str
    names: tuple[str, ...]
    marks: tuple[str, ...]
    terms: Terms
    patterns: tuple[WrittenPattern, ...]
    materials: tuple[Said, ...]
    yarn: tuple[Said, ...]
    gauge: tuple[Said, ...]
    measurements: tuple[Said, ...]
    abbreviations: tuple[tuple[str, str], ...]
    notes: tuple[str, ...]
    start: tuple[Said, ...]
    headings: tuple[SizesHeading, ...]
    finishing: tuple[Said, ...]
    warnings: tuple[Said, ...]
    assumptions: tuple[Said, ...]
    cautions: tuple[Said, ...]

    @property
    def every(self) -> tuple[int, ...]:
        """All sizes, by index."""
        return tuple(range(len(self.names)))
