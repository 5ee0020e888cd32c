"""What is asked for: one piece in one size, section by section, in numbers only.

Every length is in centimetres, every angle in degrees. The brief's reader (evenround.tables)
builds these after validating what a person wrote; nothing here parses text or knows the
name of a stitch. All classes are frozen.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from math import pi
from typing import Literal

Shape = Literal["flat", "domed", "half sphere"]
Turn = Literal["down", "up"]
Start = Literal["ring", "chain"]


@dataclass(frozen=True, slots=True)
class Gauge:
    """One stitch of the fabric: width and height in cm.

    ``assumed`` is true where nobody measured it (rule-of-thumb proportions, a yarn class).
    """

    width_cm: float
    height_cm: float
    assumed: bool = False

    @property
    def flat_rate(self) -> float:
        """Stitches a round that keep a disc flat: 2 pi h / w."""
        return 2 * pi * self.height_cm / self.width_cm


@dataclass(frozen=True, slots=True)
class Swatch:
    """A weighed swatch of one stitch: grams, its area in cm2, and the yarn's metres per gram."""

    grams: float
    area_cm2: float
    metres_per_gram: float | None = None


@dataclass(frozen=True, slots=True)
class Crown:
    """A disc of increases from a ring.

    ``hole_cm`` is the width across the hole in the middle. ``start_range`` and
    ``sector_range`` are inclusive. ``rates`` 2 allows a second, slower rate; ``part_round``
    one last round with fewer increases than sectors; ``double_rounds`` is how many rounds
    may add two on every sector.
    """

    gauge: Gauge
    name: str = "crown"
    shape: Shape = "flat"
    start_range: tuple[int, int] = (5, 16)
    sector_range: tuple[int, int] = (4, 24)
    sectors_wished: int | None = None
    rates: int = 2
    part_round: bool = True
    double_rounds: int = 0
    hole_cm: float = 0.0
    swatch: Swatch | None = None


@dataclass(frozen=True, slots=True)
class Even:
    """Plain rounds without shaping; ``rounds`` is an inclusive range, None = no upper end.

    ``around_cm`` is this section's own finished circumference, where the piece is no hat.
    """

    gauge: Gauge
    name: str = "even"
    rounds: tuple[int, int | None] = (0, None)
    around_cm: float | None = None
    swatch: Swatch | None = None


@dataclass(frozen=True, slots=True)
class Figure:
    """A stitch figure by its counts per repeat: before it, then after each of its rounds.

    ``counts`` (8, 10, 8) with ``give`` (1, 1, 1) is a figure of two rounds that takes 8 + t,
    makes it 10 + t and leaves 8 + t. The last entry may differ from the first.
    """

    counts: tuple[int, ...]
    give: tuple[int, ...]

    @property
    def rounds(self) -> int:
        """Rounds of one figure."""
        return len(self.counts) - 1

    def at(self, t: int) -> tuple[int, ...]:
        """Counts per repeat with t plain stitches of give."""
        return tuple(c + g * t for c, g in zip(self.counts, self.give, strict=True))

    def over(self, t: int, rounds: int) -> tuple[int, ...]:
        """Counts per repeat before and after each of ``rounds`` rounds, the figure begun again
        as often as needed, with t plain stitches of give."""
        once = self.at(t)
        out = [once[0]]
        while len(out) <= rounds:
            out += once[1:]
        return tuple(out[: rounds + 1])

    @property
    def has_give(self) -> bool:
        """Whether t changes anything."""
        return any(self.give)


@dataclass(frozen=True, slots=True)
class Band:
    """Rounds of a figure that has to come out even.

    ``gauge`` is its stitch's; ``give_range`` bounds t (inclusive). ``repeat_wish_cm`` is the
    wished width of a repeat, judged at ``wish_width_cm`` a stitch (the body's gauge).
    ``measured_repeat_cm`` is a swatch's width of a repeat (made with ``measured_give`` plain
    stitches) and then decides the band's circumference; ``measured_height_cm`` is the height
    of one figure. ``rounds`` is an inclusive range; only whole figures are worked. The count
    N must satisfy N = remainder (mod repeat).
    """

    gauge: Gauge
    figure: Figure
    name: str = "band"
    rounds: tuple[int, int] = (1, 1)
    remainder: int = 0
    even_repeats: bool = False
    give_range: tuple[int, int] = (0, 0)
    repeat_wish_cm: float | None = None
    wish_width_cm: float | None = None
    measured_repeat_cm: float | None = None
    measured_give: int = 0
    measured_height_cm: float | None = None
    around_cm: float | None = None
    swatch: Swatch | None = None
    openwork: bool = False


