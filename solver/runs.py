"""A piece cut into runs: even rounds, then the band (or the end) they lead to.

One nudge may stand in each run: before the even rounds, between two even sections, or after
them, right before what they lead to. An even section with a circumference of its own ends a run.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from .piece import Band, Brim, Crown, Edging, Even, Gauge, Piece


@dataclass(frozen=True, slots=True)
class Run:
    """Even sections, then the band they lead to (None at the end of the body, or after an even
    section with its own circumference).

    ``spots`` are where its nudge may stand, counted in even sections before it; ``gauges`` the
    gauge it is worked in at each spot. ``end``: what follows is the brim, the edging or nothing.
    """

    evens: tuple[Even, ...]
    band: Band | None
    spots: tuple[int, ...]
    gauges: tuple[Gauge, ...]
    end: bool = False

    def nudge_gauge(self, spot: int) -> Gauge:
        """The gauge of a nudge that stands at a spot: that of the section before it."""
        return self.gauges[self.spots.index(spot)]


def runs_of(piece: Piece) -> tuple[Run, ...]:
    """The runs of a piece's body, in order."""
    return tuple(_runs(piece))


def _runs(piece: Piece) -> Iterator[Run]:
    gauge: Gauge | None = None
    evens: list[Even] = []
    has_end = any(isinstance(s, Brim | Edging) for s in piece.sections)
    for section in piece.sections:
        if isinstance(section, Crown):
            gauge = section.gauge
        elif isinstance(section, Even):
            evens.append(section)
            if section.around_cm is not None:
                yield _run(evens, None, gauge, after=False)
                evens, gauge = [], section.gauge
        elif isinstance(section, Band):
            yield _run(evens, section, gauge, after=True)
            evens, gauge = [], section.gauge
        else:
            break
    if evens or has_end:
        yield _run(evens, None, gauge, after=has_end, end=True)
    elif len(piece.sections) == 1 and isinstance(piece.sections[0], Crown):
        yield Run((), None, (), (), end=True)


def _run(
    evens: list[Even], band: Band | None, start: Gauge | None, *, after: bool, end: bool = False
) -> Run:
    """``start`` is the gauge of what the run is worked on, None on a joined chain; ``after``
    says that a nudge may follow the even sections."""
    gauges = [start, *(even.gauge for even in evens)]
    last = len(evens) if after or not evens else len(evens) - 1
    spots = tuple(n for n in range(last + 1) if gauges[n] is not None)
    return Run(
        tuple(evens), band, spots, tuple(g for g in gauges[: last + 1] if g is not None), end
    )
