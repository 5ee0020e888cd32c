"""Every family of two to four small sizes, by plain loops over every tally of every size.

Knows only ``exhaustive.py``'s tallies, ``measure`` and the specification in ``family.py``
(``family_measure``, and what it reads of a tally: what is kept, ways, rounds before the band):
nothing of rows, chains or models. Of tallies that no other size can tell apart the
cheapest stands for all.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product

from exhaustive import every_tally, identity, special

from evenround.solver import Measures, Piece, Tally, measure
from evenround.solver.family import (
    Rules,
    Shared,
    crown_way,
    family_measure,
    nudge_way,
    rounds_before_band,
    shared_key,
)


@dataclass(frozen=True)
class Member:
    """One tally of one size, with what others can tell it by."""

    tally: Tally
    measures: Measures
    special: int
    shared: Shared


@dataclass(frozen=True)
class SeenFamily:
    """A family with nothing broken: what makes it distinct, its cost, its special rounds."""

    identity: tuple[object, ...]
    cost: int
    special: int


def all_families(pieces: Sequence[Piece], rules: Rules, highest: int) -> list[SeenFamily]:
    """The cheapest family of every identity, by cost and simplicity."""
    sizes = [list(_members(piece, rules, highest)) for piece in pieces]
    best: dict[tuple[object, ...], SeenFamily] = {}
    for members in _together(sizes):
        family = _family(pieces, rules, members)
        if family is None:
            continue
        old = best.get(family.identity)
        if old is None or (family.cost, family.special) < (old.cost, old.special):
            best[family.identity] = family
    return sorted(best.values(), key=lambda f: (f.cost, f.special))


def family_identity(
    rules: Rules, tallies: Sequence[Tally], measures: Sequence[Measures]
) -> tuple[object, ...]:
    """Side counts, and start and crown sectors where those are kept."""
    shared = shared_key(rules.kept, tallies[0])
    return (tuple(m.side_count for m in measures), shared.start, shared.crown_sectors)


def _together(sizes: Sequence[Sequence[Member]]) -> Iterator[tuple[Member, ...]]:
    """Members with the same things kept: others break what is kept, whatever they are."""
    for shared in {member.shared for member in sizes[0]}:
        yield from product(*([m for m in size if m.shared == shared] for size in sizes))


def _members(piece: Piece, rules: Rules, highest: int) -> Iterator[Member]:
    best: dict[tuple[object, ...], Member] = {}
    for tally in every_tally(piece, highest):
        measures = measure(piece, tally)
        if measures.breaches:
            continue
        member = Member(tally, measures, special(tally), shared_key(rules.kept, tally))
        kind = _kind(piece, rules, member)
        old = best.get(kind)
        if old is None or _order(member) < _order(old):
            best[kind] = member
    yield from best.values()


def _order(member: Member) -> tuple[int, int]:
    return member.measures.cost_nm, member.special


def _kind(piece: Piece, rules: Rules, member: Member) -> tuple[object, ...]:
    """All that another size, a rule or a price can tell a tally by. Where the yarn is limited
    the designs are told apart too: their derived rounds are the cheapest, not the shortest."""
    tally = member.tally
    before = rounds_before_band(tally)
    return (
        member.shared,
        member.measures.side_count,
        tally.crown and tally.crown.sectors,
        tally.brim and tally.brim.sectors,
        crown_way(tally),
        nudge_way(tally),
        None if before is None or rules.sides is None else before % 2,
        None if rules.yarn_grams is None else identity(piece, tally),
    )


def _family(pieces: Sequence[Piece], rules: Rules, members: Sequence[Member]) -> SeenFamily | None:
    tallies = [member.tally for member in members]
    measures = [member.measures for member in members]
    found = family_measure(pieces, rules, tallies, measures)
    if found.broken:
        return None
    number = sum(member.special for member in members)
    return SeenFamily(family_identity(rules, tallies, measures), found.cost_nm, number)
