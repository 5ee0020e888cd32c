"""What the gauge says about the shape: the crown's fullness, a brim's slope, the depth.

Formulas are ``evenround.solver.geometry``'s; a round counts as high as the gauge's own stitch,
and rounds in another stitch are left out and said to be.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import asin, degrees, pi

from evenround.solver.geometry import flare, flat_rate, fullness
from evenround.solver.price import FULLNESS_RANGE, SLOPE_LIMIT, SLOPE_STRONG
from evenround.tables.facts import flat_rates
from evenround.tables.plan import Unit
from evenround.tables.rounds.pattern import Pattern
from evenround.tables.rounds.steps import Stitch
from evenround.tables.rounds.writer import stitch_name
from evenround.tables.words import plural

from .findings import Finding
from .piece import Piece, Stated, gauges_of, shown
from .settle import stitches_in
from .wording import several

FLAT, RIPPLES = FULLNESS_RANGE["flat"]
"""Fullness from which, and up to which, a crown is flat: as the solver warns of it."""
WAVES, RUFFLES = SLOPE_LIMIT, SLOPE_STRONG
"""Fullness above which a disc waves, and waves strongly."""
STEEP = 0.70
"""Fullness below which a cone is higher than wide (half-angle under 45 degrees)."""
CUPS = 0.90
"""Fullness from which a crown that is not quite flat only cups."""
NOT_OF_STITCH = 1.4
"""A flat rate this many times the stitch's usual one (or as far below) is hardly of it."""


def crown_findings(
    pattern: Pattern, every: Sequence[Piece], gauges: Sequence[Stated], unit: Unit
) -> Iterator[Finding]:
    """Sectors, then for every complete gauge fullness and depth, then the brim's slope."""
    whole = [g for g in gauges if g.height is not None]
    for piece in every:
        yield from (about(piece, finding) for finding in _of_piece(pattern, piece, whole, unit))


def about(piece: Piece, finding: Finding) -> Finding:
    """A finding with the piece it is about."""
    return replace(finding, of=(piece.name,) if piece.name else ())


def _of_piece(
    pattern: Pattern, piece: Piece, whole: Sequence[Stated], unit: Unit
) -> Iterator[Finding]:
    yield from _sectors(piece)
    yield from _doubtful(pattern, piece, whole)
    if whole:
        crown = range(piece.crown_stop + 1)
        yield from _fullness(piece, gauges_of(whole, piece.most_usual(crown))[-1])
        yield from _depth(piece, whole, unit)
        yield from _brim(piece, gauges_of(whole, piece.most_usual(piece.brim)), unit)


def _rate(gauge: Stated) -> float:
    assert gauge.height is not None
    return flat_rate(gauge.width, gauge.height)


def _label(piece: Piece, at: int) -> str:
    return piece.rows[at].given.label


def _sectors(piece: Piece) -> Iterator[Finding]:
    """What the rounds add, in the order of the crown and of the brim, each change once."""
    parts = []
    for name, rounds in (("crown", range(1, piece.crown_stop + 1)), ("brim", piece.brim)):
        adds = [n for n in piece.added(rounds) if n > 0]
        told = [n for i, n in enumerate(adds) if i == 0 or n != adds[i - 1]]
        if told and (name == "crown") <= piece.from_ring:
            parts.append(f"the {name} adds {', then '.join(map(str, told))} a round")
    if parts and len(piece.rows) > 3:
        yield Finding("sectors", f"{'; '.join(parts)}.")


def _doubtful(pattern: Pattern, piece: Piece, gauges: Sequence[Stated]) -> Iterator[Finding]:
    """A stated gauge that can hardly be of the stitch it is said to be."""
    for gauge in gauges:
        name = gauge.stitch or piece.stitch(piece.body.start)
        usual = flat_rates().get(name)
        if usual is None:
            continue
        rate = _rate(gauge)
        if 1 / NOT_OF_STITCH < rate / usual < NOT_OF_STITCH:
            continue
        text = (
            f"{gauge.words} would lie flat at {rate:.1f} {stitch_name(Stitch(name), pattern.terms)}"
            f" a round, where about {usual:g} are usual"
        )
        adds = _usual_add(piece)
        if adds and adds < rate:
            text += f"; {adds} a round would be a cone of {degrees(asin(adds / rate)):.0f} degrees"
        yield Finding("gauge", f"{text}. A hint, no verdict: ask for the rounds again.")


def _usual_add(piece: Piece) -> int:
    """What most rounds of the crown add (0: none adds)."""
    adds = Counter(n for n in piece.changes(range(1, piece.body.start + 1)) if n > 0)
    return adds.most_common(1)[0][0] if adds else 0


def _fits_stitch(piece: Piece, gauge: Stated, at: int) -> bool:
    return not gauge.stitch or piece.stitch(at) in ("", gauge.stitch)


