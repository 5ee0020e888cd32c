"""The trade's tables as data: each CSV in data/ read once, and the few look-ups the brief needs.

Rows are plain dictionaries of text, every table with where its numbers come from. The column
`open` of figures.csv is ours. Nothing here is a limit of nature; a brief can say otherwise.
"""

from __future__ import annotations

import csv
from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from types import MappingProxyType

Row = Mapping[str, str]


@cache
def table(name: str) -> tuple[Row, ...]:
    """All rows of data/``name``.csv in file order; FileNotFoundError if there is none."""
    text = (files("evenround.tables") / "data" / f"{name}.csv").read_text(encoding="utf-8")
    return tuple(MappingProxyType(row) for row in csv.DictReader(text.splitlines()))


def data_text(name: str) -> str:
    """The text of data/``name``."""
    return (files("evenround.tables") / "data" / name).read_text(encoding="utf-8")


@cache
def flat_rates() -> Mapping[str, float]:
    """US abbreviation -> increases a round at which a disc usually lies flat (flat_rates.csv)."""
    rows = table("flat_rates")
    return MappingProxyType({r["stitch_us"]: float(r["increases_per_round"]) for r in rows})


@cache
def proportions() -> Mapping[str, float]:
    """US abbreviation -> relative height of a stitch (proportions.csv)."""
    return MappingProxyType({r["stitch_us"]: float(r["height"]) for r in table("proportions")})


@cache
def stitches(terms: str) -> Mapping[str, str]:
    """Abbreviation in ``terms`` ("us", "uk") -> US one, of the stitches a hat is made of."""
    known = flat_rates()
    rows = [r for r in table("terms") if r["us_abbr"] in known]
    return MappingProxyType({r[f"{terms}_abbr"]: r["us_abbr"] for r in rows})


def start_range(stitch: str) -> tuple[int, int]:
    """Usual start counts in the ring, inclusive, for a US abbreviation (starts.csv)."""
    row = next(r for r in table("starts") if r["stitch_us"] == stitch)
    return int(row["low"]), int(row["high"])


def depth_share(head_cm: float, *, brim: bool) -> float:
    """Depth as a share of the head, to the ear (depth_shares.csv); with a brim a little less."""
    for row in table("depth_shares"):
        if row["brim"] not in ("", "yes" if brim else "no"):
            continue
        low, high = row["head_cm_from"], row["head_cm_below"]
        if (not low or head_cm >= float(low)) and (not high or head_cm < float(high)):
            return float(row["share_of_head"])
    raise AssertionError("depth_shares.csv leaves a gap")


def usual_flares() -> str:
    """The usual flares in one phrase (flares.csv), for messages."""
    return ", ".join(f"{r['brim']} {r['deg_low']} to {r['deg_high']}" for r in table("flares"))
