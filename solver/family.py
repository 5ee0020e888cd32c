"""A family: one pattern in several sizes, as asked for and as it comes out, in numbers only.

What sizes share, what may not be broken across them and what differences cost are first plain
functions over tallies (``family_measure``), which are the specification; the search and the
integer model are tested against them. All classes are frozen.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import accumulate, pairwise
from math import fsum
from types import MappingProxyType
from typing import Literal, get_args

from . import price
from .candidate import Candidate, Fit, Measures
from .piece import Piece, Rhythm
from .tally import Tally
from .units import MM

Kept = Literal["start", "crown sectors", "crown gaps", "band rounds", "brim rhythm", "brim gaps"]
"""What all sizes of a family may have in common. ``crown gaps`` and ``brim gaps`` are the other
school: the words (stitches from one increase to the next) stay and the sectors follow the
count."""

KEPT: tuple[Kept, ...] = get_args(Kept)
USUALLY_KEPT: frozenset[Kept] = frozenset(("start", "crown sectors", "band rounds", "brim rhythm"))

Rule = Literal["rising", "sides", "yarn", "counts"]
"""The hard rules across sizes, by the names conflicts are explained with."""

FAMILY_PARTS = ("sizes", "odd_crown", "odd_nudge", "further_sectors")
"""The parts of a family's score, in the order they are shown."""

Parity = Literal["odd", "even", "alike"]


@dataclass(frozen=True, slots=True)
class FamilyPrices:
    """What differences between sizes cost, in mm."""

    odd_crown: float = 2.0  # a size whose crown ends another way than most sizes'
    odd_nudge: float = 2.0  # a size whose nudges stand elsewhere than in most sizes
    further_sectors: float = 1.0  # a further number of brim (or, where freed, crown) sectors


@dataclass(frozen=True, slots=True)
class Rules:
    """What a family keeps in common and must obey.

    ``rising``: side counts strictly rise from size to size in the order given. ``sides``: the
    number of rounds before the first band is odd, even, or one of them alike in all sizes, so
    that the band turns the same side out. ``yarn_grams``: all sizes together, their margins
    included, take no more. ``counts``: the side count a size (by index) must keep.
    """

    kept: frozenset[Kept] = USUALLY_KEPT
    rising: bool = False
    sides: Parity | None = None
    yarn_grams: float | None = None
    counts: Mapping[int, int] = field(default_factory=lambda: MappingProxyType({}))
    prices: FamilyPrices = field(default_factory=FamilyPrices)


@dataclass(frozen=True, slots=True)
class Shared:
    """What the sizes of one family have in common; None where it is not kept, or there is none.

    ``crown_gaps`` has for every increase round of the crown the stitches from one increase to
    the next (the count worked on over what it adds); ``brim_gap`` the same of the brim's first
    increase round.
    """

    start: int | None = None
    crown_sectors: int | None = None
    crown_gaps: tuple[float, ...] | None = None
    band_rounds: tuple[int, ...] | None = None
    brim_rhythm: Rhythm | None = None
    brim_gap: float | None = None


@dataclass(frozen=True, slots=True)
class FamilyMeasures:
    """Tallies, one a size, measured as a family. Costs in 1e-6 mm.

    ``broken`` names what is kept but differs and the rules that fail. ``parts`` has the cost of
    each of FAMILY_PARTS; ``cost_nm`` is their sum.
    """

    shared: Shared
    broken: tuple[Kept | Rule, ...]
    parts: Mapping[str, int]
    cost_nm: int


