"""What comes out: measured candidates, near misses and the whole answer, frozen."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from .tally import Tally

Requirement = Literal[
    "circumference",
    "repeat",
    "even increases",
    "edging repeat",
    "start count",
    "crown sectors",
    "second rate",
    "part round",
    "double rounds",
    "nudge",
    "brim sectors",
    "brim rhythm",
    "firm rounds",
    "repeat width",
    "give",
    "depth",
    "rounds",
    "brim width",
    "flare",
    "edge circumference",
]
"""The hard requirements, by the names conflicts are explained with."""

PARTS = (
    "circumference",
    "repeat_width",
    "depth",
    "brim_width",
    "flare",
    "edge",
    "fullness",
    "slope",
    "width_step",
    "nudge",
    "part_round",
    "second_rate",
    "double_round",
    "sectors",
    "stuck_brim",
    "edging",
)
"""The score's parts, in the order they are shown."""

FIT_PARTS = PARTS[:1]
SHAPE_PARTS = PARTS[1:9]
EFFORT_PARTS = PARTS[9:]
"""The three sums over which a candidate is called efficient."""


@dataclass(frozen=True, slots=True)
class Breach:
    """A requirement that a tally breaks: where, what was found, the inclusive limits."""

    requirement: Requirement
    section: str
    found: float
    low: float | None
    high: float | None


@dataclass(frozen=True, slots=True)
class Notice:
    """Something to warn of, never a refusal.

    ``what``: "fullness", "shape" (how far a half sphere is missed, in fullness), "slope"
    (``strong`` over 1.25), "width step", "stuck brim",
    "edging" (a wished edging repeat fails), "corners" (fewer than six brim sectors).
    ``found`` is the value, ``limit`` what it passed.
    """

    what: Literal["fullness", "shape", "slope", "width step", "stuck brim", "edging", "corners"]
    section: str
    found: float
    limit: float
    strong: bool = False


@dataclass(frozen=True, slots=True)
class Nudge:
    """One round of its own that changes the count: round number (from 1), section it prepares."""

    before: str
    round: int
    count_in: int
    change: int


@dataclass(frozen=True, slots=True)
class BandMeasure:
    """One band as measured: repeat, repeats, give (None without), widths in cm, and the stitches
    over whole repeats that its figure wants."""

    name: str
    repeat: int
    repeats: int
    give: int | None
    repeat_cm: float
    wish_cm: float | None
    around_cm: float
    remainder: int = 0


@dataclass(frozen=True, slots=True)
class YarnPart:
    """Yarn of one section in grams; None where its stitch was not weighed."""

    section: str
    area_cm2: float
    grams: float | None
    metres: float | None


@dataclass(frozen=True, slots=True)
class Yarn:
    """Yarn section by section; totals are None unless every section's stitch was weighed.

    ``margin`` is a share (0.10, or 0.15 with openwork), never inside ``grams``.
    """

    parts: tuple[YarnPart, ...]
    grams: float | None
    metres: float | None
    margin: float


@dataclass(frozen=True, slots=True)
class Measures:
    """A tally measured against a piece. Lengths in cm, angles in degrees; None = no such thing.

    ``score_parts`` maps each of PARTS to mm. ``cost_nm`` is the exact integer score in 1e-6 mm.
    ``brim_steepness`` etc. are the largest slopes over a shaping block; ``over_flat`` says that
    the brim grows faster than flat (``flare_deg`` is then 90).
    """

    side_count: int
    around_cm: float
    around_wish_cm: float | None
    depth_cm: float
    depth_wish_cm: float | None
    fullness: float | None
    crown_slope: float | None
    crown_across_cm: float | None
    brim_cm: float | None
    brim_wish_cm: float | None
    flare_deg: float | None
    flare_wish_deg: float | None
    over_flat: bool
    brim_fullness: float | None
    brim_slope: float | None
    edge_cm: float | None
    edge_wish_cm: float | None
    bands: tuple[BandMeasure, ...]
    nudges: tuple[Nudge, ...]
    round_widths_cm: tuple[float, ...]
    yarn: Yarn
    cost_nm: int
    score_parts: Mapping[str, float]
    breaches: tuple[Breach, ...]
    notices: tuple[Notice, ...]

    @property
    def score_mm(self) -> float:
        """The score in millimetres."""
        return self.cost_nm / 1e6

    @property
    def around_miss_cm(self) -> float | None:
        """Finished circumference minus the wish, where the fit is judged."""
        return None if self.around_wish_cm is None else self.around_cm - self.around_wish_cm

    @property
    def depth_miss_cm(self) -> float | None:
        """Depth minus the wish."""
        return None if self.depth_wish_cm is None else self.depth_cm - self.depth_wish_cm


@dataclass(frozen=True, slots=True)
class Candidate:
    """A tally that meets every requirement, measured and ranked (from 1).

    ``pareto``: no other candidate is at least as good in fit, shape and effort and better in one.
    """

    rank: int
    tally: Tally
    measures: Measures
    pareto: bool


@dataclass(frozen=True, slots=True)
class NearMiss:
    """A side count just outside one requirement.

    ``exact_gauge`` is stitches per 10 cm at which the count would be exactly as wide as
    wished. ``breach`` is the one requirement it breaks, with the value that would have to be
    allowed; the tally is the best hat with that count once it is.
    """

    side_count: int
    around_cm: float
    miss_cm: float
    exact_gauge: float
    breach: Breach
    tally: Tally
    measures: Measures


@dataclass(frozen=True, slots=True)
class Fit:
    """The answer: candidates best first.

    ``status``: "proven" (the model proved the first the best), "unproven" (time ran out; the
    candidates are the best found so far), "impossible" (then ``mends`` names the requirements
    that, given up alone, would make a hat possible).
    """

    status: Literal["proven", "unproven", "impossible"]
    candidates: tuple[Candidate, ...]
    near_misses: tuple[NearMiss, ...]
    mends: tuple[Requirement, ...]
