"""A tally: the counts from ring to edge, as plain frozen data.

Made by the search, by the integer model or by hand (a published hat), and measured the same
way whoever made it. Nothing here knows how a tally was found.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import accumulate, groupby
from typing import Literal

from .piece import Rhythm

Kind = Literal["crown", "nudge", "even", "band", "brim", "edging"]


@dataclass(frozen=True, slots=True)
class SectionTally:
    """One section as worked: ``changes`` is by how many stitches each round changes the count.

    A crown's first change is its start count (``count_in`` 0). ``repeat`` and ``repeats`` are
    a band's or edging's, ``give`` its t, ``per_repeat`` its counts per repeat before and after
    every round; ``sectors`` is what an increase round of a crown (first rate) or brim adds;
    ``rhythm`` a brim's. None where it does not apply.
    """

    section: Kind
    name: str
    count_in: int
    changes: tuple[int, ...]
    repeat: int | None = None
    repeats: int | None = None
    give: int | None = None
    per_repeat: tuple[int, ...] | None = None
    sectors: int | None = None
    rhythm: Rhythm | None = None

    @property
    def rounds(self) -> int:
        """Number of rounds."""
        return len(self.changes)

    @property
    def count_out(self) -> int:
        """Count after the last round."""
        return self.count_in + sum(self.changes)

    @property
    def counts(self) -> tuple[int, ...]:
        """Count after every round."""
        return tuple(accumulate(self.changes, initial=self.count_in))[1:]


@dataclass(frozen=True, slots=True)
class Tally:
    """The whole piece. ``start`` is the stitches in the ring or chains in the joined chain."""

    start: int
    sections: tuple[SectionTally, ...]

    @property
    def round_counts(self) -> tuple[int, ...]:
        """The count after every round, from the first to the last."""
        return tuple(c for s in self.sections for c in s.counts)

    @property
    def crown(self) -> SectionTally | None:
        """The crown, if there is one."""
        return next((s for s in self.sections if s.section == "crown"), None)

    @property
    def brim(self) -> SectionTally | None:
        """The brim, if there is one."""
        return next((s for s in self.sections if s.section == "brim"), None)

    @property
    def crown_rates(self) -> tuple[tuple[int, int], ...] | None:
        """``((adds, rounds), ...)`` after the crown's first round; None without a crown."""
        if self.crown is None:
            return None
        return tuple((adds, len(list(run))) for adds, run in groupby(self.crown.changes[1:]))

    @property
    def stop_round(self) -> int | None:
        """The crown's last increase round, counted from 1; None without a crown."""
        if self.crown is None:
            return None
        return max(i for i, change in enumerate(self.crown.changes, 1) if change > 0)