@dataclass(frozen=True, slots=True)
class Family:
    """A family that breaks nothing, measured and ranked (from 1).

    ``members`` are candidates, one a size in the order given (their ``rank`` is the family's,
    their ``pareto`` of no meaning). Two families differ in a side count, in the start or in the
    crown's sectors where those are kept. ``coherence_nm``: what the family costs over what its
    sizes would each cost alone.
    """

    rank: int
    members: tuple[Candidate, ...]
    shared: Shared
    parts: Mapping[str, int]
    cost_nm: int
    coherence_nm: int

    @property
    def score_mm(self) -> float:
        """The score of all sizes and of their differences, in millimetres."""
        return self.cost_nm / MM

    @property
    def coherence_mm(self) -> float:
        """The price of coherence, in millimetres."""
        return self.coherence_nm / MM


@dataclass(frozen=True, slots=True)
class Conflict:
    """Why there is no family: a smallest set of sizes (indices) that cannot be made together.

    One size alone: it cannot be made at all, and ``fit`` has its near misses. ``mends`` are the
    things kept and the rules of which each, given up alone, would let this set be made.
    """

    sizes: tuple[int, ...]
    mends: tuple[Kept | Rule, ...]
    fit: Fit | None = None


@dataclass(frozen=True, slots=True)
class Grade:
    """The answer: families best first. ``alone`` has each size's best without the others, None
    where there is none. ``status`` as in Fit; "impossible" comes with its ``conflicts``."""

    status: Literal["proven", "unproven", "impossible"]
    families: tuple[Family, ...]
    alone: tuple[Candidate | None, ...]
    conflicts: tuple[Conflict, ...] = ()


# --- the specification -------------------------------------------------------------------


def crown_way(tally: Tally) -> tuple[str, ...]:
    """How a crown is worked beyond its one rate: any of "double rounds", "second rate" and
    "part round"; nothing for one rate all the way, or without a crown."""
    crown = tally.crown
    return () if crown is None else way_of(crown.changes, crown.sectors or 0)


def way_of(changes: Sequence[int], sectors: int) -> tuple[str, ...]:
    """``crown_way`` of a crown's changes and sectors."""
    plan = price.crown_plan(changes, sectors)
    found = {
        "double rounds": plan.doubles,
        "second rate": plan.slower,
        "part round": plan.part,
    }
    return tuple(name for name, times in found.items() if times)


def nudge_way(tally: Tally) -> tuple[int, ...]:
    """Where nudges stand: for each, how many bands (and brim) come before it."""
    found, passed = list[int](), 0
    for section in tally.sections:
        if section.section == "nudge":
            found.append(passed)
        passed += section.section in ("band", "brim")
    return tuple(found)


def rounds_before_band(tally: Tally) -> int | None:
    """Rounds worked before the first band; None without one."""
    rounds = 0
    for section in tally.sections:
        if section.section == "band":
            return rounds
        rounds += section.rounds
    return None


def crown_gaps(tally: Tally) -> tuple[float, ...] | None:
    """Stitches from one increase to the next in every increase round of the crown; None without
    a crown."""
    crown = tally.crown
    return None if crown is None else gaps_of(crown.changes)


def gaps_of(changes: Sequence[int]) -> tuple[float, ...]:
    """``crown_gaps`` of a crown's changes."""
    counts = accumulate(changes)
    return tuple(n / change for n, change in zip(counts, changes[1:], strict=False) if change)


def brim_gap(tally: Tally) -> float | None:
    """Stitches from one increase to the next in the brim's first increase round."""
    brim = tally.brim
    return brim.count_in / brim.sectors if brim is not None and brim.sectors else None


def shared_key(kept: frozenset[Kept], tally: Tally) -> Shared:
    """What a tally has of the things kept. Sizes may stand in one family when theirs are equal.

    A crown's gaps and a brim's are the things kept where those are; a straight brim has the
    rhythm None.
    """
    crown, brim = tally.crown, tally.brim
    bands = tuple(s.rounds for s in tally.sections if s.section == "band")
    return Shared(
        start=tally.start if "start" in kept and crown is not None else None,
        crown_sectors=crown.sectors if "crown sectors" in kept and crown is not None else None,
        crown_gaps=crown_gaps(tally) if "crown gaps" in kept else None,
        band_rounds=bands if "band rounds" in kept and bands else None,
        brim_rhythm=brim.rhythm if "brim rhythm" in kept and brim is not None else None,
        brim_gap=brim_gap(tally) if "brim gaps" in kept else None,
    )


