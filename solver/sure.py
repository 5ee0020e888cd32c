"""How sure a hat is: what a slip of gauge does to its circumference, and which heads it serves.

The gauge of the worked piece is taken as normal around the stated one. Sections of one slip (one
stitch, and whatever was estimated from its swatch or worked in it, a measured repeat too) come
out wider or narrower together, in proportion; different slips are independent. So the
circumference at a place is its nominal one divided by a normal factor, and every chance is a
difference of two normal distribution functions, or a product of such; a depth is a sum of what
is worked in each stitch, nominal divided by a normal factor. Nothing is simulated.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import inf, isfinite
from statistics import NormalDist

from .judge import Judged, Worked, depth_parts, judged_places, pair, side_place
from .piece import Band, Even, Piece
from .tally import Tally

MOST_SHARE = 0.25
"""The largest spread, as a share of the gauge: beyond it the normal reaches gauges of nothing."""

RANGE = 0.95
"""The share of hats that the shown range of circumferences holds."""

MOST_NODES = 500
_NORMAL = NormalDist()


@dataclass(frozen=True, slots=True)
class Slip:
    """How one gauge may slip: ``share`` is the standard deviation of its stitches over their
    mean, ``rounds_share`` that of its rounds (None: not known), both 0 to 0.25.

    Sections with the same ``group`` slip together, in proportion; different groups do not know
    of each other.
    """

    group: int
    share: float
    rounds_share: float | None = None

    def __post_init__(self) -> None:
        for name in ("share", "rounds_share"):
            share = getattr(self, name)
            if share is not None and not (isfinite(share) and 0 <= share <= MOST_SHARE):
                raise ValueError(f"{name}: found {share}; it is from 0 to {MOST_SHARE}")


@dataclass(frozen=True, slots=True)
class Sure:
    """How sure one design is. ``low_cm`` and ``high_cm`` hold 19 of 20 finished circumferences
    (where the fit is judged at the stated gauge); ``chance`` is that of every judged place lying
    within the tolerance, None without a wish to judge by. ``depth_low_cm`` and
    ``depth_high_cm`` hold 19 of 20 finished depths, crown to brim; None where no spread of the
    rounds is known."""

    low_cm: float
    high_cm: float
    chance: float | None
    depth_low_cm: float | None = None
    depth_high_cm: float | None = None

    @property
    def per_cent(self) -> int | None:
        """The chance in whole per cent, by which ``steady`` ranks."""
        return None if self.chance is None else round(100 * self.chance)


def around_range(around_cm: float, share: float) -> tuple[float, float]:
    """The circumferences between which RANGE of all hats lie, as many outside either way.

    With g normal about its mean, C = around_cm x mean / g falls as g grows, so its quantiles are
    those of g turned about. ``share`` is the spread over the mean.
    """
    z = _NORMAL.inv_cdf((1 + RANGE) / 2)
    return around_cm / (1 + z * share), around_cm / (1 - z * share)


def depth_range(parts: Sequence[tuple[float, float]], fixed_cm: float = 0.0) -> tuple[float, float]:
    """The depths between which RANGE of all hats lie, as many outside either way.

    Each part is (nominal cm, share): worked in one stitch, whose rounds come out as many or few
    together; the parts slip apart. ``fixed_cm`` does not slip. One part is turned about as in
    ``around_range``; the quantiles of a sum of more are found from its distribution function.
    """
    moving = sorted((p for p in parts if p[0] * p[1] > 0), key=lambda p: -p[0] * p[1])
    fixed = fixed_cm + sum(cm for cm, share in parts if cm * share == 0)
    if not moving:
        return fixed, fixed
    if len(moving) == 1:
        low, high = around_range(*moving[0])
        return fixed + low, fixed + high
    tail = (1 - RANGE) / 2
    return fixed + _quantile(moving, tail), fixed + _quantile(moving, 1 - tail)


_NODES = tuple(0.54 * k for k in range(-7, 8))  # evenly spaced ones are all but exact here
_WEIGHTS = tuple(_NORMAL.pdf(node) for node in _NODES)


def _quantile(parts: Sequence[tuple[float, float]], chance: float) -> float:
    """The depth that a sum of parts stays below with this chance, by halving. The first part,
    which moves most, is integrated out by its distribution function, the others by nodes."""
    (cm, share), *others = parts
    weighed = [(0.0, 1.0)]
    for other, spread in others:
        weighed = _fewer(
            (deep + other / (1 + spread * node), weight * more)
            for deep, weight in weighed
            for node, more in zip(_NODES, _WEIGHTS, strict=True)
        )
    whole = sum(weight for _, weight in weighed)

    def below(depth: float) -> float:
        """The first part stays below what is left where its factor is above cm / left."""
        left = ((depth - deep, weight) for deep, weight in weighed if depth > deep)
        return sum(w * _NORMAL.cdf((1 - cm / each) / share) for each, w in left) / whole

    low, high = (sum(deep / (1 - far * s) for deep, s in parts) for far in (-3.5, 3.5))
    while high - low > 1e-5:
        middle = (low + high) / 2
        low, high = (middle, high) if below(middle) < chance else (low, middle)
    return (low + high) / 2


def _fewer(weighed: Iterable[tuple[float, float]]) -> list[tuple[float, float]]:
    """Depths and weights in order, neighbours taken together where there are very many."""
    ordered = sorted(weighed)
    each = -(-len(ordered) // MOST_NODES)
    bunches = [ordered[at : at + each] for at in range(0, len(ordered), each)]
    weights = [sum(weight for _, weight in bunch) for bunch in bunches]
    return [
        (sum(deep * weight for deep, weight in bunch) / whole, whole)
        for bunch, whole in zip(bunches, weights, strict=True)
    ]


def chance_within(places: Sequence[tuple[float, float, float]], share: float) -> float:
    """The chance that circumferences that slip together all lie within their limits.

    Each place is (nominal, least, most) in cm. One factor x, normal about 1, divides them all:
    a place holds where nominal / most <= x <= nominal / least, and all of them where every one
    of these intervals does.
    """
    low = max(nominal / most if most > 0 else inf for nominal, _, most in places)
    high = min(nominal / least if least > 0 else inf for nominal, least, _ in places)
    if share == 0:
        return 1.0 if low <= 1 <= high else 0.0
    if high <= low:
        return 0.0
    normal = NormalDist(1.0, share)
    return (1.0 if high == inf else normal.cdf(high)) - normal.cdf(low)


def sure_of(piece: Piece, slips: Sequence[Slip], tally: Tally) -> Sure:
    """How sure a tally is. ``slips`` has one entry for every section of the piece, in order.

    Raises ValueError where there are not as many slips as sections.
    """
    if len(slips) != len(piece.sections):
        raise ValueError(f"slips: found {len(slips)} for {len(piece.sections)} sections")
    worked = pair(piece, tally)
    judged = judged_places(piece, worked)
    decides = side_place(judged, worked)
    share = slips[_section_of(decides, worked)].share
    low, high = around_range(decides.um / 10_000, share)
    shallow, deep = _depths(slips, worked) or (None, None)
    return Sure(low, high, _chance(piece, slips, worked, judged), shallow, deep)


def _depths(slips: Sequence[Slip], worked: Sequence[Worked]) -> tuple[float, float] | None:
    """Rounds of one group slip together: what is worked in them is one part of the depth."""
    groups: dict[int, tuple[float, float]] = {}
    fixed = 0.0
    for section, um in depth_parts(worked):
        if section is None:
            fixed += um / 10_000
            continue
        slip = slips[section]
        if slip.rounds_share is None:
            return None
        deep, share = groups.get(slip.group, (0.0, slip.rounds_share))
        groups[slip.group] = (deep + um / 10_000, share)
    return depth_range(list(groups.values()), fixed)


def _chance(
    piece: Piece, slips: Sequence[Slip], worked: Sequence[Worked], judged: Sequence[Judged]
) -> float | None:
    """Places of one group share their slip; the groups' chances multiply."""
    limit = piece.limits.around_cm
    groups: dict[int, tuple[float, list[tuple[float, float, float]]]] = {}
    for place in judged:
        if place.wish_um is None:
            continue
        slip = slips[_section_of(place, worked)]
        wish = place.wish_um / 10_000
        bounds = (place.um / 10_000, wish - limit, wish + limit)
        groups.setdefault(slip.group, (slip.share, []))[1].append(bounds)
    if not groups:
        return None
    chance = 1.0
    for share, places in groups.values():
        chance *= chance_within(places, share)
    return chance


