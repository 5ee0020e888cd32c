"""Small exact tables: every way a single section can be worked, with its price.

A row is one way; the search chains rows, the integer model picks one of each. Windows of counts
keep the tables small; what a row costs comes from the price functions.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations
from typing import NamedTuple

from . import price
from .geometry import flare
from .piece import Band, Brim, Crown, Piece, Prices, Rhythm
from .units import micrometres

SLOWEST_RATE = 4  # fewer would be corners, not sectors
SMALLEST_PART = 2  # one single increase is a nudge


@dataclass(frozen=True, slots=True)
class CrownRow:
    """One crown: its changes round by round, first rate, cost, special things."""

    changes: tuple[int, ...]
    sectors: int
    count: int
    cost: int
    special: int

    @property
    def order(self) -> tuple[int, ...]:
        """The tally's own order."""
        return (self.changes[0], self.sectors, *self.changes[1:])


def divisors(number: int, low: int, high: int) -> list[int]:
    """Divisors of a number within an inclusive range."""
    return [d for d in range(max(low, 1), min(high, number) + 1) if number % d == 0]


def crown_rows(piece: Piece, crown: Crown, low: int, high: int) -> list[CrownRow]:
    """Every crown that stops on a count within the inclusive window."""
    around = piece.around_cm if crown.shape == "half sphere" else None  # else it prices nothing
    priced = _priced_crowns(crown, piece.prices, around)
    rows: dict[tuple[int, tuple[int, ...]], CrownRow] = {}
    for key in every_crown(crown, low, high):
        if key not in rows:
            row = priced.get(key)
            if row is None:
                row = priced[key] = _crown_row(piece, crown, *key)
            rows[key] = row
    return sorted(rows.values(), key=lambda row: (row.cost, row.special, row.order))


@lru_cache(maxsize=8)
def _priced_crowns(
    crown: Crown, prices: Prices, around: float | None
) -> dict[tuple[int, tuple[int, ...]], CrownRow]:
    """Crowns already priced, by sectors and changes: the sizes of one gauge have them in
    common."""
    return {}


def every_crown(crown: Crown, low: int, high: int) -> Iterator[tuple[int, tuple[int, ...]]]:
    """Every crown that stops within the window, unpriced: sectors, changes."""
    for start in range(crown.start_range[0], crown.start_range[1] + 1):
        for sectors in divisors(start, *crown.sector_range):
            for changes in _crowns(crown, start, sectors, low, high):
                yield sectors, changes


def _crown_row(piece: Piece, crown: Crown, sectors: int, changes: tuple[int, ...]) -> CrownRow:
    plan = price.crown_plan(changes, sectors)
    parts = price.crown_price(crown, piece.prices, changes, plan, piece.around_cm)
    return CrownRow(changes, sectors, sum(changes), price.total(parts), plan.special)


