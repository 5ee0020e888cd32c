"""What each kind of section may say, mirroring the solver's sections."""

from __future__ import annotations

from typing import Annotated, Any, ClassVar, Literal

from pydantic import Field, PlainValidator

from evenround.solver.piece import Rhythm

from .brief_rounds import OwnRounds
from .brief_tables import SwatchFields
from .brief_types import (
    BrimWidth,
    Fields,
    FigureName,
    FirmRounds,
    Flag,
    Flare,
    Fullness,
    Hole,
    OwnAround,
    Remainder,
    Rounds,
    SectorRange,
    Sectors,
    Small,
    Stitch,
    read_rhythms,
)
from .brief_values import Counts, Leaves, Name, Repeat, whole, whole_range


class SectionFields(Fields):
    """What every section may say."""

    inner: ClassVar[dict[str, Any]] = {"swatch": SwatchFields}

    name: Name | None = None
    stitch: Stitch | None = None
    swatch: SwatchFields | None = None


class CrownFields(SectionFields):
    """A disc of increases."""

    kind: Literal["crown"]
    shape: Literal["flat", "domed", "half sphere"] = "flat"
    sectors: Sectors | None = None
    sector_range: SectorRange = (4, 24)
    start_range: (
        Annotated[tuple[int, int], whole_range(2, 60, "a range of start counts")] | None
    ) = None
    rates: Annotated[int, whole(1, 2, "rates are 1 or 2")] = 2
    part_round: Flag = True
    double_rounds: Annotated[int, whole(0, 20, "double rounds are from 0 to 20")] = 0
    hole: Hole = 0.0


class EvenFields(SectionFields):
    """Plain rounds."""

    kind: Literal["even"]
    rounds: Rounds | None = None
    circumference: OwnAround | None = None


class FigureFields(SectionFields):
    """What a band and an edging share: their figure."""

    repeat: Repeat | None = None
    figure: FigureName | None = None
    work: OwnRounds | None = None
    counts: Counts | None = None
    leaves: Leaves | None = None
    remainder: Remainder | None = None


class BandFields(FigureFields):
    """Rounds of a figure."""

    kind: Literal["band"]
    rounds: Annotated[tuple[int, int], whole_range(1, 400, "a number of rounds")] | None = None
    give: Annotated[tuple[int, int], whole_range(0, 60, "give")] | None = None
    repeat_width: Small | None = None
    measured_repeat: Small | None = None
    measured_give: Annotated[int, whole(0, 60, "measured give is from 0 to 60")] | None = None
    measured_height: Small | None = None
    even_repeats: Flag = False
    openwork: Flag | None = None
    circumference: OwnAround | None = None


class BrimFields(SectionFields):
    """A ring of increases."""

    kind: Literal["brim"]
    width: BrimWidth | None = None
    flare: Flare | None = None
    fullness: Fullness | None = None
    turns: Literal["down", "up"] = "down"
    sectors: Sectors | None = None
    sector_range: SectorRange = (6, 16)
    rhythms: Annotated[tuple[Rhythm, ...], PlainValidator(read_rhythms)] = (
        Rhythm(1, 1),
        Rhythm(1, 2),
        Rhythm(1, 3),
        Rhythm(2, 3),
    )
    firm_rounds: FirmRounds = 1


class EdgingFields(FigureFields):
    """The last rounds."""

    kind: Literal["edging"]
    rounds: Annotated[int, whole(1, 40, "an edging has from 1 to 40 rounds")] | None = None
    required: Flag = True


AnySection = CrownFields | EvenFields | BandFields | BrimFields | EdgingFields
Section = Annotated[AnySection, Field(discriminator="kind")]


class ByKind:
    """Only for faults: the model of each kind of section."""

    by_kind: ClassVar[dict[str, type[Fields]]] = {
        "crown": CrownFields,
        "even": EvenFields,
        "band": BandFields,
        "brim": BrimFields,
        "edging": EdgingFields,
    }
    model_fields: ClassVar[dict[str, Any]] = {}
