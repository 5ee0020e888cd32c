"""Discs whose width a pattern states: what they are around, and whether the gauge gives them.

A disc stated with a value a size is looked at size by size, after that size's own round.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from math import pi

from evenround.tables.lengths import CM_PER
from evenround.tables.plan import Unit
from evenround.tables.rounds.pattern import MeasureText, Pattern

from .crown import about
from .findings import Finding
from .piece import NOTED_CM, Piece, Stated, gauges_of, shown
from .unprinted import stated_size, value_of
from .wording import several

FITS = 0.05
"""A disc this share wider or narrower than its rounds give is as the gauge gives it."""
_ROUNDS = re.compile(r"(?:rnd|round|row|rd)s?\s*(\d+)\s*[(\[]([\d\s,/]+)[)\]]", re.I)


def disc_findings(
    pattern: Pattern, every: Sequence[Piece], gauges: Sequence[Stated], unit: Unit, text: str = ""
) -> Iterator[Finding]:
    """Every disc stated: one for itself beside the gauge and the stated size, several beside each
    other. One that does not say after which round is the crown's."""
    discs = [m for m in pattern.measures if m.what == "across" and m.values_cm]
    if not discs or not every:
        return
    sizes = len(pattern.sizes)
    by_size = [disc for disc in discs if sizes > 1 and len(disc.values_cm) == sizes]
    for disc in by_size:
        rounds = _rounds_by_size(disc, sizes, text)
        for piece in every:
            yield from (
                about(piece, finding)
                for finding in _own_disc(pattern, piece, disc, rounds, gauges, unit)
            )
    plain = [disc for disc in discs if disc not in by_size]
    yield from _discs(pattern, plain, every[-1], gauges, unit)


def _rounds_by_size(disc: MeasureText, sizes: int, text: str) -> tuple[int, ...]:
    """The round each size is measured after, where the words give one each ("after Rnd 11 (11,
    12)"); else empty."""
    line = disc.where.line
    said = " ".join(text.splitlines()[max(0, line - 2) : line])  # it may begin a line earlier
    found = next(reversed(list(_ROUNDS.finditer(said))), None)
    numbers = () if found is None else (found[1], *re.findall(r"\d+", found[2]))
    return tuple(int(n) for n in numbers) if len(numbers) == sizes else ()


def _counts(piece: Piece) -> dict[int, int]:
    """The count after each round of a piece, by the round's number."""
    rows = reversed(piece.rows)
    return {row.given.number: row.after.count for row in rows if row.after is not None}


def _stop(piece: Piece) -> int:
    return piece.rows[piece.crown_stop].given.number if piece.from_ring else 0


def _own_disc(
    pattern: Pattern,
    piece: Piece,
    disc: MeasureText,
    rounds: Sequence[int],
    gauges: Sequence[Stated],
    unit: Unit,
) -> Iterator[Finding]:
    """The disc of one size of several."""
    across = value_of(pattern, disc, piece.size)
    if across is None or piece.size is None:
        return
    at = pattern.sizes.index(piece.size)
    after = rounds[at] if rounds else disc.after_round or _stop(piece)
    count = _counts(piece).get(after)
    if count is not None:
        yield _one_disc(pattern, piece, (after, across, count), gauges, unit)


def _one_disc(
    pattern: Pattern,
    piece: Piece,
    disc: tuple[int, float, int],
    gauges: Sequence[Stated],
    unit: Unit,
) -> Finding:
    """A disc beside what its rounds give at the gauge; without a gauge for rounds, beside the
    width of its stitches; without any, beside the size stated."""
    after, across, count = disc
    rows = [row.given.number for row in piece.rows]
    at = rows.index(after) + 1
    own = gauges_of(gauges, piece.most_usual(range(at)))
    if own and own[-1].height is not None and piece.from_ring:
        wide = 2 * at * own[-1].height
        if abs(across / wide - 1) <= FITS:
            text = f"the disc of {shown(across, unit)} after round {after} is as wide as {at} "
            return Finding("disc", f"{text}rounds are at the gauge.")
    text = f"the disc stated is {shown(pi * across, unit)} around after round {after}"
    if own:
        width = own[-1].width
        text += (
            f": {pi * across / count / CM_PER[unit]:.3f} {unit} a stitch, where the gauge has "
            f"{width / CM_PER[unit]:.3f} {unit} and {count} sts would be "
            f"{shown(count * width, unit)} around"
        )
        if own[-1].height is not None and piece.from_ring:
            text += f"; {at} rounds would be {shown(2 * at * own[-1].height, unit)} across"
    elif (target := stated_size(pattern, piece.size, unit)) is not None:
        less = target.cm - pi * across
        text += (
            f", as {target.words} wants"
            if abs(less) < NOTED_CM
            else f", {shown(abs(less), unit)} {'less' if less > 0 else 'more'} than {target.words}"
        )
    return Finding("disc", f"{text}.")


def _discs(
    pattern: Pattern,
    discs: Sequence[MeasureText],
    piece: Piece,
    gauges: Sequence[Stated],
    unit: Unit,
) -> Iterator[Finding]:
    """Discs of one size, or of the sizes one after another: the gauge each gives."""
    counts = _counts(piece)
    known = []
    for disc in discs:
        after, across = disc.after_round or _stop(piece), disc.values_cm[0]
        if count := counts.get(after):
            known.append((after, across, count, pi * across / count))
    known = sorted(set(known))
    if not known:
        return
    if len(known) == 1:
        finding = _one_disc(pattern, piece, known[0][:3], gauges, unit)
        yield finding
        return
    around = [f"{shown(pi * across, unit)} around after round {n}" for n, across, _, _ in known]
    text = f"the discs stated are {several(around)}"
    stated = [v for m in pattern.measures if m.what in ("around", "head") for v in m.values_cm]
    if stated:
        text += f" (stated: {several([shown(v, unit) for v in stated])})"
    first, last = known[0], known[-1]
    spread = abs(last[3] / first[3] - 1) * 100
    worked = several([shown(n * first[3], unit) for _, _, n, _ in known])
    text += (
        f". A stitch is {first[3] / CM_PER[unit]:.3f} {unit} wide by the first disc and "
        f"{last[3] / CM_PER[unit]:.3f} {unit} by the last, {spread:.0f} % apart: by the first "
        f"the counts would be {worked} around. Take the gauge from the largest disc at hand"
    )
    yield Finding("disc", f"{text}.")
