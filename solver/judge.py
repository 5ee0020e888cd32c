"""A tally laid beside the piece it is for: which section is which, and where the head is met.

Circumference is judged where sections below the crown begin and end, never at the counts
inside a figure; the narrowest such place decides the fit.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from . import price
from .piece import Band, Brim, Crown, Edging, Even, Gauge, Piece, Section
from .tally import SectionTally, Tally
from .units import micrometres, per_mm


@dataclass(frozen=True, slots=True)
class Worked:
    """One section of the piece with its tally and the nudge just before it, if any."""

    spec: Section
    tally: SectionTally
    nudge: SectionTally | None
    first_round: int  # counted from 1


SHARED = -1


@dataclass(frozen=True, slots=True)
class Judged:
    """A place where the circumference is judged: count, circumference and wish in micrometres."""

    section: str
    own: int  # which own wish, or SHARED for the head's
    count: int
    um: int
    wish_um: int | None
    decides: bool = True  # a nudge before the brim must be near the wish, but is no section

    @property
    def miss_um(self) -> int:
        """Signed distance from the wish."""
        return 0 if self.wish_um is None else self.um - self.wish_um


def pair(piece: Piece, tally: Tally) -> tuple[Worked, ...]:
    """Sections of the piece beside their tallies. ValueError where they do not match."""
    worked: list[Worked] = []
    specs = iter(piece.sections)
    nudge, number = None, 1
    for section in tally.sections:
        if section.section == "nudge":
            nudge = section
        else:
            spec = next(specs, None)
            if spec is None or type(spec).__name__.lower() != section.section:
                raise ValueError(f"the tally's {section.name} is not the piece's next section")
            worked.append(Worked(spec, section, nudge, number))
            nudge = None
        number += section.rounds
    if nudge is not None or next(specs, None) is not None:
        raise ValueError("the tally does not hold every section of the piece")
    return tuple(worked)


def judged_places(piece: Piece, worked: Sequence[Worked]) -> tuple[Judged, ...]:
    """Where sections below the crown begin and end, down to where the brim turns.

    A nudge that no section of the body follows is judged at the gauge it is worked in, but does
    not decide the fit; a piece without even rounds or bands is judged where its crown ends.
    """
    places: list[Judged] = []
    before: Gauge | None = None
    for index, w in enumerate(worked):
        if isinstance(w.spec, Even | Band):
            own = SHARED if w.spec.around_cm is None else index
            wish = piece.around_cm if own == SHARED else w.spec.around_cm
            wish_um = None if wish is None else micrometres(wish)
            for count in dict.fromkeys((w.tally.count_in, w.tally.count_out)):
                um = section_around_um(w.spec, w.tally, count)
                places.append(Judged(w.tally.name, own, count, um, wish_um))
        elif not isinstance(w.spec, Crown):
            if before is not None and (w.nudge or not places):
                alone = not places
                places.append(_bare_place(piece, w.tally.name, w.tally.count_in, before, alone))
            if not places:
                places.append(_bare_place(piece, w.tally.name, w.tally.count_in, w.spec.gauge))
            return tuple(places)
        before = w.spec.gauge
    if not places:
        last = worked[-1]
        places.append(_bare_place(piece, last.tally.name, last.tally.count_out, last.spec.gauge))
    return tuple(places)


def _bare_place(piece: Piece, name: str, count: int, gauge: Gauge, decides: bool = True) -> Judged:
    wish = None if piece.around_cm is None else micrometres(piece.around_cm)
    return Judged(name, SHARED, count, micrometres(count * gauge.width_cm), wish, decides)


def section_around_um(spec: Even | Band, tally: SectionTally, count: int) -> int:
    """Circumference of an even section or band at a count, in micrometres."""
    if isinstance(spec, Band) and tally.repeats is not None:
        return price.band_around_um(spec, count, tally.repeats, tally.give or 0)
    return micrometres(count * spec.gauge.width_cm)


def side_place(judged: Sequence[Judged], worked: Sequence[Worked]) -> Judged:
    """The place that decides: the narrowest; without a crown the first section's."""
    if not isinstance(worked[0].spec, Crown):
        return judged[0]
    return min((p for p in judged if p.decides), key=lambda place: place.um)


def worst_place(piece: Piece, tally: Tally) -> Judged:
    """The place that is furthest from its wish, the first of several."""
    return max(judged_places(piece, pair(piece, tally)), key=lambda place: abs(place.miss_um))


def around_parts(piece: Piece, judged: Sequence[Judged]) -> price.Parts:
    """The head's wish is judged at the narrowest place (without a crown at the first), each own
    wish at its worst end."""
    total = 0
    shared = [p for p in judged if p.own == SHARED and p.decides and p.wish_um is not None]
    if shared:
        crown = isinstance(piece.sections[0], Crown)
        first = min(shared, key=lambda p: p.um) if crown else shared[0]
        total += abs(first.miss_um)
    for own in dict.fromkeys(p.own for p in judged if p.own != SHARED):
        total += max(abs(p.miss_um) for p in judged if p.own == own)
    return {"circumference": per_mm(piece.prices.circumference, total)}


def section_height_um(spec: Section, rounds: int) -> int:
    """Height of a section's rounds along the fabric, in micrometres."""
    if isinstance(spec, Band) and spec.measured_height_cm is not None:
        whole, rest = divmod(rounds, spec.figure.rounds)
        height = micrometres(spec.measured_height_cm)
        return whole * height + rest * height // spec.figure.rounds
    return rounds * micrometres(spec.gauge.height_cm)


def depth_um(worked: Sequence[Worked]) -> int:
    """Depth along the fabric to where the brim turns (without a brim, to the edge)."""
    return sum(um for _, um in depth_parts(worked))


def depth_parts(worked: Sequence[Worked]) -> Iterator[tuple[int | None, int]]:
    """What a depth is made of, in micrometres: each with the number of the section in whose
    stitch it is worked, None for the hole in the middle of a crown."""
    before = 0
    for index, w in enumerate(worked):
        if w.nudge is not None and not (isinstance(w.spec, Edging) and _has_brim(worked)):
            yield before, micrometres(worked[before].spec.gauge.height_cm)
        if isinstance(w.spec, Brim):
            return
        if isinstance(w.spec, Crown):
            yield None, micrometres(w.spec.hole_cm / 2)
        yield index, section_height_um(w.spec, w.tally.rounds)
        before = index


def _has_brim(worked: Sequence[Worked]) -> bool:
    return any(isinstance(w.spec, Brim) for w in worked)


def stitch_width_cm(w: Worked) -> float:
    """Width of one place of a section."""
    if isinstance(w.spec, Band):
        return price.band_width_cm(w.spec, repeat_of(w), w.tally.give or 0)
    return w.spec.gauge.width_cm


def repeat_of(w: Worked) -> int:
    """A band's repeat as worked; the figure's without give where it does not close."""
    assert isinstance(w.spec, Band)
    return w.tally.repeat or w.spec.figure.counts[0]


def edging_fits(w: Worked) -> bool:
    """Whether the edging's repeat divides the count it is worked on."""
    assert isinstance(w.spec, Edging)
    count, repeat = w.tally.count_in, w.spec.figure.counts[0]
    return count % repeat == w.spec.remainder % repeat
