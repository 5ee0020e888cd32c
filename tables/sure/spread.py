"""How far each section's gauge may slip, from what the brief says of it.

In this order: what the swatch's own repeated counts say; the brief's ``gauge_spread``; for a yarn
class, its width; else half a stitch in 10 cm (common practice, no source). All are standard
deviations of the gauge of the worked piece.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from evenround.solver.sure import MOST_SHARE, Slip
from evenround.tables.gauges import GaugeBook
from evenround.tables.words import listed

ORDINARY = 0.5
"""Half a stitch, or half a round, in 10 cm: an ordinary error (common practice, no source)."""


def slips_of(
    book: GaugeBook, sections: Sequence[str], said_per_10cm: float | None
) -> tuple[Slip, ...]:
    """One slip a section; ``sections`` has their stitches. Those swatched as one stitch slip as
    one. ``said_per_10cm`` is the brief's own spread in stitches, None where it says none."""
    groups = list(dict.fromkeys(book.swatched_as(stitch) for stitch in sections))
    shares = {stitch: share_of(book, stitch, said_per_10cm) for stitch in groups}
    swatched = [book.swatched_as(stitch) for stitch in sections]
    return tuple(Slip(groups.index(stitch), shares[stitch]) for stitch in swatched)


def share_of(book: GaugeBook, stitch: str, said_per_10cm: float | None) -> float:
    """The standard deviation of a stitch's gauge over the gauge itself."""
    measured = book.measured(stitch)
    share = said_per_10cm
    share = None if share is None else share * measured.gauge.width_cm / 10
    usual = ORDINARY * measured.gauge.width_cm / 10
    if measured.gauge.assumed and measured.spread_share is not None:
        usual = max(usual, measured.spread_share)
    elif measured.spread_share is not None:
        share = measured.spread_share
    return min(usual if share is None else share, MOST_SHARE)


def spread_words(
    book: GaugeBook, stitches: Sequence[str], names: Mapping[str, str], said: float | None
) -> tuple[str, ...]:
    """A few words on the spreads: how large, of which stitches, and where that is known from."""
    alike: dict[tuple[str, str], list[str]] = {}
    for stitch in dict.fromkeys(book.swatched_as(each) for each in stitches):
        measured = book.measured(stitch)
        amount = f"{share_of(book, stitch, said) * 10 / measured.gauge.width_cm:.2g}"
        why = "common practice" if said is None else "as the brief says"
        if measured.spread_share is not None and not measured.gauge.assumed:
            why = "from its own counts"
        elif measured.spread_share is not None and said is None:
            why = "as little is known"
        alike.setdefault((amount, why), []).append(names.get(stitch, stitch))
    return tuple(
        f"{amount} sts in 10 cm for {listed(called)} ({why})"
        for (amount, why), called in alike.items()
    )
