"""What an audit finds, as plain frozen data: rounds judged, faults with their mends, notes.

Counts are whole places or stitches, lengths centimetres. Words are in ``remarks.py`` and the
tables in ``page.py``; nothing here is made for a page.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from evenround.tables.rounds.counter import Reading
from evenround.tables.rounds.pattern import Terms, Unread

from .names import size_words

ChainCounts = Literal["yes", "no"]
RepeatMeans = Literal["in all", "more"]
Standing = Literal["ok", "note", "wrong", "open", "inherits", "not counted"]
"""How a round stands: right; right with a remark; wrong; its count right but its figure left open
at the join; right on the printed count but not on what a wrong round before it makes; not counted
at all."""


@dataclass(frozen=True, slots=True)
class Kind:
    """One printed count beside what was made of that kind (None: not counted). ``agrees`` None:
    what the word counts is not known, or nothing was counted."""

    what: str
    printed: int
    made: int | None
    agrees: bool | None


@dataclass(frozen=True, slots=True)
class RoundAudit:
    """One round of one size.

    ``uses`` and ``has`` are places of the round below (None in a ring, or where the round below
    is not known), ``makes`` what was made of the printed kind (all places where none is
    printed), ``places`` all places made. ``readings`` are the counts a left-over gives, by
    reading, and ``fits`` those that the printed count bears out. ``went_on_from`` is set where
    the next round was judged on another count than the one made here.
    """

    label: str
    size: str | None
    section: str
    line: int
    uses: int | None
    has: int | None
    makes: int | None
    places: int | None
    kinds: tuple[Kind, ...]
    agrees: bool | None
    standing: Standing
    readings: tuple[tuple[Reading, int], ...] = ()
    fits: tuple[Reading, ...] = ()
    note: str = ""
    went_on_from: int | None = None

    @property
    def printed(self) -> int | None:
        """The (first) printed count."""
        return self.kinds[0].printed if self.kinds else None


@dataclass(frozen=True, slots=True)
class Fault:
    """A wrong round: what is wrong, what would mend it (best first), and which later rounds
    only inherit it. ``line`` is where it stands, from 1."""

    label: str
    size: str | None
    section: str
    line: int
    what: str
    mends: tuple[str, ...]
    inherits: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Finding:
    """A finding about the whole piece: ``about`` is "counts", "band", "gauge", "size",
    "depth", "disc", "sectors", "crown" or "brim"; ``wrong`` is true where the pattern cannot be
    right; ``of`` names the sizes it is about (empty: all, or the only one)."""

    about: str
    text: str
    wrong: bool = False
    of: tuple[str, ...] = ()

    @property
    def words(self) -> str:
        """The text with the sizes it is about before it."""
        return f"{size_words(self.of, first=True)}: {self.text}" if self.of else self.text


@dataclass(frozen=True, slots=True)
class Audit:
    """A whole pattern judged. ``chain_why`` and ``repeat_why`` say how those were settled."""

    terms: Terms
    terms_why: str
    chain_counts: ChainCounts | None
    chain_why: str
    repeat_means: RepeatMeans | None
    repeat_why: str
    sizes: tuple[str, ...]
    rounds: tuple[RoundAudit, ...]
    faults: tuple[Fault, ...]
    notes: tuple[str, ...]
    findings: tuple[Finding, ...]
    cautions: tuple[str, ...]
    unread: tuple[Unread, ...]

    @property
    def first_fault(self) -> Fault | None:
        """The first wrong round, in the order of the text."""
        return self.faults[0] if self.faults else None

    @property
    def counted(self) -> bool:
        """Whether any round could be counted."""
        return any(r.makes is not None for r in self.rounds)

    @property
    def agrees(self) -> bool:
        """Whether everything was read and nothing is wrong."""
        return not self.faults and not self.unread
