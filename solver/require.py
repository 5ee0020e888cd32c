"""Which requirements a tally breaks, each by the name that conflicts are explained with."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from . import price
from .candidate import Breach, Requirement
from .geometry import flare
from .judge import Judged, Worked, edging_fits
from .nudge import could_be_part_round, nudge_limit
from .piece import Band, Brim, Crown, Even, Piece
from .tally import SectionTally
from .units import micrometres


def breaches(
    piece: Piece, worked: Sequence[Worked], judged: Sequence[Judged], depth_um: int
) -> Iterator[Breach]:
    """Every requirement that is broken, with what was found and the inclusive limits."""
    yield from _around_breaches(piece, judged)
    if piece.depth_cm is not None:
        limit = price.depth_limit_um(piece)
        yield from _within("depth", "depth", depth_um, micrometres(piece.depth_cm), limit)
    for w in worked:
        if isinstance(w.spec, Crown):
            yield from _crown_breaches(w.spec, w.tally)
        elif isinstance(w.spec, Even):
            yield from _range("rounds", w.tally.name, w.tally.rounds, w.spec.rounds)
        elif isinstance(w.spec, Band):
            yield from _band_breaches(piece, w.spec, w.tally)
        elif isinstance(w.spec, Brim):
            yield from _brim_breaches(piece, w.spec, w.tally)
        elif w.spec.required and not edging_fits(w):
            repeat = w.spec.figure.counts[0]
            yield Breach("edging repeat", w.tally.name, w.tally.count_in, repeat, repeat)
    yield from _nudge_breaches(piece, worked)


def _around_breaches(piece: Piece, judged: Sequence[Judged]) -> Iterator[Breach]:
    limit = micrometres(piece.limits.around_cm)
    for place in judged:
        if place.wish_um is not None:
            yield from _within("circumference", place.section, place.um, place.wish_um, limit)


def _within(
    name: Requirement, section: str, found_um: int, wish_um: int, limit_um: int
) -> Iterator[Breach]:
    if abs(found_um - wish_um) > limit_um:
        low, high = (wish_um - limit_um) / 10_000, (wish_um + limit_um) / 10_000
        yield Breach(name, section, found_um / 10_000, low, high)


def _range(
    name: Requirement, section: str, found: int, allowed: tuple[int, int | None]
) -> Iterator[Breach]:
    low, high = allowed
    if found < low or (high is not None and found > high):
        yield Breach(name, section, found, low, high)


def _crown_breaches(crown: Crown, tally: SectionTally) -> Iterator[Breach]:
    yield from _range("start count", tally.name, tally.changes[0], crown.start_range)
    sectors = tally.sectors or 0
    yield from _range("crown sectors", tally.name, sectors, crown.sector_range)
    plan = price.crown_plan(tally.changes, sectors)
    yield from _range("second rate", tally.name, plan.slower, (0, crown.rates - 1))
    yield from _range("part round", tally.name, int(plan.part), (0, int(crown.part_round)))
    yield from _range("double rounds", tally.name, plan.doubles, (0, crown.double_rounds))
    yield from _uneven(tally)


def _uneven(tally: SectionTally) -> Iterator[Breach]:
    count = tally.count_in
    for change in tally.changes:
        if change < 0 or (change and count and count % change):
            yield Breach("even increases", tally.name, change, None, None)
        count += change


def _band_breaches(piece: Piece, band: Band, tally: SectionTally) -> Iterator[Breach]:
    repeats, give = tally.repeats or 0, tally.give or 0
    counts = band.figure.at(give)
    repeat = counts[0]
    takes = counts[0] * repeats + band.remainder
    if tally.repeat != repeat or repeats < 1 or tally.count_in != takes:
        yield Breach("repeat", tally.name, tally.count_in, repeat, repeat)
    if band.even_repeats and repeats % 2:
        yield Breach("repeat", tally.name, tally.count_in, 2 * repeat, 2 * repeat)
    yield from _range("give", tally.name, give, band.give_range)
    yield from _range("rounds", tally.name, tally.rounds, band.rounds)
    if band.repeat_wish_cm is not None:
        wish, share = micrometres(band.repeat_wish_cm), piece.limits.repeat_share
        limit = micrometres(band.repeat_wish_cm * share)
        yield from _within("repeat width", tally.name, price.repeat_um(band, repeat), wish, limit)


def _brim_breaches(piece: Piece, brim: Brim, tally: SectionTally) -> Iterator[Breach]:
    if tally.sectors:
        yield from _range("brim sectors", tally.name, tally.sectors, brim.sector_range)
    if tally.rhythm is not None and tally.rhythm not in brim.rhythms:
        yield Breach("brim rhythm", tally.name, tally.rhythm.block, None, None)
    yield from _uneven(tally)
    firm = tally.changes[tally.rounds - brim.firm_rounds :]
    if any(firm) or tally.rounds < brim.firm_rounds:
        yield Breach("firm rounds", tally.name, 0, brim.firm_rounds, None)
    height = brim.gauge.height_cm
    slant = tally.rounds * micrometres(height)
    limit = price.brim_limit_um(piece, brim)
    yield from _within("brim width", tally.name, slant, micrometres(brim.width_cm), limit)
    around = price.brim_around(brim, piece.around_cm, tally.count_in)
    edge_wish = price.edge_wish_cm(brim, around)
    if edge_wish is not None:
        edge = micrometres(tally.count_out * brim.gauge.width_cm)
        limit = micrometres(piece.limits.edge_cm)
        yield from _within("edge circumference", tally.name, edge, micrometres(edge_wish), limit)
    elif brim.flare_deg is not None:
        degrees, _ = flare_of(brim, tally)
        off = piece.limits.flare_deg
        if abs(degrees - brim.flare_deg) > off + 1e-9:
            low, high = brim.flare_deg - off, brim.flare_deg + off
            yield Breach("flare", tally.name, degrees, low, high)


def _nudge_breaches(piece: Piece, worked: Sequence[Worked]) -> Iterator[Breach]:
    previous: int | None = None
    for before, w in pairwise(worked):
        if w.nudge is None:
            continue
        change = w.nudge.count_out - w.nudge.count_in
        limit = nudge_limit(piece, w.nudge.count_in)
        evenly = isinstance(before.spec, Crown) and could_be_part_round(
            before.spec, before.tally.changes, before.tally.sectors or 0, change
        )
        if abs(change) > limit or change == 0 or evenly:
            yield Breach("nudge", w.tally.name, change, -limit, limit)
        number, apart = w.first_round - 1, piece.limits.nudge_apart
        if isinstance(before.spec, Brim):
            previous = number - before.tally.rounds - 1  # as far from where the brim turns
        if previous is not None and number - previous < apart:
            yield Breach("nudge", w.tally.name, number - previous, apart, None)
        previous = number


def flare_of(brim: Brim, tally: SectionTally) -> tuple[float, bool]:
    """A brim's flare in degrees over its whole width, and whether it grows faster than flat."""
    slant = tally.rounds * brim.gauge.height_cm
    if not slant:
        return 0.0, False
    return flare(sum(tally.changes), brim.gauge.width_cm, slant)
