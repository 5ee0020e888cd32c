"""Every field a brief may have, validated one by one. What fields mean together: brief_checks.

Lengths are texts such as "56cm", "22 1/2 in", or bare numbers in the brief's own unit.

| key | what it says |
| --- | --- |
| title | the piece's name |
| unit | "cm" (default) or "in": unit of bare numbers and of what is shown |
| terms | "us" (default) or "uk": in which terms the brief names stitches |
| stitch | the body's stitch; default hdc (uk htr), or the first in gauge where hdc is not there |
| start | "ring" (default with a crown) or "chain" |
| rounds | "joined" (default) or "spiral" |
| gauge | table: stitch = "16 x 12 / 10cm", or a disc { rounds, stitches, across, hole, lies_flat }; one that cups has along and edge instead of across; a swatch counted more than once { stitches = [18.5, 19], rounds = [15, 15.5], over = "10cm" } |
| gauge_spread | stitches, rounds, over: the standard deviation of the worked piece's gauge (0.5, 0.5, "10cm") |
| stretch | how far the fabric gives, such as "5%" of its circumference |
| yarn_class | 1 to 6: stands in for a gauge nobody measured |
| head, ease, depth | one size said at the top; ease and depth also serve sizes that say none |
| circumference | instead of head and ease where the piece is no hat; one, or { from, to } run evenly over the sections |
| sizes | list of names of ready sizes, such as "S" (brief_ready), and of tables: name, head (or the name of a ready size), ease, depth or circumference; brim_width, brim_flare, brim_firm_rounds replace the brim's in that size |
| tolerances | circumference (1.5 cm), depth and brim (one round), repeat_width ("10%"), flare (10 degrees), edge (3 cm) |
| nudge | stitches (6), share ("5%"), apart (3 rounds), shape (true: nudges are the shaping and cost nothing) |
| prices | the score's prices in mm: circumference, repeat_width, depth, brim_width, flare, edge, fullness, slope, width_step, nudge, nudge_stitch, part_round, second_rate, double_round, sectors, stuck_brim, edging |
| swatch | table: stitch = { grams, area ("10cm x 10cm"), metres_per_gram } where weighed; for sections worked plain |
| sections | list of tables, in the order they are worked, each with a kind |
| family | table: what all sizes keep in common and must obey; see brief_family |

Every section has kind, and may have a name, its own stitch (default: the body's) and its own
swatch { grams, area, metres_per_gram }: bands and edgings have no yarn amount without one.

| kind | its own keys |
| --- | --- |
| crown | shape ("flat", "domed", "half sphere"), sectors (wished), sector_range, start_range, rates (1 or 2), part_round, double_rounds, hole (width across) |
| even | rounds (a number or [least, most]), circumference |
| band | repeat (6, "8+t", "6 + 1") or figure (one of `evenround figures`) or work (its rounds in words, as a pattern has them), counts (per repeat, before and after each round) or leaves, rounds (whole figures), give ([least, most] of t), repeat_width (wished, at body gauge), measured_repeat with measured_give, measured_height (of one figure), remainder, even_repeats, openwork, circumference |
| brim | width, flare (degrees from straight down) or fullness, turns ("down", "up"), sectors (wished), sector_range (6 to 16), rhythms ("every round", "every second", ... "every fifth", "two of three"), firm_rounds (1) |
| edging | repeat, figure or work, counts or leaves, rounds, remainder, required (false: a wish) |
"""

# ruff: noqa: E501  (the two tables above are for README and stay one row a line)

from __future__ import annotations

from typing import Annotated, Any, ClassVar, Literal, Self

from pydantic import Field, ModelWrapValidatorHandler, PlainValidator, model_validator

from evenround.solver.piece import Prices

from .brief_family import FamilyFields
from .brief_ready import ready_names, ready_size
from .brief_sections import ByKind, Section
from .brief_tables import GaugeTable, PriceTable, SpreadFields, SwatchTable
from .brief_types import (
    Around,
    BrimWidth,
    Degrees,
    Depth,
    Ease,
    Fields,
    FirmRounds,
    Flag,
    Flare,
    Head,
    NudgeShare,
    RepeatShare,
    Stitch,
    Stretch,
    Tolerance,
)
from .brief_values import Name, whole
from .plan import Unit


def _read_yarn_class(value: object) -> int:
    if value == 0 and not isinstance(value, bool):
        raise ValueError("class 0 is counted in double crochet on steel hooks: swatch it")
    if value == 7 and not isinstance(value, bool):
        raise ValueError("class 7 is published without a lower end, so it has no middle: swatch it")
    if isinstance(value, bool) or not isinstance(value, int) or not 1 <= value <= 6:
        raise ValueError("a yarn class is a whole number from 1 to 6")
    return value


