"""How far each section's gauge may slip, from what the brief says of it.

In this order: what the swatch's own repeated counts say; the brief's ``gauge_spread``; for a yarn
class, its width; else half a stitch in 10 cm (common practice, no source). All are standard
deviations of the gauge of the worked piece.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from evenround.solver.sure import MOST_SHARE, Slip
from evenround.tables.gauges import GaugeBook
from evenround.tables.words import listed

ORDINARY = 0.5
"""Half a stitch, or half a round, in 10 cm: an ordinary error (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Said:
    """The brief's own standard deviations in 10 cm; None where it says none."""

    stitches: float | None = None
    rounds: float | None = None


def slips_of(book: GaugeBook, sections: Sequence[str], said: Said) -> tuple[Slip, ...]:
    """One slip a section; ``sections`` has their stitches. Those swatched as one stitch slip as
    one."""
    groups = list(dict.fromkeys(book.swatched_as(stitch) for stitch in sections))
    slips = {
        stitch: Slip(at, share_of(book, stitch, said.stitches), rounds_share(book, stitch, said))
        for at, stitch in enumerate(groups)
    }
    return tuple(slips[book.swatched_as(stitch)] for stitch in sections)


def share_of(book: GaugeBook, stitch: str, said_per_10cm: float | None) -> float:
    """The standard deviation of a stitch's gauge over the gauge itself."""
    measured = book.measured(stitch)
    own = None if measured.gauge.assumed else measured.spread_share
    if own is not None:
        return min(own, MOST_SHARE)
    return _share(said_per_10cm, measured.gauge.width_cm, measured.spread_share)


def rounds_share(book: GaugeBook, stitch: str, said: Said) -> float:
    """The same of its rounds. Where they were not counted they are known no better than the
    stitches they are taken from."""
    measured = book.measured(stitch)
    if measured.rounds_spread_share is not None:
        return min(measured.rounds_spread_share, MOST_SHARE)
    least = measured.spread_share if measured.gauge.assumed else None
    return _share(said.rounds, measured.gauge.height_cm, least)


def _share(said_per_10cm: float | None, size_cm: float, least: float | None) -> float:
    """What is said, in 10 cm, as a share of a gauge of so wide (or high) a stitch; where nothing
    is, an ordinary error, or as little as is known."""
    if said_per_10cm is not None:
        return min(said_per_10cm * size_cm / 10, MOST_SHARE)
    return min(max(ORDINARY * size_cm / 10, least or 0.0), MOST_SHARE)


def spread_words(
    book: GaugeBook, stitches: Sequence[str], names: Mapping[str, str], said: Said
) -> tuple[str, ...]:
    """A few words on the spreads: how large, of which stitches, and where that is known from."""
    alike: dict[tuple[str, str], list[str]] = {}
    for stitch in dict.fromkeys(book.swatched_as(each) for each in stitches):
        measured = book.measured(stitch)
        width, height = measured.gauge.width_cm, measured.gauge.height_cm
        assumed = measured.gauge.assumed
        own, least = measured.spread_share, measured.spread_share if assumed else None
        wide = f"{share_of(book, stitch, said.stitches) * 10 / width:.2g} sts"
        high = f"{rounds_share(book, stitch, said) * 10 / height:.2g} rounds"
        why_wide = _why(None if assumed else own, said.stitches, least)
        why_high = _why(measured.rounds_spread_share, said.rounds, least)
        told = [(wide, why_wide), (high, why_high)]
        if why_wide == why_high:
            told = [(f"{wide} and {high}", why_wide)]
        for each in told:
            alike.setdefault(each, []).append(names.get(stitch, stitch))
    return tuple(
        f"{amount} in 10 cm for {listed(called)} ({why})" for (amount, why), called in alike.items()
    )


def _why(own: float | None, said: float | None, least: float | None) -> str:
    """Where a spread is known from, in the order in which it is believed."""
    if own is not None:
        return "from its own counts"
    if said is not None:
        return "as the brief says"
    return "common practice" if least is None else "as little is known"