def _crowns(
    crown: Crown, start: int, sectors: int, low: int, high: int
) -> Iterator[tuple[int, ...]]:
    """First rate, then perhaps a slower second rate or a part round."""
    for first in _first_rate(crown, start, sectors, high):
        count = sum(first)
        if low <= count <= high:
            yield first
        if crown.part_round:
            for part in divisors(count, SMALLEST_PART, sectors - 1):
                if low <= count + part <= high:
                    yield (*first, part)
        if crown.rates > 1:
            for rate in divisors(count, SLOWEST_RATE, sectors - 1):
                fewest = max(2, -(-(low - count) // rate))
                for rounds in range(fewest, (high - count) // rate + 1):
                    yield (*first, *[rate] * rounds)


def _first_rate(crown: Crown, start: int, sectors: int, high: int) -> Iterator[tuple[int, ...]]:
    most = (high - start) // sectors
    for rounds in range(1, most + 1):
        for doubles in range(min(crown.double_rounds, most - rounds, rounds) + 1):
            for places in combinations(range(rounds), doubles):
                changes = [2 * sectors if i in places else sectors for i in range(rounds)]
                if doubles == 0 or _divide(start, changes):
                    yield (start, *changes)


def _divide(start: int, changes: Sequence[int]) -> bool:
    count = start
    for change in changes:
        if count % change:
            return False
        count += change
    return True


@dataclass(frozen=True, slots=True)
class BandRow:
    """One way a band closes on a count: t, multiple, repeats, counts per repeat, cost."""

    give: int
    repeats: int
    count_in: int
    count_out: int
    cost: int
    per_repeat: tuple[int, ...]


def band_rows(piece: Piece, band: Band, low: int, high: int) -> list[BandRow]:
    """Every way a band closes on a count within the window and stays within its tolerances."""
    rows = []
    for give in range(band.give_range[0], band.give_range[1] + 1):
        per_repeat = band.figure.at(give)
        repeat = per_repeat[0]
        if repeat < 1 or not repeat_allowed(piece, band, repeat):
            continue
        cost = price.total(price.band_price(band, piece.prices, repeat))
        first = max(1, -(-(low - band.remainder) // repeat))
        for repeats in range(first, (high - band.remainder) // repeat + 1):
            if band.even_repeats and repeats % 2:
                continue
            count_in = repeats * repeat + band.remainder
            count_out = repeats * per_repeat[-1] + band.remainder
            row = BandRow(give, repeats, count_in, count_out, cost, per_repeat)
            if all(_near(piece, band, um) for um in _band_ums(band, row)):
                rows.append(row)
    return rows


def repeat_allowed(piece: Piece, band: Band, repeat: int) -> bool:
    """Whether a repeat of so many stitches is near enough the wished width."""
    if band.repeat_wish_cm is None:
        return True
    miss = abs(price.repeat_um(band, repeat) - micrometres(band.repeat_wish_cm))
    return miss <= micrometres(band.repeat_wish_cm * piece.limits.repeat_share)


def _band_ums(band: Band, row: BandRow) -> tuple[int, int]:
    first, last = (
        price.band_around_um(band, count, row.repeats, row.give)
        for count in (row.count_in, row.count_out)
    )
    return first, last


def _near(piece: Piece, band: Band, um: int) -> bool:
    wish = band.around_cm if band.around_cm is not None else piece.around_cm
    if wish is None:
        return True
    return abs(um - micrometres(wish)) <= micrometres(piece.limits.around_cm)


class Shaping(NamedTuple):
    """One way to work a brim: its changes, of which the first ``shaped`` go up to the last
    increase. ``again``: an earlier rhythm leads to the same rounds. Nothing but ``sectors`` is
    said of a straight one."""

    sectors: int
    rhythm: Rhythm | None
    changes: tuple[int, ...]
    shaped: int
    grown: int
    cost: int
    again: bool


class Brims:
    """Every brim of a piece on any count; the number of rounds is the cheapest that is allowed
    for each shaping. Where an angle is wished, what there is and costs depends on a count only
    by its sectors: pieces and counts have it in common."""

    def __init__(self, piece: Piece, brim: Brim) -> None:
        self.piece, self.brim = piece, brim
        limit = price.brim_limit_um(piece, brim)
        self._by_angle = _shaped_by_angle(brim, piece.prices, limit, piece.limits.flare_deg)

    def on(self, count_in: int, least: int = 1) -> list[Shaping]:
        """Every brim on a count, of at least so many rounds."""
        piece, brim = self.piece, self.brim
        around = price.brim_around(brim, piece.around_cm, count_in)
        known = self._by_angle if price.edge_wish_cm(brim, around) is None else {}
        found: list[Shaping] = []
        for sectors in (0, *divisors(count_in, *brim.sector_range)):
            key = (sectors, least, sectors == 0 and price.is_stuck(brim, count_in))
            if key not in known:
                known[key] = list(_shaped(piece, brim, count_in, around, sectors, least))
            found += known[key]
        return found

    def allowed(self, count_in: int) -> Iterator[tuple[int, int]]:
        """What every brim on a count adds, and its rounds, unpriced."""
        piece, brim = self.piece, self.brim
        around = price.brim_around(brim, piece.around_cm, count_in)
        for sectors in (0, *divisors(count_in, *brim.sector_range)):
            for _, shaped in _shapings(piece, brim, sectors):
                for rounds in brim_rounds(piece, brim, len(shaped)):
                    changes = (*shaped, *[0] * (rounds - len(shaped)))
                    if _brim_allowed(piece, brim, count_in, changes, around):
                        yield sum(shaped), rounds


@lru_cache(maxsize=32)
def _shaped_by_angle(
    brim: Brim, prices: Prices, limit_um: int, limit_degrees: float
) -> dict[tuple[int, int, bool], list[Shaping]]:
    """The brims of so many sectors and rounds at least, on a count that is stuck or not, made
    so far."""
    return {}


def _shaped(
    piece: Piece, brim: Brim, count_in: int, around: float, sectors: int, least: int
) -> Iterator[Shaping]:
    """The brims of so many sectors (0: straight)."""
    seen: set[tuple[int, ...]] = set()
    named: set[tuple[Rhythm | None, tuple[int, ...]]] = set()
    for rhythm, shaped in _shapings(piece, brim, sectors):
        best: tuple[int, int, tuple[int, ...]] | None = None
        for rounds in brim_rounds(piece, brim, len(shaped)):
            if rounds < least:
                continue
            changes = (*shaped, *[0] * (rounds - len(shaped)))
            if not _brim_allowed(piece, brim, count_in, changes, around):
                continue
            parts = price.brim_price(brim, piece.prices, count_in, changes, around, sectors)
            cost = price.total(parts)
            if best is None or (cost, rounds) < best[:2]:
                best = (cost, rounds, changes)
        if best is not None and (rhythm, best[2]) not in named:
            cost, _, changes = best
            yield Shaping(sectors, rhythm, changes, len(shaped), sum(shaped), cost, changes in seen)
            named.add((rhythm, changes))
            seen.add(changes)


@lru_cache(maxsize=4096)
def rhythm_changes(sectors: int, rhythm: Rhythm, times: int) -> tuple[int, ...]:
    """Changes of ``times`` increase rounds in a rhythm, up to the last increase."""
    changes: list[int] = []
    done = 0
    while done < times:
        grows = len(changes) % rhythm.block < rhythm.increases
        changes.append(sectors if grows else 0)
        done += grows
    return tuple(changes)


def _shapings(
    piece: Piece, brim: Brim, sectors: int
) -> Iterator[tuple[Rhythm | None, tuple[int, ...]]]:
    """Every way to increase by so many sectors, up to the last increase."""
    if not sectors:
        yield None, ()
        return
    longest = max(brim_rounds(piece, brim, 0), default=0) - brim.firm_rounds
    for rhythm in sorted(brim.rhythms, key=lambda r: (r.block, r.increases)):
        for times in range(1, longest + 1):
            changes = rhythm_changes(sectors, rhythm, times)
            if len(changes) > longest:
                break
            yield rhythm, changes


def brim_rounds(piece: Piece, brim: Brim, shaped: int) -> range:
    """Rounds that a brim may have whose last increase is in round ``shaped`` (0: none), its firm
    ones included."""
    height, limit = micrometres(brim.gauge.height_cm), price.brim_limit_um(piece, brim)
    wish = micrometres(brim.width_cm)
    fewest = max(-(-(wish - limit) // height), shaped + brim.firm_rounds, 1)
    return range(fewest, (wish + limit) // height + 1)


def _brim_allowed(
    piece: Piece, brim: Brim, count_in: int, changes: Sequence[int], around: float
) -> bool:
    width, height = brim.gauge.width_cm, brim.gauge.height_cm
    wish = price.edge_wish_cm(brim, around)
    if wish is not None:
        edge = micrometres((count_in + sum(changes)) * width)
        return abs(edge - micrometres(wish)) <= micrometres(piece.limits.edge_cm)
    assert brim.flare_deg is not None
    degrees, _ = flare(sum(changes), width, len(changes) * height)
    return abs(degrees - brim.flare_deg) <= piece.limits.flare_deg + 1e-9