class SizeFields(Fields):
    """One size. One named alone is a ready size; its head is filled in where there is none."""

    name: Name
    head: Head | None = None
    ease: Ease | None = None
    depth: Depth | None = None
    circumference: Around | None = None
    brim_width: BrimWidth | None = None
    brim_flare: Flare | None = None
    brim_firm_rounds: FirmRounds | None = None

    @model_validator(mode="wrap")
    @classmethod
    def _by_name(cls, value: object, handler: ModelWrapValidatorHandler[Self]) -> Self:
        if isinstance(value, dict | SizeFields):
            return handler(value)
        if not isinstance(value, str):
            raise ValueError("a size is a table with a name, or the name of a ready size")
        ready = ready_size(value)
        if ready is None:
            raise ValueError(f"a ready size is one of {ready_names()}; others are tables with head")
        return handler({"name": ready.name})

    @property
    def is_ready(self) -> bool:
        """Whether its head comes from the table of ready sizes."""
        return self.head is not None and "head" not in self.model_fields_set


class ToleranceFields(Fields):
    """How far off a piece may be."""

    circumference: Tolerance = 1.5
    depth: Tolerance | None = None
    brim: Tolerance | None = None
    repeat_width: RepeatShare = 0.10
    flare: Degrees = 10.0
    edge: Tolerance = 3.0


class NudgeFields(Fields):
    """How much one round may add or drop so that the next section fits."""

    stitches: Annotated[int, whole(0, 100, "a nudge has from 0 to 100 stitches")] = 6
    share: NudgeShare = 0.05
    apart: Annotated[int, whole(0, 100, "nudges are from 0 to 100 rounds apart")] = 3
    shape: Flag = False


class BriefFields(Fields):
    """A whole brief, each field by itself in order."""

    inner: ClassVar[dict[str, Any]] = {
        "sizes": SizeFields,
        "tolerances": ToleranceFields,
        "nudge": NudgeFields,
        "gauge_spread": SpreadFields,
        "sections": ByKind,
        "family": FamilyFields,
    }

    title: Name = "a piece without a title"
    unit: Unit = "cm"
    terms: Literal["us", "uk"] = "us"
    stitch: Stitch = "hdc"
    start: Literal["ring", "chain"] | None = None
    rounds: Literal["joined", "spiral"] = "joined"
    gauge: GaugeTable = Field(default_factory=dict)
    gauge_spread: SpreadFields = SpreadFields()
    stretch: Stretch | None = None
    yarn_class: Annotated[int, PlainValidator(_read_yarn_class)] | None = None
    head: Head | None = None
    ease: Ease | None = None
    depth: Depth | None = None
    circumference: Around | None = None
    sizes: list[SizeFields] = Field(default_factory=list, max_length=60)
    tolerances: ToleranceFields = ToleranceFields()
    nudge: NudgeFields = NudgeFields()
    prices: PriceTable = Prices()
    swatch: SwatchTable = Field(default_factory=dict)
    sections: Annotated[list[Section], Field(min_length=1, max_length=60)]
    family: FamilyFields = FamilyFields()

    def with_body_stitch(self) -> BriefFields:
        """The body's stitch where none was said: hdc, unless only others were swatched."""
        if "stitch" in self.model_fields_set or not self.gauge or self.stitch in self.gauge:
            return self
        return self.model_copy(update={"stitch": next(iter(self.gauge))})

    def with_ready_heads(self) -> BriefFields:
        """Heads of ready sizes, where neither they nor the sections say how far around."""
        own = any(getattr(s, "circumference", None) is not None for s in self.sections)
        if own or self.circumference is not None:
            return self
        sizes = [_with_ready_head(size) for size in self.sizes]
        return self.model_copy(update={"sizes": sizes})

    def every_size(self) -> list[SizeFields]:
        """The sizes, each filled up from the top; a brief that lists none has one."""
        if not self.sizes:
            said = {key: getattr(self, key) for key in _SIZE_KEYS}
            return [SizeFields.model_construct(name=ONLY_SIZE, **said)]
        return [self._filled(size) for size in self.sizes]

    def _filled(self, size: SizeFields) -> SizeFields:
        missing = [key for key in _SIZE_KEYS if getattr(size, key) is None]
        return size.model_copy(update={key: getattr(self, key) for key in missing})


def _with_ready_head(size: SizeFields) -> SizeFields:
    ready = ready_size(size.name)
    if ready is None or size.head is not None or size.circumference is not None:
        return size
    said = {key: getattr(size, key) for key in size.model_fields_set}
    filled = {"name": size.name, "head": ready.head_cm}
    return SizeFields.model_construct(_fields_set=size.model_fields_set, **(said | filled))


ONLY_SIZE = "one size"
_SIZE_KEYS = ("head", "ease", "depth", "circumference")
