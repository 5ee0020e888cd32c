"""A written pattern as read: what each round says, what it prints, and what could not be read.

Made by the reader, judged by the audit. A pattern in several sizes holds one value a size
wherever the text gives several; ``for_size`` takes one size out of it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from .steps import Step, Stitch

Terms = Literal["us", "uk"]


@dataclass(frozen=True, slots=True)
class Where:
    """A place in the text: line and column, both from 1."""

    line: int
    column: int


@dataclass(frozen=True, slots=True)
class Printed:
    """A count a round prints: ``number`` of ``what`` ("sts", "hdc", "V", "ch-1 sps", "repeats"
    ...; "" where nothing is said). A round may print several (12 V, 12 ch-1 sps)."""

    number: int
    what: str = ""


@dataclass(frozen=True, slots=True)
class Unread:
    """What could not be read, and why."""

    where: Where
    text: str
    why: str


@dataclass(frozen=True, slots=True)
class RoundText:
    """One instruction of the pattern, for the rounds ``first`` to ``last`` (None: "next round").

    ``steps`` is what it says to work, one tuple a size (one for all where only one is given);
    None where it was not understood (``unread`` says why). ``as_rounds`` are the rounds it
    repeats ("Rnds 7-12: rep Rnd 6" -> (6, 6); "as Rounds 6-7" -> (6, 7)), else None.
    ``printed`` has the counts a size (empty: none printed). ``sizes`` restricts it to some sizes
    ("Sizes M (L) only"); None = all. ``section`` is the heading it stands under. ``over`` is set
    where it is worked over only so many stitches of the round ("over the next 51 sts").
    ``remaining`` notes a group said to be what is left ("sc in the 6 sc still left" -> 6).
    ``ranges``: where the label numbers each size for itself ("Rnds 5-6 (7, 8)" -> 5-6, 5-7,
    5-8), first and last for each size it is for; else empty. ``until``: worked over and over to a
    length, so that nobody knows how often ("Rep Rnd 3 until piece measures 7 in").
    """

    label: str
    first: int | None
    last: int | None
    where: Where
    text: str
    steps: tuple[tuple[Step, ...], ...] | None
    as_rounds: tuple[int, int] | None = None
    printed: tuple[tuple[Printed, ...], ...] = ()
    sizes: tuple[str, ...] | None = None
    section: str = ""
    over: int | None = None
    remaining: int | None = None
    unread: Unread | None = None
    ranges: tuple[tuple[int, int], ...] = ()
    until: bool = False


@dataclass(frozen=True, slots=True)
class GaugeText:
    """A gauge the pattern states: stitches and rounds over so many centimetres (None = not
    said), of a stitch if named."""

    stitches: float | None
    rounds: float | None
    over_cm: float | None
    stitch: Stitch | None
    where: Where


Measured = Literal["around", "head", "across", "depth", "brim"]


@dataclass(frozen=True, slots=True)
class MeasureText:
    """A measure the pattern states, one value a size, in cm: ``what`` is "around" (finished or
    flat circumference), "head", "across" (a disc after ``after_round``), "depth" or "brim"."""

    what: Measured
    values_cm: tuple[float, ...]
    after_round: int | None
    where: Where


@dataclass(frozen=True, slots=True)
class Pattern:
    """A whole pattern as read.

    ``terms`` with ``terms_why`` (what gave them away); ``chain_said``: whether the opening chain
    counts as a stitch where the pattern says so (None: it does not); ``starts`` the joined chain a
    piece starts on (empty: none), one a size where they differ; ``joined``: rounds joined, spiral,
    or not said. ``sizes`` names the sizes, smallest first (empty: one size).
    ``figures`` are the groups it defines itself; ``notes`` say how words were taken that could
    be meant two ways.
    """

    terms: Terms
    terms_why: str
    chain_said: bool | None
    joined: bool | None
    sizes: tuple[str, ...]
    rounds: tuple[RoundText, ...]
    gauges: tuple[GaugeText, ...]
    measures: tuple[MeasureText, ...]
    figures: tuple[str, ...]
    unread: tuple[Unread, ...]
    notes: tuple[str, ...] = ()
    starts: tuple[int, ...] = ()