def _section_of(place: Judged, worked: Sequence[Worked]) -> int:
    """The section whose gauge a place is judged in: a bare place before a brim or an edging is
    worked in the section above."""
    index = next(i for i, w in enumerate(worked) if w.tally.name == place.section)
    return index if isinstance(worked[index].spec, Even | Band) else max(index - 1, 0)


@dataclass(frozen=True, slots=True)
class Heads:
    """The heads a finished hat serves, in cm; ``low_cm`` above ``high_cm``: none."""

    low_cm: float
    high_cm: float

    @property
    def any(self) -> bool:
        """Whether it serves a head at all."""
        return self.low_cm <= self.high_cm


def heads_served(
    around_cm: float, ease_cm: float, tolerance_cm: float, stretch: float | None = None
) -> Heads:
    """The heads that a hat of ``around_cm`` serves.

    A head wishes for itself plus ``ease_cm``, and takes a hat that is off by ``tolerance_cm``
    at most. So the smallest head served is around - ease - tolerance. The largest is around -
    ease + tolerance, unless the fabric's ``stretch`` (a share) is known: then it is the head that
    stretches the hat just as far, around x (1 + stretch), with nothing left over.
    """
    low = around_cm - ease_cm - tolerance_cm
    if stretch is None:
        return Heads(low, around_cm - ease_cm + tolerance_cm)
    return Heads(low, around_cm * (1 + stretch))
