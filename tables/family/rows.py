"""What is told of each size, a row each: fit, repeats, crown, brim, depth, scores.

The terminal's table and the Markdown one both take their cells from here.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from evenround.solver.candidate import BandMeasure
from evenround.solver.family import Family, rounds_before_band
from evenround.solver.piece import Band
from evenround.tables.plan import Unit
from evenround.tables.words import (
    clean,
    crown_words,
    edging_words,
    in_unit,
    increase_rounds,
    length,
    number,
    repeats_words,
    rhythm_words,
    signed,
)

from .graded import Graded, Member, members

Cell = Callable[[Member], list[str]]


@dataclass(frozen=True, slots=True)
class Row:
    """A label and the lines of each size's cell, in the sizes' order."""

    label: str
    cells: tuple[tuple[str, ...], ...]


def rows(graded: Graded, family: Family) -> list[Row]:
    """Every row that says something of at least one size; an empty cell becomes a dash."""
    made = [
        Row(label, tuple(tuple(tell(m)) for m in members(graded, family)))
        for label, tell in _tellers(graded, family)
    ]
    return [
        Row(row.label, tuple(cell or ("-",) for cell in row.cells))
        for row in made
        if any(row.cells)
    ]


def _tellers(graded: Graded, family: Family) -> list[tuple[str, Cell]]:
    """The labels and how to fill each size's cell, in a designer's reading order."""
    unit, kept = graded.unit, graded.rules.kept
    bands = family.members[0].measures.bands
    several = len(bands) > 1
    tellers: list[tuple[str, Cell]] = [
        (f"around {unit}", lambda m: _around(m, unit)),
        ("stitches" if several or not bands else "stitches =", _stitches(alone=not several)),
    ]
    for place, band in enumerate(bands):
        tellers += _band_rows(place, band, unit, several=several)
    if graded.rules.sides is not None:
        tellers.append(("band from", _band_from))
    tellers += [
        ("crown", _crown),
        ("nudges", _nudges),
        ("brim", _brim(rhythm="brim rhythm" not in kept)),
        ("ends on", _ends),
        (f"edge {unit}", lambda m: _cm(m.candidate.measures.edge_cm, unit)),
        (f"depth {unit}", lambda m: _depth(m, unit)),
        ("flare", _flare),
        ("fullness", lambda m: _places(m.candidate.measures.fullness, 2)),
        ("score mm", lambda m: [number(m.candidate.measures.score_mm, 1)]),
        ("alone mm", _alone),
    ]
    return tellers


def _around(m: Member, unit: Unit) -> list[str]:
    measures = m.candidate.measures
    miss = measures.around_miss_cm
    return [length(measures.around_cm, unit), *([] if miss is None else [signed(miss, unit)])]


def _stitches(*, alone: bool) -> Cell:
    """The side count; with one band its repeats too, and the band's count where that differs."""

    def cell(m: Member) -> list[str]:
        measures = m.candidate.measures
        side = measures.side_count
        if not alone or not measures.bands:
            return [str(side)]
        band = measures.bands[0]
        count = band.repeat * band.repeats + band.remainder
        lines = [f"{side} ="] if count == side else [f"sides {side},", f"band {count} ="]
        return [*lines, repeats_words(band, named=False)]

    return cell


def _band_rows(
    place: int, band: BandMeasure, unit: Unit, *, several: bool
) -> list[tuple[str, Cell]]:
    """A band's repeats where there are several, with its own circumference and the wish; the
    width of a repeat."""

    def of(m: Member) -> BandMeasure:
        return m.candidate.measures.bands[place]

    def named(m: Member) -> list[str]:
        lines = [repeats_words(of(m), named=False)]
        own = [s.around_cm for s in m.plan.piece.sections if isinstance(s, Band)][place]
        if own is not None:
            lines.append(f"{length(of(m).around_cm, unit)} ({length(own, unit)})")
        if of(m).wish_cm is not None:
            lines.append(f"{_wide(of(m), unit)} each")
        return lines

    if several:
        return [(clean(band.name), named)]
    return [(f"repeat {unit}", lambda m: [_wide(of(m), unit)])]


def _wide(band: BandMeasure, unit: Unit) -> str:
    """A repeat's width, the wish in brackets."""
    wish = "" if band.wish_cm is None else f" ({number(in_unit(band.wish_cm, unit), 2)})"
    return f"{number(in_unit(band.repeat_cm, unit), 2)}{wish}"


def _crown(m: Member) -> list[str]:
    words = crown_words(m.candidate.tally)
    if words is None:
        return []
    rates = words.replace(", ", ",\n").split("\n")
    return [*rates, f"stops rnd {m.candidate.tally.stop_round}"]


def _nudges(m: Member) -> list[str]:
    return [
        line
        for n in m.candidate.measures.nudges
        for line in (f"{n.change:+d} in rnd {n.round}", f"before {clean(n.before)}")
    ]


def _band_from(m: Member) -> list[str]:
    """The round the first band begins on, where the side it shows matters."""
    before = rounds_before_band(m.candidate.tally)
    return [] if before is None else [f"rnd {before + 1}"]


def _brim(*, rhythm: bool) -> Cell:
    """Sectors and how many times; the rhythm where sizes may differ in it."""

    def cell(m: Member) -> list[str]:
        brim = m.candidate.tally.brim
        if brim is None:
            return []
        if not increase_rounds(brim):
            return ["no increases"]
        every = (rhythm_words(brim.rhythm) or "").replace("round", "rnd")
        own = [f"{every},"] if rhythm else []
        return [f"{brim.sectors} sectors,", *own, f"{increase_rounds(brim)} times"]

    return cell


def _ends(m: Member) -> list[str]:
    """The last count, where brim or edging makes it another than the sides'."""
    tally = m.candidate.tally
    final, edging = tally.round_counts[-1], edging_words(tally)
    if tally.brim is None and edging is None:
        return []
    return [f"{final} =", edging] if edging else [str(final)]


def _depth(m: Member, unit: Unit) -> list[str]:
    measures = m.candidate.measures
    miss = measures.depth_miss_cm
    return [] if miss is None else [length(measures.depth_cm, unit), signed(miss, unit)]


def _flare(m: Member) -> list[str]:
    measures = m.candidate.measures
    if measures.flare_deg is None:
        return []
    if measures.over_flat and measures.brim_fullness is not None:
        return [f"x{measures.brim_fullness:.2f} of flat"]
    return [f"{measures.flare_deg:.0f} deg"]


def _alone(m: Member) -> list[str]:
    """The score of the size's best without the others, and its count where that is another."""
    if m.alone is None:
        return []
    lines = [number(m.alone.measures.score_mm, 1)]
    side = m.alone.measures.side_count
    return lines if side == m.candidate.measures.side_count else [*lines, f"at {side}"]


def _cm(cm: float | None, unit: Unit) -> list[str]:
    return [] if cm is None else [length(cm, unit)]


def _places(value: float | None, places: int) -> list[str]:
    return [] if value is None else [number(value, places)]
