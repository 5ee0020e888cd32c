"""Every tally of a small piece, by plain loops, judged only by ``measure``.

Knows nothing of rows, bodies, search or model: it tries all starts, sectors, rates, nudges,
repeats, rounds and brims within bounds and keeps what ``measure`` finds no breach in.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product

from evenround.solver import (
    Band,
    Brim,
    Crown,
    Edging,
    Even,
    Measures,
    Piece,
    Rhythm,
    SectionTally,
    Tally,
    measure,
)

MOST_ROUNDS = 20


@dataclass(frozen=True)
class Seen:
    """A tally with no breach: its identity without derived rounds, its cost, how special."""

    identity: tuple[object, ...]
    cost: int
    special: int
    tally: Tally
    measures: Measures


def all_designs(piece: Piece, highest: int) -> list[Seen]:
    """The cheapest tally of every distinct design, by cost and simplicity."""
    best: dict[tuple[object, ...], Seen] = {}
    for tally in every_tally(piece, highest):
        measures = measure(piece, tally)
        if measures.breaches:
            continue
        seen = Seen(identity(piece, tally), measures.cost_nm, special(tally), tally, measures)
        old = best.get(seen.identity)
        if old is None or seen.cost < old.cost:
            best[seen.identity] = seen
    return sorted(best.values(), key=lambda s: (s.cost, s.special))


def identity(piece: Piece, tally: Tally) -> tuple[object, ...]:
    """What makes a design distinct: start, crown plan, nudges, give, counts, brim. Where among
    even rounds a nudge stands is derived, like their number."""
    out: list[object] = [tally.start]
    own = {s.name for s in piece.sections if isinstance(s, Even) and s.around_cm is not None}
    for section in tally.sections:
        changes = section.changes
        if section.section == "brim":
            while changes and changes[-1] == 0:
                changes = changes[:-1]
            out.append(("brim", section.sectors, changes))
        elif section.section == "crown":
            out.append(("crown", section.sectors, changes))
        elif section.section == "nudge":
            out.append(("nudge", changes))
        elif section.section != "even" or section.name in own:
            out.append((section.name, section.count_in, section.repeats, section.give))
    return tuple(out)


def special(tally: Tally) -> int:
    """Nudges, part rounds, further rates and double rounds."""
    number = sum(s.section == "nudge" for s in tally.sections)
    crown = tally.crown
    if crown is not None:
        rates = [c for c in crown.changes[1:] if c != crown.sectors]
        doubles = [c for c in rates if crown.sectors and c == 2 * crown.sectors]
        number += len(doubles) + len(set(rates) - set(doubles))
    return number


def every_tally(piece: Piece, highest: int) -> Iterator[Tally]:
    first = piece.sections[0]
    if isinstance(first, Crown):
        for sectors, changes in _crowns(first, highest):
            crown = SectionTally("crown", first.name, 0, changes, sectors=sectors)
            for rest in _rest(piece, 1, crown.count_out, False):
                yield Tally(changes[0], (crown, *rest))
        return
    for count in range(1, highest + 1):
        for rest in _rest(piece, 0, count, False):
            yield Tally(count, rest)


def _crowns(crown: Crown, highest: int) -> Iterator[tuple[int, tuple[int, ...]]]:
    """Start, then the first rate (some rounds doubled), then slower rounds all alike."""
    for start in range(crown.start_range[0], crown.start_range[1] + 1):
        for sectors in range(crown.sector_range[0], crown.sector_range[1] + 1):
            if start % sectors:
                continue
            for rounds in range(1, (highest - start) // sectors + 1):
                for doubled in product((1, 2), repeat=rounds):
                    if sum(d == 2 for d in doubled) > crown.double_rounds:
                        continue
                    fast = (start, *(sectors * d for d in doubled))
                    yield sectors, fast
                    yield from _slower(sectors, fast, highest)


def _slower(
    sectors: int, fast: tuple[int, ...], highest: int
) -> Iterator[tuple[int, tuple[int, ...]]]:
    for rate in range(2, sectors):
        for rounds in range(1, (highest - sum(fast)) // rate + 1):
            # a slow rate of several rounds below four would be corners, not sectors
            if rounds == 1 or rate >= 4:
                yield sectors, fast + (rate,) * rounds


def _near(piece: Piece, spec: Even | Band, count: int) -> bool:
    """A generous look at the circumference, to keep the loops short."""
    wish = spec.around_cm if spec.around_cm is not None else piece.around_cm
    return wish is None or abs(count * spec.gauge.width_cm - wish) <= 3 * piece.limits.around_cm + 5


def _rest(piece: Piece, index: int, count: int, used: bool) -> Iterator[tuple[SectionTally, ...]]:
    """The sections from ``index`` on. A nudge may stand before every section but the first of a
    joined chain; one at most (``used``) between two that are more than even rounds."""
    if index == len(piece.sections):
        yield ()
        return
    most = 0 if used or index == 0 else piece.limits.nudge_stitches
    for nudge in range(-most, most + 1):
        lead = (SectionTally("nudge", "nudge", count, (nudge,)),) if nudge else ()
        for section, after in _section(piece, index, count + nudge):
            spec = piece.sections[index]
            even = isinstance(spec, Even) and spec.around_cm is None
            for rest in _rest(piece, index + 1, after, even and (used or nudge != 0)):
                yield (*lead, section, *rest)


def _section(piece: Piece, index: int, count: int) -> Iterator[tuple[SectionTally, int]]:
    spec = piece.sections[index]
    if isinstance(spec, Even):
        if _near(piece, spec, count):
            low, high = spec.rounds
            for rounds in range(low, (MOST_ROUNDS if high is None else high) + 1):
                yield SectionTally("even", spec.name, count, (0,) * rounds), count
    elif isinstance(spec, Band):
        if _near(piece, spec, count):
            yield from _bands(spec, count)
    elif isinstance(spec, Brim):
        yield from _brims(spec, count)
    elif isinstance(spec, Edging):
        yield _edging(spec, count)


def _bands(spec: Band, count: int) -> Iterator[tuple[SectionTally, int]]:
    for give in range(spec.give_range[0], spec.give_range[1] + 1):
        figure = spec.figure.at(give)
        repeats, rest = divmod(count - spec.remainder, figure[0])
        if rest or repeats < 1:
            continue
        for times in range(1, spec.rounds[1] // spec.figure.rounds + 1):
            per_repeat = figure + figure[1:] * (times - 1)
            changes = tuple(
                repeats * (per_repeat[i + 1] - per_repeat[i]) for i in range(len(per_repeat) - 1)
            )
            shown = give if spec.figure.has_give else None
            section = SectionTally(
                "band", spec.name, count, changes, figure[0], repeats, shown, per_repeat
            )
            yield section, section.count_out


def _brims(spec: Brim, count: int) -> Iterator[tuple[SectionTally, int]]:
    about = round(spec.width_cm / spec.gauge.height_cm)  # one round more or less is allowed
    for rounds in range(max(1, about - 2), about + 3):
        yield SectionTally("brim", spec.name, count, (0,) * rounds), count
        for sectors in range(spec.sector_range[0], spec.sector_range[1] + 1):
            if count % sectors:
                continue
            for rhythm in spec.rhythms:
                for changes in _rhythms(sectors, rhythm, rounds):
                    section = SectionTally(
                        "brim", spec.name, count, changes, sectors=sectors, rhythm=rhythm
                    )
                    yield section, section.count_out


def _rhythms(sectors: int, rhythm: Rhythm, rounds: int) -> Iterator[tuple[int, ...]]:
    """The rhythm kept up for one increase round, two, three ... then plain."""
    whole = [sectors if i % rhythm.block < rhythm.increases else 0 for i in range(rounds)]
    places = [i for i, change in enumerate(whole) if change]
    for last in places:
        yield tuple(whole[: last + 1] + [0] * (rounds - last - 1))


def _edging(spec: Edging, count: int) -> tuple[SectionTally, int]:
    figure = spec.figure.counts
    repeats, rest = divmod(count - spec.remainder, figure[0])
    if rest or repeats < 1:
        return SectionTally("edging", spec.name, count, (0,) * spec.figure.rounds), count
    changes = tuple(repeats * (figure[i + 1] - figure[i]) for i in range(len(figure) - 1))
    section = SectionTally(
        "edging", spec.name, count, changes, figure[0], repeats, per_repeat=figure
    )
    return section, section.count_out