@dataclass(frozen=True, slots=True, order=True)
class Rhythm:
    """``increases`` of every ``block`` rounds increase: (1, 2) = every second round."""

    increases: int
    block: int


@dataclass(frozen=True, slots=True)
class Brim:
    """A ring of increases below the head. Exactly one of ``flare_deg`` (0 to 90, from straight
    down) and ``fullness`` (over 1: ripples) is given. ``firm_rounds`` last rounds are plain."""

    gauge: Gauge
    width_cm: float
    flare_deg: float | None = None
    fullness: float | None = None
    name: str = "brim"
    turns: Turn = "down"
    sector_range: tuple[int, int] = (6, 16)
    sectors_wished: int | None = None
    rhythms: tuple[Rhythm, ...] = (Rhythm(1, 1), Rhythm(1, 2), Rhythm(1, 3), Rhythm(2, 3))
    firm_rounds: int = 1
    swatch: Swatch | None = None


@dataclass(frozen=True, slots=True)
class Edging:
    """The last rounds, worked once through ``figure``; unless ``required`` its repeat is a wish."""

    gauge: Gauge
    figure: Figure
    name: str = "edging"
    remainder: int = 0
    required: bool = True
    swatch: Swatch | None = None


Section = Crown | Even | Band | Brim | Edging


@dataclass(frozen=True, slots=True)
class Limits:
    """How far a hat may be from what was asked before it is refused.

    Centimetres, degrees, shares. None for depth and brim width means one round.
    """

    around_cm: float = 1.5
    depth_cm: float | None = None
    brim_cm: float | None = None
    repeat_share: float = 0.10
    flare_deg: float = 10.0
    edge_cm: float = 3.0
    nudge_share: float = 0.05
    nudge_stitches: int = 6
    nudge_apart: int = 3


@dataclass(frozen=True, slots=True)
class Prices:
    """The score's prices in mm, the one table of them; a brief may set each.

    Unit in each comment; fullness and slope are per 0.01.
    """

    circumference: float = 1.0  # per mm
    repeat_width: float = 1.0  # per mm
    depth: float = 0.5  # per mm
    brim_width: float = 0.5  # per mm
    flare: float = 0.5  # per degree, wishes up to 60 degrees
    edge: float = 0.5  # per mm of edge radius, wishes above 60 degrees
    fullness: float = 0.3  # per 0.01 outside the shape's range
    slope: float = 0.3  # per 0.01 over 1.10
    width_step: float = 2.0  # per % over 3 between sections that meet
    nudge: float = 3.0  # each
    nudge_stitch: float = 1.0  # per stitch of a nudge
    part_round: float = 3.0  # each
    second_rate: float = 2.0  # each
    double_round: float = 1.0  # each
    sectors: float = 2.0  # per sector away from a wished number
    stuck_brim: float = 6.0  # a count no allowed number of brim sectors divides
    edging: float = 6.0  # a wished edging repeat that does not fit


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece in one size. ``around_cm`` is the finished circumference (head + ease) where
    the piece touches the head; None where each section has its own. ``depth_cm`` is measured
    along the fabric from the middle of the crown (or the first round) to where the brim turns.
    ``nudges_shape`` says that nudges are the shaping and cost nothing."""

    sections: tuple[Section, ...]
    start: Start = "ring"
    around_cm: float | None = None
    depth_cm: float | None = None
    limits: Limits = field(default_factory=Limits)
    prices: Prices = field(default_factory=Prices)
    nudges_shape: bool = False


def side_section(piece: Piece) -> Section:
    """The section by which the fit is judged: the first below the crown; the crown where there
    is nothing else."""
    sections = piece.sections
    below = isinstance(sections[0], Crown) and len(sections) > 1
    return sections[1 if below else 0]
