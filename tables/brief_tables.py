"""The brief's tables whose keys are stitches or prices: gauge, swatch, prices.

Each is read entry by entry, so that every wrong one is told, under its own key.
"""

from __future__ import annotations

from dataclasses import fields as fields_of
from statistics import fmean
from typing import Annotated, Any

from pydantic import PlainValidator, ValidationError, ValidationInfo

from evenround.solver.piece import Prices

from .brief_faults import MOST_LINES, Fault, FaultsError, fault, faults_of, nearest
from .brief_types import Fields, Flag, Hole, Small, other_terms, terms_of
from .brief_values import Area, length, number, whole
from .facts import stitches
from .gauges import StatedGauge, parse_gauge

_SPREAD = "a spread is a standard deviation from 0 to 20, such as 0.5"
_COUNTS = "counts are a list of 1 to 60 numbers over 0 and at most 150, such as [18.5, 19, 19]"


def _read_counts(value: object) -> tuple[float, ...]:
    if not isinstance(value, list) or not 1 <= len(value) <= 60:
        raise ValueError(_COUNTS)
    for each in value:
        if isinstance(each, bool) or not isinstance(each, int | float) or not 0 < each <= 150:
            raise ValueError(_COUNTS)
    return tuple(float(each) for each in value)


Counted = Annotated[tuple[float, ...], PlainValidator(_read_counts)]


class DiscFields(Fields):
    """A gauge measured on a disc worked as the crown is."""

    rounds: Annotated[int, whole(1, 100, "a disc has from 1 to 100 rounds")]
    stitches: Annotated[int, whole(3, 1000, "a disc has from 3 to 1000 stitches in its last round")]
    across: Small | None = None
    hole: Hole = 0.0
    lies_flat: Flag | None = None
    along: Small | None = None
    edge: Annotated[float, length(0.1, 500, "an edge is more than 0 cm long")] | None = None


class CountedFields(Fields):
    """A swatch counted more than once: the single counts of stitches and of rounds."""

    stitches: Counted
    rounds: Counted | None = None
    over: Annotated[float, length(1, 100, "a gauge is counted over 1 to 100 cm")]

    def stated(self) -> StatedGauge:
        """The means, with the single counts kept."""
        rounds = self.rounds or ()
        mean = fmean(rounds) if rounds else None
        return StatedGauge(
            fmean(self.stitches), mean, self.over, None, self.stitches, tuple(rounds)
        )


class SpreadFields(Fields):
    """How far the gauge of the worked piece may be off, as a standard deviation."""

    stitches: Annotated[float, number(0, 20, _SPREAD)] = 0.5
    rounds: Annotated[float, number(0, 20, _SPREAD)] = 0.5
    over: Annotated[float, length(1, 100, "a spread is said over 1 to 100 cm")] = 10.0


class SwatchFields(Fields):
    """A weighed swatch."""

    grams: Annotated[float, number(0.01, 10_000, "grams are more than 0 and at most 10000")]
    area: Area
    metres_per_gram: (
        Annotated[float, number(0.01, 100, "metres per gram are from 0.01 to 100")] | None
    ) = None


def _tables(value: object, info: ValidationInfo, read_one: Any, right: str) -> dict[str, Any]:
    """A table keyed by stitch, its faults kept apart."""
    if not isinstance(value, dict):
        raise ValueError(right)
    known, out, faults = stitches(terms_of(info)), {}, []
    for name, entry in value.items():
        if name not in known:
            terms = terms_of(info)
            hint = other_terms(name, terms)
            hint = hint or nearest(name, known, f"stitches in {terms.upper()} terms")
            faults.append(Fault((name,), f"unknown key; {hint}"))
            continue
        try:
            out[known[name]] = read_one(name, entry, info)
        except ValidationError as error:
            model = _gauge_model(entry) if read_one is _gauge else SwatchFields
            faults += faults_of(error, model, (name,))
        except ValueError as error:
            faults.append(fault((name,), entry, str(error)))
        if len(faults) > MOST_LINES:
            break
    if faults:
        raise FaultsError(faults)
    return out


def _gauge_model(entry: object) -> type[CountedFields] | type[DiscFields]:
    """A table with lists of counts, or one that says over what, is a swatch; others are discs."""
    if not isinstance(entry, dict):
        return DiscFields
    lists = any(isinstance(entry.get(key), list) for key in ("stitches", "rounds"))
    return CountedFields if lists or "over" in entry else DiscFields


def _gauge(name: str, entry: object, info: ValidationInfo) -> StatedGauge | DiscFields:
    if isinstance(entry, dict):
        read = _gauge_model(entry).model_validate(entry, context=info.context)
        return read.stated() if isinstance(read, CountedFields) else read
    if not isinstance(entry, str):
        raise ValueError(
            'a gauge is a text such as "16 x 12 / 10cm", or the table of a disc or of a swatch '
            "counted more than once"
        )
    stated = parse_gauge(entry)
    if stated.word is not None and stated.word != name:
        raise ValueError(f"it names {stated.word}, but it stands under {name}")
    return stated


def _read_gauges(value: object, info: ValidationInfo) -> dict[str, StatedGauge | DiscFields]:
    right = 'gauge is a table by stitch, such as hdc = "16 x 12 / 10cm"'
    return _tables(value, info, _gauge, right)


def _swatch(_: str, entry: object, info: ValidationInfo) -> SwatchFields:
    return SwatchFields.model_validate(entry, context=info.context)


def _read_swatches(value: object, info: ValidationInfo) -> dict[str, SwatchFields]:
    right = 'swatch is a table by stitch, such as hdc = { grams = 12, area = "10cm x 10cm" }'
    return _tables(value, info, _swatch, right)


def _read_prices(value: object) -> Prices:
    names = [each.name for each in fields_of(Prices)]
    return Prices(**read_price_table(value, names, "nudge = 5"))


def read_price_table(value: object, names: list[str], such_as: str) -> dict[str, float]:
    """Prices in mm by their names; every wrong one is told under its own."""
    right = "a price is a number of mm from 0 to 1000"
    if not isinstance(value, dict):
        raise ValueError(f"prices are a table, such as {such_as}")
    faults, out = [], {}
    for name, entry in value.items():
        if name not in names:
            faults.append(Fault((name,), f"unknown key; {nearest(name, names, 'prices')}"))
        elif isinstance(entry, bool) or not isinstance(entry, int | float) or not 0 <= entry <= 1e3:
            faults.append(fault((name,), entry, right))
        else:
            out[name] = float(entry)
        if len(faults) > MOST_LINES:
            break
    if faults:
        raise FaultsError(faults)
    return out


GaugeTable = Annotated[dict[str, StatedGauge | DiscFields], PlainValidator(_read_gauges)]
SwatchTable = Annotated[dict[str, SwatchFields], PlainValidator(_read_swatches)]
PriceTable = Annotated[Prices, PlainValidator(_read_prices)]
