"""Yarn goes with area, section by section, from a weighed swatch of that section's stitch.

What nobody weighed, or whose gauge is assumed, has no amount: it is never guessed.
"""

from __future__ import annotations

from collections.abc import Iterator

from .candidate import Yarn, YarnPart
from .geometry import yarn_area
from .piece import Band, Gauge, Piece, Section, Swatch
from .price import band_width_cm
from .tally import SectionTally, Tally

PLAIN_MARGIN = 0.10  # common practice, no source
OPEN_MARGIN = 0.15


def yarn_of(piece: Piece, tally: Tally) -> Yarn:
    """Grams (and metres, where known) of every section; margin as a share, not included."""
    parts = tuple(_parts(piece, tally))
    grams = [p.grams for p in parts]
    metres = [p.metres for p in parts]
    openwork = any(isinstance(s, Band) and s.openwork for s in piece.sections)
    return Yarn(
        parts,
        sum(g for g in grams if g is not None) if None not in grams else None,
        sum(m for m in metres if m is not None) if None not in metres else None,
        OPEN_MARGIN if openwork else PLAIN_MARGIN,
    )


def _parts(piece: Piece, tally: Tally) -> Iterator[YarnPart]:
    specs = iter(piece.sections)
    spec: Section | None = None
    for section in tally.sections:
        if section.section != "nudge" or spec is None:
            spec = next(specs)
        gauge = spec.gauge
        area = sum(_area(spec, gauge, section))
        yield _weigh(section.name, area, None if gauge.assumed else spec.swatch)


def _area(spec: Section, gauge: Gauge, section: SectionTally) -> Iterator[float]:
    width, height = gauge.width_cm, gauge.height_cm
    if isinstance(spec, Band) and section.section == "band":
        width = band_width_cm(spec, section.repeat or 1, section.give or 0)
        if spec.measured_height_cm is not None:
            height = spec.measured_height_cm / spec.figure.rounds
    for stitches in _wide(spec, section):
        yield yarn_area(stitches, width, height)


def _wide(spec: Section, section: SectionTally) -> Iterator[float]:
    """How many stitches wide each round lies. Inside a figure places say no width: a band grows
    evenly from where a figure begins to where it ends, an edging is as wide as what it is on."""
    if section.section == "edging":
        yield from [section.count_in] * section.rounds
    elif section.section != "band" or not isinstance(spec, Band):
        yield from section.counts
    else:
        whole, before = spec.figure.rounds, section.count_in
        for at, count in enumerate(section.counts):
            first = at - at % whole
            last = first + whole - 1
            after = section.counts[last] if last < section.rounds else before
            yield before + (after - before) * (at - first + 1) / whole
            before = count if at == last else before


def _weigh(name: str, area: float, swatch: Swatch | None) -> YarnPart:
    if swatch is None:
        return YarnPart(name, area, None, None)
    grams = area * swatch.grams / swatch.area_cm2
    each = swatch.metres_per_gram
    return YarnPart(name, area, grams, None if each is None else grams * each)
