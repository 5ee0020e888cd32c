"""Measurements as people write them: ``19 x 15`` of a swatch, ``5 rounds, 40 sts, 4.5in`` of a
disc.

Every function raises ValueError with what would be right.
"""

from __future__ import annotations

import re

from evenround.solver.gauge import cupped_disc_gauge
from evenround.solver.sure_swatch import Disc, flat_disc
from evenround.tables.gauges import WHICH, StatedGauge, parse_gauge
from evenround.tables.lengths import parse_length
from evenround.tables.plan import Unit

MEASURE_RIGHT = "stitches x rounds such as '19 x 15', with --over 10cm or --over 4in"
DISC_RIGHT = (
    "a disc is written '7 rounds, 56 sts, 6in', with 'hole 1cm' or 'lies flat' where so; one that "
    "cups has 'along 6.2in, edge 18in' instead of its width"
)
_COUNT = re.compile(r"([0-9]{1,4})\s*(rnds?|rounds?|sts?|stitches)")
_NAMED = re.compile(r"(hole|along|edge|across)\s+(.+)")
_ACROSS = re.compile(r"(.+?)\s+across")
_FLAT = {"flat": True, "lies flat": True, "cups": False, "cupped": False, "ripples": False}


def read_measure(text: str, over: str | None) -> StatedGauge:
    """One measurement of a swatch; ``over`` is what it is over where it does not say so."""
    try:
        return parse_gauge(text)
    except ValueError as error:
        if str(error) != WHICH:
            raise ValueError(MEASURE_RIGHT) from error
        if over is None:
            raise
    return parse_gauge(f"{text} / {over}")


def read_disc(text: str, unit: Unit) -> Disc:
    """One disc; bare lengths are in ``unit``."""
    rounds = stitches = flat = None
    lengths: dict[str, float] = {}
    for part in (each.strip().lower() for each in text.split(",")):
        count, named = _COUNT.fullmatch(part), _NAMED.fullmatch(part)
        if part in _FLAT and flat is None:
            flat = _FLAT[part]
        elif count and count[2].startswith("r") and rounds is None:
            rounds = int(count[1])
        elif count and count[2].startswith("s") and stitches is None:
            stitches = int(count[1])
        else:
            across = _ACROSS.fullmatch(part)
            name = named[1] if named else "across"
            words = named[2] if named else across[1] if across else part
            if name in lengths:
                raise ValueError(DISC_RIGHT)
            lengths[name] = _small(words, unit, least=0 if name == "hole" else 0.1)
    if not rounds or stitches is None or not 3 <= stitches <= 1000 or rounds > 100:
        raise ValueError(DISC_RIGHT)
    return _disc(rounds, stitches, lengths, flat)


def _small(words: str, unit: Unit, least: float) -> float:
    try:
        cm = parse_length(words, unit)
    except ValueError as error:
        raise ValueError(DISC_RIGHT) from error
    if not least <= cm <= 500:
        raise ValueError(f"{words}: a length here is from {least:g} to 500 cm")
    return cm


def _disc(rounds: int, stitches: int, lengths: dict[str, float], flat: bool | None) -> Disc:
    """A disc that lies flat by its width, one that does not by what runs along the fabric."""
    hole = lengths.get("hole", 0.0)
    width = lengths.get("across", lengths.get("along"))
    if width is not None and hole >= width:
        raise ValueError(f"hole {hole:g} cm: a hole is narrower than its disc, {width:g} cm")
    if "along" in lengths and "edge" in lengths and "across" not in lengths and not flat:
        gauge = cupped_disc_gauge(rounds, stitches, lengths["along"], lengths["edge"], hole)
        return Disc(rounds, stitches, gauge, lengths["along"], False)
    if flat is False:
        raise ValueError(
            "a disc that cups or ripples is wider along the fabric than across: give 'along' and "
            "'edge' instead of its width"
        )
    if "across" not in lengths or "along" in lengths or "edge" in lengths:
        raise ValueError(DISC_RIGHT)
    return flat_disc(rounds, stitches, lengths["across"], hole, flat)
