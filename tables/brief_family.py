"""What a brief says of its sizes as one family: the table ``[family]`` and its faults.

| key | what it says |
| --- | --- |
| keep | list of what all sizes have in common: "start", "crown sectors", "band rounds", "brim rhythm" (these four unless said), "crown gaps", "brim gaps" |
| rising | true: side counts strictly rise from size to size |
| sides | "odd", "even" or "alike": rounds before the first band, where a band turns sides |
| yarn | grams at hand for all sizes together, their margins included: "450 g" or 450 |
| counts | table: a size's name = the side count it keeps |
| prices | odd_crown (2), odd_nudge (2), further_sectors (1), in mm |
"""

# ruff: noqa: E501  (the table above is for README and stays one row a line)

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import fields as fields_of
from typing import TYPE_CHECKING, Annotated, Any, ClassVar, cast

from pydantic import Field, PlainValidator

from evenround.solver.family import KEPT, USUALLY_KEPT, FamilyPrices, Kept, Parity, Rules
from evenround.solver.piece import Piece

from .brief_faults import MOST_LINES, Fault, FaultsError, fault
from .brief_sections import BandFields, BrimFields, CrownFields, EdgingFields
from .brief_tables import read_price_table
from .brief_types import Fields, Flag
from .brief_values import one_of, read_whole

if TYPE_CHECKING:
    from .brief_fields import BriefFields

MOST_GRAMS = 100_000
_NEEDS: dict[Kept, type[Any]] = {
    "crown sectors": CrownFields,
    "crown gaps": CrownFields,
    "band rounds": BandFields,
    "brim rhythm": BrimFields,
    "brim gaps": BrimFields,
}


def _read_keep(value: object) -> frozenset[Kept]:
    right = f"keep is a list of: {', '.join(KEPT)}; [] keeps nothing"
    if not isinstance(value, list):
        raise ValueError(right)
    wrong = [
        fault((place,), each, f"one of {', '.join(KEPT)} would be right")
        for place, each in enumerate(value[: MOST_LINES + 1])
        if not isinstance(each, str) or each.strip() not in KEPT
    ]
    if wrong:
        raise FaultsError(wrong)
    kept = frozenset(cast(Kept, each.strip()) for each in value)
    for other in ("start", "crown sectors"):
        if {"crown gaps", other} <= kept:
            right = "together they force one count on all sizes; keep one of the two"
            raise ValueError(f"crown gaps beside {other}: {right}")
    return kept


def _read_yarn(value: object) -> float:
    right = f'yarn is the grams at hand, such as "450 g" or 450, up to {MOST_GRAMS}'
    if isinstance(value, str):
        found = re.fullmatch(r"\s*([0-9]{1,9}(?:[.,][0-9]{1,9})?)\s*(kg|g|grams?)?\s*", value)
        if found is None:
            raise ValueError(right)
        value = float(found[1].replace(",", ".")) * (1000 if found[2] == "kg" else 1)
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError(right)
    if not 0 < value <= MOST_GRAMS:  # false for NaN as well
        raise ValueError(right)
    return float(value)


def _read_counts(value: object) -> dict[str, int]:
    """Counts by the name of a size; which sizes there are is seen later."""
    if not isinstance(value, dict):
        raise ValueError("counts are a table: a size's name = the count it keeps, such as S = 96")
    faults, out = [], {}
    for name, entry in list(value.items())[: MOST_LINES + 41]:
        try:
            right = "a count is a whole number from 10 to 2000"
            out[name] = read_whole(entry, 10, 2000, right)
        except ValueError as error:
            faults.append(fault((name,), entry, str(error)))
    if faults:
        raise FaultsError(faults)
    return out


def _read_prices(value: object) -> FamilyPrices:
    names = [each.name for each in fields_of(FamilyPrices)]
    return FamilyPrices(**read_price_table(value, names, "odd_crown = 3"))


class FamilyFields(Fields):
    """What the sizes keep in common, must obey, and what their differences cost."""

    inner: ClassVar[dict[str, Any]] = {}

    keep: Annotated[frozenset[Kept], PlainValidator(_read_keep)] = USUALLY_KEPT
    rising: Flag = False
    sides: Annotated[Parity, one_of(lambda _: ["odd", "even", "alike"], "sides")] | None = None
    yarn: Annotated[float, PlainValidator(_read_yarn)] | None = None
    counts: Annotated[dict[str, int], PlainValidator(_read_counts)] = Field(default_factory=dict)
    prices: Annotated[FamilyPrices, PlainValidator(_read_prices)] = FamilyPrices()


def family_faults(brief: BriefFields) -> Iterator[Fault]:
    """What the family's table says that the rest of the brief cannot bear out."""
    family = brief.family
    if "keep" in family.model_fields_set:
        yield from _keep(brief)
    if family.sides is not None and not any(isinstance(s, BandFields) for s in brief.sections):
        right = "the piece has no band whose side could matter; leave this out"
        yield fault(("family", "sides"), family.sides, right)
    if family.yarn is not None:
        yield from _yarn(brief)
    yield from _counts(brief)


def _keep(brief: BriefFields) -> Iterator[Fault]:
    for name in KEPT:
        needed = _NEEDS.get(name)
        if name not in brief.family.keep or needed is None:
            continue
        if not any(isinstance(s, needed) for s in brief.sections):
            what = name.split()[0]
            yield fault(("family", "keep"), name, f"the piece has no {what}; leave this out")


def _yarn(brief: BriefFields) -> Iterator[Fault]:
    """Every section weighed: else no total can be told."""
    found = f"{brief.family.yarn:g} g"
    for i, section in enumerate(brief.sections):
        stitch = section.stitch or brief.stitch
        figure = isinstance(section, BandFields | EdgingFields)
        if section.swatch is None and (figure or stitch not in brief.swatch):
            where = f"section {i + 1} ({section.kind})"
            right = f"{where} was not weighed; give it a swatch, or leave yarn out"
            yield fault(("family", "yarn"), found, right)


def _counts(brief: BriefFields) -> Iterator[Fault]:
    names = [size.name for size in brief.every_size()]
    seen: set[str] = set()
    for name, count in brief.family.counts.items():
        if name.strip().casefold() in seen:
            yield fault(("family", "counts", name), count, "each size has one count")
        elif _index(names, name) is None:
            text = f"unknown size; the sizes are: {', '.join(names)}"
            yield Fault(("family", "counts", name), text)
        seen.add(name.strip().casefold())


def _index(names: list[str], wanted: str) -> int | None:
    """Which size a name means, whatever its case."""
    folded = [name.casefold() for name in names]
    key = wanted.strip().casefold()
    return folded.index(key) if key in folded else None


def assumed_faults(brief: BriefFields, piece: Piece) -> Iterator[Fault]:
    """Yarn goes with area, and a gauge that nobody measured gives none."""
    if brief.family.yarn is None:
        return
    for i, section in enumerate(piece.sections):
        if section.gauge.assumed:
            where = f"section {i + 1} ({brief.sections[i].kind})"
            right = f"the gauge of {where} was not measured; measure it, or leave yarn out"
            yield fault(("family", "yarn"), f"{brief.family.yarn:g} g", right)


def rules_of(brief: BriefFields) -> Rules:
    """The family's rules for the solver; of a brief that passed every check."""
    family, names = brief.family, [size.name for size in brief.every_size()]
    places = {_index(names, name): count for name, count in family.counts.items()}
    return Rules(
        kept=family.keep,
        rising=family.rising,
        sides=family.sides,
        yarn_grams=family.yarn,
        counts={place: count for place, count in places.items() if place is not None},
        prices=family.prices,
    )
