"""Plain geometry of a piece worked in the round. Lengths in cm, angles in degrees.

Fullness is how wide a disc is for its reach, slope how fast it grows just there; slope 1 lies
flat, below 1 it is a cone of half-angle asin(slope), above 1 it ripples. These are formulas of
geometry; tests hold them against numerical integration and a geometry library.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from math import asin, degrees, pi, sin, sqrt, tan

CROWN_WINDOW = 3  # rounds over which a crown's slope is read


def flat_rate(width: float, height: float, sectors: int | None = None) -> float:
    """Stitches a round that lie flat: 2 pi h / w, or with stacked ``sectors`` the polygon's
    2 s tan(pi / s) h / w."""
    if sectors is None:
        return 2 * pi * height / width
    return 2 * sectors * tan(pi / sectors) * height / width


def fullness(count: int, width: float, reach: float) -> float:
    """N w / 2 pi reach, where reach is the hole's radius plus the height of all rounds."""
    return count * width / (2 * pi * reach)


def slope(increase: float, width: float, height: float) -> float:
    """Growth of the radius over growth of the reach: increase x w / 2 pi over height."""
    return increase * width / (2 * pi * height)


def crown_slope(changes: Sequence[int], width: float, height: float) -> float | None:
    """Largest slope over three rounds in a row; the ring round is left out (a hole makes the
    start larger, not the rate). None for a crown of one round."""
    grown = changes[1:]
    if not grown:
        return None
    if len(grown) <= CROWN_WINDOW:
        return slope(sum(grown), width, len(grown) * height)
    most = max(a + b + c for a, b, c in zip(grown, grown[1:], grown[2:], strict=False))
    return slope(most, width, CROWN_WINDOW * height)


def brim_slope(changes: Sequence[int], width: float, height: float) -> float | None:
    """Largest slope over a shaping block: a run of increase rounds with the plain rounds after
    it. The last run's plain rounds count only as far as the block before had them, so that firm
    last rounds do not hide a ruffle; a single increase is read over all that follows it.
    None without an increase."""
    blocks = list(_blocks(changes))
    slopes = []
    for i, (run, plain) in enumerate(blocks):
        if i == len(blocks) - 1 and len(run) > 1:
            plain = min(plain, blocks[i - 1][1]) if i else 0
        window = len(run) if plain else min(len(run), CROWN_WINDOW)
        most = max(sum(run[j : j + window]) for j in range(len(run) - window + 1))
        slopes.append(slope(most, width, (window + plain) * height))
    return max(slopes, default=None)


def _blocks(changes: Sequence[int]) -> Iterator[tuple[list[int], int]]:
    run: list[int] = []
    for grows, rounds in groupby(changes, key=lambda change: change > 0):
        if grows:
            run = list(rounds)
            continue
        if run:
            yield run, len(list(rounds))
        run = []
    if run:
        yield run, 0


def flare(grown: int, width: float, slant: float) -> tuple[float, bool]:
    """Degrees from straight down of a brim that grows by ``grown`` stitches over ``slant`` cm,
    and whether it grows faster than flat (then 90 degrees)."""
    ratio = grown * width / (2 * pi * slant)
    if ratio >= 1:
        return 90.0, ratio > 1 + 1e-12
    return degrees(asin(ratio)), False


def half_sphere_circumference(around: float, reach: float) -> float:
    """Circumference of a half sphere at ``reach`` along it: C sin(2 pi s / C), C from C/4 on."""
    return around if reach >= around / 4 else around * sin(2 * pi * reach / around)


def half_sphere_distance(
    counts: Sequence[int], width: float, height: float, hole_radius: float, around: float
) -> float:
    """Mean absolute difference of fullness from a true half sphere of circumference ``around``,
    over the rounds up to C/4 (the last count is worked even from there on)."""
    reach, total, rounds = hole_radius + height, 0.0, 0
    while reach <= around / 4 + 1e-9:
        count = counts[min(rounds, len(counts) - 1)]
        wanted = half_sphere_circumference(around, reach)
        total += abs(count * width - wanted) / (2 * pi * reach)
        rounds += 1
        reach += height
    return total / rounds if rounds else 0.0


def drop(slant: float, radius_in: float, radius_out: float) -> float:
    """How far a block goes down (or up) over ``slant``: sqrt(H^2 - dr^2), 0 where it ripples."""
    return sqrt(max(0.0, slant * slant - (radius_out - radius_in) ** 2))


def yarn_area(stitches: float, width: float, height: float) -> float:
    """Swatch area a round so many stitches wide uses: N w h. Not the surface it covers."""
    return stitches * width * height


def surface(count_before: int, count: int, width: float, height: float) -> float:
    """Surface a round covers, a ring of a cone: (N before + N) / 2 x w h."""
    return (count_before + count) / 2 * width * height
