"""Every way one size can stand in a family: rows, each the cheapest design of its kind.

A kind is all that other sizes can see of a design: what is kept in common, its side count, its
sectors where further numbers cost, where its crown and its nudges are odd, whether odd or even
rounds come before the band. Rows are made only up to a cost that somebody asks for; crowns,
bodies and ends are cut down to kinds of their own first, so that no products are laid out.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from time import monotonic
from typing import Any, NamedTuple

from .body import Body
from .depths import Rounds
from .ends import EndRow
from .family import Rules, gaps_of, way_of
from .layout import lay_out
from .piece import Piece, Rhythm
from .rows import CrownRow
from .search import Found, allowed_after, search
from .ways import Group, Ways, crown_cost
from .yarn import yarn_of

Key = tuple[Any, ...]
"""What is kept in common: start, crown sectors, crown gaps, band rounds, brim rhythm, brim gap."""

UNLIMITED = 10**15  # more than any cost
FEW_BODIES, MANY_BODIES = 8, 500


class OutOfTimeError(Exception):
    """The deadline came before the rows were made."""


@dataclass(frozen=True, slots=True)
class Sights:
    """What of a design the sizes of one family can see, under its rules."""

    start: bool
    sectors: bool
    gaps: bool
    bands: bool
    rhythm: bool
    brim_gap: bool
    crown_numbers: bool  # further crown sector numbers cost
    brim_numbers: bool  # further brim sector numbers cost
    crown_way: bool
    nudge_way: bool
    sides: bool
    yarn: bool


def sights_of(pieces: Sequence[Piece], rules: Rules) -> Sights:
    """What the sizes can see of one another."""
    kept, prices = rules.kept, rules.prices
    further = prices.further_sectors > 0
    return Sights(
        "start" in kept,
        "crown sectors" in kept,
        "crown gaps" in kept,
        "band rounds" in kept,
        "brim rhythm" in kept,
        "brim gaps" in kept,
        further and "crown gaps" not in kept and "crown sectors" not in kept,
        further and "brim gaps" not in kept,
        prices.odd_crown > 0,
        prices.odd_nudge > 0 and not all(piece.nudges_shape for piece in pieces),
        rules.sides is not None,
        rules.yarn_grams is not None,
    )


class FamilyRow(NamedTuple):
    """One way a size can stand in a family, and its cheapest design.

    ``grams`` (margin included) only where the rules limit the yarn.
    """

    key: Key
    side: int
    crown_number: int | None
    brim_number: int | None
    crown_way: tuple[str, ...] | None
    nudge_way: tuple[int, ...] | None
    parity: int | None
    grams: float
    cost: int  # in 1e-6 mm
    design: Found | None

    @property
    def found(self) -> Found:
        """Its design."""
        assert self.design is not None
        return self.design

    @property
    def special(self) -> int:
        """How many special rounds it has."""
        return 0 if self.design is None else self.design.special


ANY = -1


def floor_row(cost: int) -> FamilyRow:
    """Stands for every row that was not made yet: no cheaper than ``cost``, at home beside
    anything. Families with one in them are bounds, not families."""
    return FamilyRow((), ANY, None, None, None, None, None, 0.0, cost, None)


class _Middle(NamedTuple):
    """Bodies of one kind between a group of crowns and the ends of one count."""

    cost: int
    special: int
    body: Body
    rounds: Rounds


_CrownKind = tuple[Any, Any, Any, int | None, tuple[str, ...] | None]
_EndKind = tuple[Rhythm | None, float | None, int | None, int]
_MiddleKind = tuple[int, int, int, tuple[int, ...] | None, tuple[int, ...] | None, int | None]


class SizeRows:
    """The rows of one size, made up to a cost; ``count`` is the side count it must keep."""

    def __init__(self, ways: Ways, sights: Sights, count: int | None = None) -> None:
        self.ways, self.sights, self.count = ways, sights, count
        self.plan = ways.plan
        self.bands = sum(run.band is not None for run in self.plan.runs)
        ways.ends.by_rhythm |= sights.rhythm
        self._ends = ways.ends.rows_by_rhythm if sights.rhythm else ways.ends.rows
        self._band_rounds_vary = any(
            run.band is not None and run.band.rounds[0] < run.band.rounds[1]
            for run in self.plan.runs
        )
        self._end_kinds: dict[int, list[tuple[_EndKind, EndRow]]] = {}
        self._crown_kinds: dict[int, list[tuple[_CrownKind, CrownRow | None]]] = {}
        self._rounds: dict[tuple[int, tuple[int, ...]], list[tuple[Any, Rounds]]] = {}
        self.complete = False
        self.most = -1
        self.rows: list[FamilyRow] = []

    def up_to(self, most: int, deadline: float) -> list[FamilyRow]:
        """Every row that costs no more than ``most``, cheapest first."""
        if most > self.most and not self.complete:
            self.rows = self._made(most, deadline)
            self.most = most
        return self.rows

    @property
    def one_row_a_design(self) -> bool:
        """Whether no two rows are the same design with other derived rounds, or in other grams."""
        rounds = self.sights.sides or (self.sights.bands and self._band_rounds_vary)
        return not rounds and not self.sights.yarn

    def least(self, over: int, deadline: float) -> Found | None:
        """The best design of all, with every row that costs up to ``over`` more; None where there
        is none. A few bodies say how far to look for it."""
        tried = FEW_BODIES
        while True:
            some = search(self.ways, 1, side=self.count, deadline=deadline, most=tried)
            if some.designs:
                return self.up_to(some.designs[0].cost + over, deadline)[0].found
            if not some.complete:
                raise OutOfTimeError
            if tried > MANY_BODIES:
                rows = self.up_to(UNLIMITED, deadline)
                return rows[0].found if rows else None
            tried *= 8

    @property
    def rows_and_floor(self) -> list[FamilyRow]:
        """The rows made so far and, unless these are all, one that stands for the others."""
        return self.rows if self.complete else [*self.rows, floor_row(self.most + 1)]

    def _made(self, most: int, deadline: float) -> list[FamilyRow]:
        self._left_out = False
        best: dict[tuple[Any, ...], list[FamilyRow]] = {}
        for group, count_out, middle in self._middles(most, deadline):
            self._open(group, count_out, middle, most, best)
            if monotonic() > deadline:
                raise OutOfTimeError
        self.complete = not self._left_out
        return sorted((row for rows in best.values() for row in rows), key=lambda r: r.found.order)

    # --- bodies --------------------------------------------------------------------------

    def _middles(self, most: int, deadline: float) -> Iterator[tuple[Group, int, _MiddleItem]]:
        """The bodies with their derived rounds, the best of each kind."""
        found: dict[_MiddleKind, _Middle] = {}
        groups: dict[int, Group] = {}
        designs: dict[tuple[Any, ...], _MiddleItem] = {}
        for body in self.ways.bodies:
            if monotonic() > deadline:
                raise OutOfTimeError
            if body is None or (self.count is not None and body.side_count != self.count):
                continue
            if body.cost + self._least_crown > most:
                self._left_out = True
                break
            for kind, group, middle in self._with_groups(body, most):
                groups[kind[0]] = group
                if self.sights.yarn:  # every design, each with its nudges where they cost least
                    design = (kind, body.order)
                    if design not in designs or _better(middle, designs[design][1]):
                        designs[design] = (kind, middle)
                elif kind not in found or _better(middle, found[kind]):
                    found[kind] = middle
        for kind, middle in (*found.items(), *designs.values()):
            yield groups[kind[0]], kind[2], (kind, middle)

    @cached_property
    def _least_crown(self) -> int:
        return min((row.cost for row in self.ways.crowns), default=0)

    def _with_groups(self, body: Body, most: int) -> Iterator[tuple[_MiddleKind, Group, _Middle]]:
        nudged = sum(n != 0 for n in body.nudges)
        way = self._nudge_way(body) if self.sights.nudge_way else None
        for group in self.ways.groups(body.count):
            if not allowed_after(group, body, self.plan.crown):
                continue
            if body.cost + group.best > most:
                self._left_out = True
                break
            for (bands, parity), rounds in self._rounds_of(group.rounds, body.marks):
                cost = body.cost + rounds.cost
                if cost + group.best > most:
                    self._left_out = True
                    continue
                kind = (id(group), body.side_count, body.count_out, way, bands, parity)
                yield kind, group, _Middle(cost, nudged, body, rounds)

    def _rounds_of(self, crown_rounds: int, marks: tuple[int, ...]) -> list[tuple[Any, Rounds]]:
        sights, key = self.sights, (crown_rounds, marks)
        if key not in self._rounds:
            if sights.sides or (sights.bands and self._band_rounds_vary):
                kinds = self.plan.rounds_by_kind(*key, sights.bands, sights.sides)
                made = list(kinds.items())
            else:
                rounds = self.plan.rounds(*key)
                bands = rounds.bands if rounds and sights.bands else None
                made = [] if rounds is None else [((bands, None), rounds)]
            self._rounds[key] = made
        return self._rounds[key]

    def _nudge_way(self, body: Body) -> tuple[int, ...]:
        passed, found = 0, []
        for run, nudge in zip(self.plan.runs, body.nudges, strict=True):
            if nudge:
                found.append(passed)
            passed += run.band is not None
        return tuple(found)

    # --- rows ----------------------------------------------------------------------------

    def _open(
        self,
        group: Group,
        count_out: int,
        item: _MiddleItem,
        most: int,
        best: dict[tuple[Any, ...], list[FamilyRow]],
    ) -> None:
        (_, side, _, way, bands, parity), middle = item
        ends = self._ends_of(count_out)
        for crown_kind, crown in self._crowns_of(group):
            cost = middle.cost + crown_cost(crown)
            if ends and cost + ends[0][1].cost > most:
                self._left_out = True
                break
            for end_kind, end in ends:
                if cost + end.cost > most:
                    self._left_out = True
                    break
                nudges = way if way is None else way + (self.bands + 1,) * end_kind[3]
                kind = (crown_kind, end_kind[:3], side, nudges, bands, parity)
                rows = best.get(kind)
                if rows and not self.sights.yarn and rows[0].cost < cost + end.cost:
                    continue
                found = Found(crown, middle.body, middle.rounds, end, cost + end.cost)
                self._offer(best, kind, found)

    def _offer(
        self, best: dict[tuple[Any, ...], list[FamilyRow]], kind: tuple[Any, ...], found: Found
    ) -> None:
        rows = best.setdefault(kind, [])
        if not self.sights.yarn:
            if not rows or _sooner(found, rows[0].found):
                rows[:] = [self._row(kind, found, 0.0)]
            return
        grams = self._grams(found)
        if grams is None or any(
            row.grams <= grams and not _sooner(found, row.found) for row in rows
        ):
            return
        rows[:] = [r for r in rows if r.grams < grams or _sooner(r.found, found)]
        rows.append(self._row(kind, found, grams))

    def _row(self, kind: tuple[Any, ...], found: Found, grams: float) -> FamilyRow:
        (start, sectors, gaps, number, crown_way), (rhythm, gap, brim_number), *rest = kind
        side, nudges, bands, parity = rest
        key = (start, sectors, gaps, bands or None, rhythm, gap)
        return FamilyRow(
            key, side, number, brim_number, crown_way, nudges, parity, grams, found.cost, found
        )

    def _grams(self, found: Found) -> float | None:
        """Grams of a design, its margin included; None where a stitch was not weighed."""
        yarn = yarn_of(self.plan.piece, lay_out(self.plan, found))
        return None if yarn.grams is None else yarn.grams * (1 + yarn.margin)

    # --- crowns and ends by kind ---------------------------------------------------------

    def _crowns_of(self, group: Group) -> list[tuple[_CrownKind, CrownRow | None]]:
        """The cheapest crown of each kind, in order; where yarn is limited every crown."""
        if id(group) not in self._crown_kinds:
            pairs = [(self._crown_kind(row), row) for row in group.rows]
            self._crown_kinds[id(group)] = pairs if self.sights.yarn else _first_of_kind(pairs)
        return self._crown_kinds[id(group)]

    def _crown_kind(self, row: CrownRow | None) -> _CrownKind:
        s = self.sights
        if row is None:
            return (None, None, None, None, () if s.crown_way else None)
        return (
            row.changes[0] if s.start else None,
            row.sectors if s.sectors else None,
            gaps_of(row.changes) if s.gaps else None,
            row.sectors if s.crown_numbers else None,
            way_of(row.changes, row.sectors) if s.crown_way else None,
        )

    def _ends_of(self, count: int) -> list[tuple[_EndKind, EndRow]]:
        """The cheapest end of each kind, in order; where yarn is limited every end."""
        if count not in self._end_kinds:
            pairs = [(self._end_kind(row), row) for row in self._ends(count)]
            self._end_kinds[count] = pairs if self.sights.yarn else _first_of_kind(pairs)
        return self._end_kinds[count]

    def _end_kind(self, row: EndRow) -> _EndKind:
        s, brim = self.sights, row.brim
        nudged = int(row.nudge != 0)
        if brim is None:
            return (None, None, None, nudged)
        gap = brim.count_in / brim.sectors if brim.sectors else None
        return (
            brim.rhythm if s.rhythm else None,
            gap if s.brim_gap else None,
            brim.sectors if s.brim_numbers else None,
            nudged,
        )


_MiddleItem = tuple[_MiddleKind, _Middle]


def _first_of_kind(pairs: Sequence[tuple[Any, Any]]) -> list[tuple[Any, Any]]:
    first: dict[Any, Any] = {}
    for kind, row in pairs:
        first.setdefault(kind, row)
    return list(first.items())


def _better(one: _Middle, other: _Middle) -> bool:
    if (one.cost, one.special) != (other.cost, other.special):
        return (one.cost, one.special) < (other.cost, other.special)
    return (one.body.order, one.body.marks) < (other.body.order, other.body.marks)


def _sooner(one: Found, other: Found) -> bool:
    return one.order < other.order if one.cost == other.cost else one.cost < other.cost