_KEPT_FIELDS: Mapping[Kept, str] = {
    "start": "start",
    "crown sectors": "crown_sectors",
    "crown gaps": "crown_gaps",
    "band rounds": "band_rounds",
    "brim rhythm": "brim_rhythm",
    "brim gaps": "brim_gap",
}


def family_measure(
    pieces: Sequence[Piece], rules: Rules, tallies: Sequence[Tally], measures: Sequence[Measures]
) -> FamilyMeasures:
    """Measure tallies, one a piece in order, as a family. ``measures`` are theirs."""
    keys = [shared_key(rules.kept, tally) for tally in tallies]
    broken: list[Kept | Rule] = [
        name
        for name in KEPT
        if name in rules.kept and len({getattr(key, _KEPT_FIELDS[name]) for key in keys}) > 1
    ]
    broken += _broken_rules(rules, tallies, measures)
    parts = {
        "sizes": sum(m.cost_nm for m in measures),
        "odd_crown": odd_cost(rules.prices.odd_crown, map(crown_way, tallies)),
        "odd_nudge": 0
        if all(piece.nudges_shape for piece in pieces)
        else odd_cost(rules.prices.odd_nudge, map(nudge_way, tallies)),
        "further_sectors": sectors_cost(rules, tallies),
    }
    return FamilyMeasures(keys[0], tuple(broken), MappingProxyType(parts), sum(parts.values()))


def odd_cost(price_mm: float, ways: Iterable[Hashable]) -> int:
    """``price_mm`` for each size that does it another way than most, in 1e-6 mm."""
    counted = Counter(ways)
    return round(price_mm * MM) * (counted.total() - max(counted.values()))


def sectors_cost(rules: Rules, tallies: Sequence[Tally]) -> int:
    """The price of further sector numbers, brim's and crown's, where they do not follow from a
    gap that is kept. A straight brim has none."""
    further = 0
    if "brim gaps" not in rules.kept:
        further += max(0, len({t.brim.sectors for t in tallies if t.brim and t.brim.sectors}) - 1)
    if "crown gaps" not in rules.kept:
        further += max(0, len({t.crown.sectors for t in tallies if t.crown}) - 1)
    return round(rules.prices.further_sectors * MM) * further


def _broken_rules(
    rules: Rules, tallies: Sequence[Tally], measures: Sequence[Measures]
) -> list[Kept | Rule]:
    sides = [m.side_count for m in measures]
    broken: list[Kept | Rule] = []
    if rules.rising and any(a >= b for a, b in pairwise(sides)):
        broken.append("rising")
    if rules.sides is not None and not sides_agree(rules.sides, map(rounds_before_band, tallies)):
        broken.append("sides")
    if rules.yarn_grams is not None and not yarn_enough(rules.yarn_grams, measures):
        broken.append("yarn")
    if any(sides[i] != count for i, count in rules.counts.items()):
        broken.append("counts")
    return broken


def sides_agree(parity: Parity, rounds: Iterable[int | None]) -> bool:
    """Whether the rounds before the first band suit the rule; pieces without a band always."""
    found = {n % 2 for n in rounds if n is not None}
    if parity == "alike":
        return len(found) < 2
    return found <= {1 if parity == "odd" else 0}


def yarn_enough(grams: float, measures: Sequence[Measures]) -> bool:
    """Whether all sizes, margins included, take no more; not where one was not weighed."""
    takes = [None if m.yarn.grams is None else m.yarn.grams * (1 + m.yarn.margin) for m in measures]
    known = [each for each in takes if each is not None]
    return len(known) == len(takes) and fsum(known) <= grams + 1e-9