def _fullness(piece: Piece, gauge: Stated) -> Iterator[Finding]:
    """Fullness at the fullest round and at the stop round, in words."""
    stop = piece.crown_stop
    if not piece.from_ring or stop < 2 or gauge.height is None:
        return
    if not all(_fits_stitch(piece, gauge, at) for at in range(stop + 1)):
        return
    full = {
        at: fullness(piece.counts[at], gauge.width, (at + 1) * gauge.height)
        for at in range(max(2, (stop + 1) // 2), stop + 1)  # the middle of a crown never shows
    }
    top = max(full, key=lambda at: (round(full[at], 6), at))
    telling = sorted({top, stop}) if full[top] - full[stop] > 0.01 else [stop]
    values = several([f"{full[at]:.2f} after {_label(piece, at)}" for at in telling])
    rate = _rate(gauge)
    text = f"{rate:.2f} sts a round lie flat at this gauge; fullness {values}: "
    text += _shape(full[top], full[stop])
    adds = _usual_add(piece)
    if adds and full[top] < FLAT and adds < rate:
        text += (
            f" ({adds} a round are {adds / rate:.2f} of flat: a cone of half-angle "
            f"{degrees(asin(adds / rate)):.0f} degrees)"
        )
    yield Finding("crown", f"{text}.")


def _shape(top: float, stop: float) -> str:
    if top > RUFFLES:
        return "a crown that ruffles, not flat"
    if top > WAVES:
        return "a waved crown" + (" that turns into a bowl" if stop < top else "")
    if stop > RIPPLES:
        return "nearly flat, a crown that may ripple a little"
    if stop >= FLAT:
        return "a flat crown"
    if stop >= CUPS:
        return "nearly flat, a crown that may cup a little"
    if top < STEEP:
        return "a steep cone, not a flat top"
    return "a domed crown or shallow cone, not a flat top"


def _depth(piece: Piece, gauges: Sequence[Stated], unit: Unit) -> Iterator[Finding]:
    """How deep the piece is to the end of its body, every round by the gauge of its stitch."""
    if not piece.from_ring or len(piece.body) < 2:
        return
    rounds = piece.body.stop
    if any(row.given.source.until for row in piece.rows[:rounds]):
        return
    heights = [h for at in range(rounds) if (h := _height(piece, gauges, at)) is not None]
    if not heights:
        return
    rounds_are = plural(len(heights), "round is", "rounds are")
    text = f"{rounds_are} {shown(sum(heights), unit)} deep"
    if left := rounds - len(heights):
        text += f" ({left} more {'is' if left == 1 else 'are'} in another stitch than the gauge)"
    yield Finding("depth", f"{text}.")


def _height(piece: Piece, gauges: Sequence[Stated], at: int) -> float | None:
    """The height of one round; None where no gauge is of its stitches."""
    named = {gauge.stitch for gauge in gauges if gauge.stitch}
    stitches = stitches_in(piece.rows[at].steps)
    if len(stitches) > 1 and named:
        return None  # as high as the highest of them, of which little is known
    gauge = gauges_of(gauges, piece.stitch(at))[-1]
    return gauge.height if _fits_stitch(piece, gauge, at) else None


# --- the brim --------------------------------------------------------------------------------


def _brim(piece: Piece, gauges: Sequence[Stated], unit: Unit) -> Iterator[Finding]:
    """The brim's flare over all of it, its first increases and the rest against the flat rate."""
    gauge = gauges[-1]
    rounds = [at for at in piece.brim if _fits_stitch(piece, gauge, at)]
    changes = [piece.changes(range(at, at + 1))[0] for at in rounds]
    grown = sum(changes)
    if grown <= 0 or gauge.height is None or not piece.body:
        return
    slant = len(rounds) * gauge.height
    angle, over = flare(grown, gauge.width, slant)
    text = (
        f"the brim grows by {grown} over {plural(len(rounds), 'round')}, "
        f"{shown(grown * gauge.width / (2 * pi), unit)} outward on {shown(slant, unit)}: "
    )
    of_flat = f"{grown / (_rate(gauge) * len(rounds)):.2f} of flat"
    text += (
        f"more than flat, it waves ({of_flat})"
        if over
        else f"{angle:.1f} degrees from straight down"
    )
    yield Finding("brim", f"{text}.")
    yield from _brim_parts(piece, gauges, rounds, changes)


def _brim_parts(
    piece: Piece, gauges: Sequence[Stated], rounds: Sequence[int], changes: Sequence[int]
) -> Iterator[Finding]:
    """The first run of increases and what follows it, each beside what lies flat."""
    first = 0
    while first < len(changes) and changes[first] > 0:
        first += 1
    rates = sorted(_rate(g) for g in gauges)
    if first >= 2:
        flat = " to ".join(dict.fromkeys(f"{rate * first:.0f}" for rate in rates))
        text = (
            f"{_label(piece, rounds[0])} to {_label(piece, rounds[first - 1])} of the "
            f"brim add {sum(changes[:first])} where {flat} lie flat"
        )
        steep = sum(changes[:first]) > WAVES * rates[-1] * first
        rested = WAVES * rates[-1] * (first + _even_after(changes, first))
        if sum(changes[:first]) > rested:
            yield Finding("brim", f"{text}: they ruffle.")
        elif not steep:  # else the even rounds of its rhythm take it up
            yield Finding("brim", f"{text}.")
    while first < len(changes) and changes[first] == 0:
        first += 1
    rest = changes[first:]
    if len(rest) >= 4 and sum(rest) > 0:
        average = sum(rest) / len(rest)
        flat = " to ".join(dict.fromkeys(f"{rate:.1f}" for rate in rates))
        yield Finding(
            "brim",
            f"{_label(piece, rounds[first])} to {_label(piece, rounds[-1])} of the brim "
            f"add {average:.1f} sts a round on average; at this gauge {flat} would lie flat"
            + (": it waves." if average / rates[0] > WAVES else ", so it slopes down."),
        )


def _even_after(changes: Sequence[int], first: int) -> int:
    """Even rounds right behind the first increases, at most as many as those."""
    even = 0
    while even < first and first + even < len(changes) and changes[first + even] == 0:
        even += 1
    return even
