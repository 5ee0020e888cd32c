"""The nearest designs that satisfy a change: every near design is made, priced and ranked.

The crown is cut, gone on with or ended otherwise; every section below takes the count it gets,
with a nudge before it where its repeat wants one; a brim keeps its rhythm and takes the nearest
number of sectors. What is listed has been worked again stitch by stitch.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import ceil, floor

from .adapt import change_parts, main_sections, nudges_of
from .adapt_crowns import crowns, stopped
from .adapt_design import Adapted, Asked, Design
from .adapt_sections import Line, finished
from .recount import InternalCheckError, recount
from .suits import Multiple, nearest, usual_nudge
from .tally import SectionTally, Tally


def adapt(design: Design, asked: Asked, best: int = 5) -> tuple[Adapted, ...]:
    """The ``best`` designs that satisfy what is asked, those that change least first; none where
    none is near.

    Of designs that differ only from the brim on, the nearest is listed. Ties break by fewer
    nudges, then by the rounds' own order. Raises ValueError for ``best`` under 1.
    """
    if best < 1:
        raise ValueError(f"best: found {best}; it is a whole number from 1 up")
    found: dict[Tally, Adapted] = {}
    for tally in _tallies(design, asked):
        if tally in found:
            continue
        parts = change_parts(design.tally, tally, target=asked.target)
        found[tally] = Adapted(tally, parts)
    ranked = sorted(found.values(), key=_order)
    listed = list({above_brim(each.tally): each for each in reversed(ranked)}.values())
    listed = sorted(listed, key=_order)[:best]
    for each in listed:
        if recount(each.tally) != each.tally.round_counts:
            raise InternalCheckError("an adapted design does not count as it says")
    return tuple(listed)


def _order(each: Adapted) -> tuple[int, int, tuple[int, ...]]:
    """Cost, then fewer nudges, then the rounds' own order."""
    return each.cost, len(nudges_of(each.tally)), each.tally.round_counts


def above_brim(tally: Tally) -> tuple[SectionTally, ...]:
    """A design down to its brim: of designs that differ only below, the nearest is listed."""
    end = next((i for i, s in enumerate(tally.sections) if s.section == "brim"), None)
    return tally.sections[:end]


def _tallies(design: Design, asked: Asked) -> Iterator[Tally]:
    for top in _tops(design, asked):
        for line in finished(design, asked, top):
            yield Tally(line.start, line.sections)


def _tops(design: Design, asked: Asked) -> Iterator[Line]:
    """Every way to begin: the crown and what may stand right after it, or the chain."""
    sections = main_sections(design.tally)
    if sections[0].section != "crown":
        yield from _chains(design, asked)
        return
    crown = sections[0]
    old = tuple(crown.changes)
    if asked.band_only:
        yield Line(design.tally.start, (crown,), 1, crown.count_out, 0, False)
        return
    low, high = _range(design, asked)
    made = crowns(stopped(old), low, high, fixed=design.fixed, sectors=asked.sectors)
    was = nudges_of(design.tally).get(1, 0)
    stays = asked.sectors in (None, crown.sectors) and low <= sum(old) + was <= high
    as_it_was = [(stopped(old), was)] if was and stays else []
    for changes, nudge in dict.fromkeys((*as_it_was, *made)):
        kept = changes == stopped(old) and not nudge
        free = kept or (not nudge and (asked.target is not None or asked.sectors is not None))
        if not _first_suits(design, asked, sum(changes) + nudge, later=free):
            continue
        yield _top(crown, changes, nudge, len(old) + bool(was))


def _top(crown: SectionTally, changes: Sequence[int], nudge: int, rounds: int) -> Line:
    """A crown with its nudge; ``spare`` is how many rounds it has more than before."""
    tail = crown.rounds - len(stopped(crown.changes))
    whole = (*changes, *([0] * tail))
    grown = [change for change in changes[1:] if change > 0]
    sectors = crown.sectors if crown.sectors in grown else (grown or [changes[0]])[0]
    made = SectionTally("crown", crown.name, 0, whole, sectors=sectors)
    count = sum(whole)
    sections: tuple[SectionTally, ...] = (made,)
    if nudge:
        sections += (SectionTally("nudge", "nudge", count, (nudge,)),)
    spare = len(whole) - rounds + bool(nudge)
    return Line(changes[0], sections, 1, count + nudge, spare, bool(nudge))


def _chains(design: Design, asked: Asked) -> Iterator[Line]:
    """Another joined chain for a piece without a crown."""
    low, high = _range(design, asked)
    start = design.tally.start
    for count in [start] if asked.band_only else range(low, high + 1):
        if asked.band_only or _first_suits(design, asked, count, later=True):
            yield Line(count, (), 0, count, 0, False)


def _range(design: Design, asked: Asked) -> tuple[int, int]:
    side = side_count(design.tally)
    middle = side if asked.target is None else asked.target
    reach = asked.reach or max(12.0, 0.25 * side)
    return max(4, ceil(middle - reach - 1e-9)), floor(middle + reach + 1e-9)


def side_count(tally: Tally) -> int:
    """The count right below the crown; the chain's without one."""
    below = [s for s in main_sections(tally) if s.section != "crown"]
    return below[0].count_in if below else tally.round_counts[-1]


def _first_suits(design: Design, asked: Asked, count: int, *, later: bool) -> bool:
    """Whether a count is worth going on with: it suits the first section that wants a repeat, or
    where ``later`` a usual nudge before that section, should others stand between, would do."""
    place, wanted = _first_want(design, asked)
    if wanted is None or wanted.suits(count):
        return True
    below_crown = place == (1 if design.tally.crown else 0)
    if below_crown or not later:
        return False
    limit = usual_nudge(count)
    return any(n is not None and abs(n - count) <= limit for n in nearest((wanted,), count))


def _first_want(design: Design, asked: Asked) -> tuple[int, Multiple | None]:
    """The first section that wants a repeat, and which."""
    for place, want in enumerate(design.wants):
        found = asked.repeats.get(place, want)
        if found is not None:
            return place, found
    return 0, None
