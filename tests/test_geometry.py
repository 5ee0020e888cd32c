"""The formulas of geometry, against numerical integration and a geometry library.

Nothing here repeats a formula of solver/geometry.py: curves are integrated by scipy, areas and
perimeters are those of shapely polygons. Figures beside "trade.md" are plain geometry that the
trade's notes round; the notes are ours, no outside source.
"""

from __future__ import annotations

from itertools import pairwise
from math import cos, degrees, pi, radians, sin, sqrt, tan

import pytest
from helpers import CALM, FOUR_INCHES, disc, flat_gauge, plain_rounds
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp
from shapely import LineString, Polygon

from evenround.solver import (
    Crown,
    Even,
    Piece,
    Rhythm,
    Tally,
    circumference_error,
    measure,
)
from evenround.solver import swatch_gauge as swatch
from evenround.solver.geometry import (
    brim_slope,
    crown_slope,
    drop,
    fullness,
    half_sphere_circumference,
    half_sphere_distance,
    slope,
    surface,
    yarn_area,
)
from evenround.solver.geometry import flare as flare_of
from evenround.solver.geometry import flat_rate as flat
from evenround.solver.rows import rhythm_changes

FINE = 1024  # corners of a polygon that stands for a circle: areas to 1e-5
lengths = st.floats(0.2, 3.0)
angles = st.floats(2.0, 88.0)


def around(radius: float) -> float:
    """Circumference of a circle, as the arc length of its curve."""
    length, _ = quad(lambda t: sqrt((radius * sin(t)) ** 2 + (radius * cos(t)) ** 2), 0, 2 * pi)
    return float(length)


def ring(inner: float, outer: float, angle: float = 2 * pi) -> Polygon:
    """A ring, or the part of one that a cone unrolls to, as a polygon of many corners."""
    steps = [angle * i / FINE for i in range(FINE + 1)]
    outside = [(outer * cos(a), outer * sin(a)) for a in steps]
    inside = [(inner * cos(a), inner * sin(a)) for a in reversed(steps)]
    return Polygon(outside + inside)


# --- flat discs --------------------------------------------------------------------------


@CALM
@given(lengths, lengths, st.floats(0.5, 30.0))
def test_a_flat_disc_grows_by_its_flat_rate(width: float, height: float, radius: float) -> None:
    grown = (around(radius + height) - around(radius)) / width
    assert flat(width, height) == pytest.approx(grown, rel=1e-9)


@CALM
@given(lengths, lengths, st.floats(0.0, 4.0), st.integers(1, 20))
def test_a_hole_makes_the_start_larger_not_the_rate(
    width: float, height: float, hole_radius: float, rounds: int
) -> None:
    counts = [around(hole_radius + k * height) / width for k in range(rounds + 1)]
    for before, after in pairwise(counts):
        assert after - before == pytest.approx(flat(width, height), rel=1e-9)
    scaled = 10**6  # fullness takes whole stitches: a millionth of a stitch is a stitch here
    full = fullness(round(counts[-1] * scaled), width / scaled, hole_radius + rounds * height)
    assert full == pytest.approx(1, rel=1e-6)


@CALM
@given(lengths, lengths, st.integers(3, 24), st.integers(1, 20))
def test_stacked_increases_make_a_flat_polygon(
    width: float, height: float, sectors: int, round_number: int
) -> None:
    """Rounds are parallel to the sides, so the polygon's inner circle grows by the height."""

    def perimeter(inner: float) -> float:
        corner = inner / cos(pi / sectors)
        turns = [2 * pi * i / sectors for i in range(sectors)]
        return float(Polygon([(corner * cos(a), corner * sin(a)) for a in turns]).length)

    grown = perimeter((round_number + 1) * height) - perimeter(round_number * height)
    assert flat(width, height, sectors) == pytest.approx(grown / width, rel=1e-6)


@pytest.mark.parametrize(("sectors", "percent"), [(6, 10), (8, 5)])
def test_a_polygon_wants_more_than_a_circle(sectors: int, percent: int) -> None:
    # trade.md: +10 % at 6, +5 % at 8
    assert round(100 * (flat(1, 1, sectors) / flat(1, 1) - 1)) == percent


@CALM
@given(lengths, lengths, st.integers(5, 16), st.integers(2, 12))
def test_the_surface_of_a_disc_is_that_of_its_rings(
    width: float, height: float, start: int, rounds: int
) -> None:
    # a ring of a flat disc: where its stitches say it is, one round apart
    flat_height = start * width / (2 * pi)
    for k in (1, rounds):
        area = ring((k - 1) * flat_height, k * flat_height).area
        mine = surface((k - 1) * start, k * start, width, flat_height)
        assert mine == pytest.approx(area, rel=2e-5)
    total = sum(surface((k - 1) * start, k * start, width, height) for k in range(1, rounds + 1))
    assert total == pytest.approx(rounds**2 * start * width * height / 2, rel=1e-9)


def test_area_and_surface_are_a_third_apart_after_three_rounds() -> None:
    # trade.md: 33 % apart after 3 rounds of a disc
    gauge = flat_gauge(8, 16)
    width, height = gauge.width_cm, gauge.height_cm
    tally = disc(8, 3)
    piece = Piece((Crown(gauge),), around_cm=24 * width)
    used = sum(part.area_cm2 for part in measure(piece, tally).yarn.parts)
    covered = ring(0, 3 * height).area
    assert used == pytest.approx(sum(yarn_area(8 * k, width, height) for k in (1, 2, 3)))
    assert round(100 * (used / covered - 1)) == 33


@CALM
@given(lengths, lengths, st.integers(20, 120), st.integers(1, 20))
def test_a_tube_uses_the_area_it_covers(
    width: float, height: float, count: int, rounds: int
) -> None:
    gauge = swatch(1 / width, 1 / height, 1)
    piece = Piece((Even(gauge),), start="chain", around_cm=count * width)
    tally = Tally(count, (plain_rounds(count, rounds),))
    unrolled = Polygon(
        [
            (0, 0),
            (count * width, 0),
            (count * width, rounds * height),
            (0, rounds * height),
        ]
    )
    (part,) = measure(piece, tally).yarn.parts
    assert part.area_cm2 == pytest.approx(unrolled.area)
    covered = rounds * surface(count, count, width, height)
    assert covered == pytest.approx(unrolled.area)


# --- cones and brims ---------------------------------------------------------------------


@CALM
@given(angles, st.floats(1.0, 20.0), st.floats(5.0, 15.0), st.integers(10, 200))
def test_a_brims_flare_is_the_cones(angle: float, down: float, radius: float, grown: int) -> None:
    """A cone by its profile: so far down, so far out, and the way along it by integration."""
    steep = tan(radians(angle))
    slant, _ = quad(lambda _: sqrt(1 + steep**2), 0, down)
    out = down * steep
    width = (around(radius + out) - around(radius)) / grown
    found, over = flare_of(grown, width, slant)
    assert found == pytest.approx(angle, abs=1e-5)
    assert not over
    assert drop(slant, radius, radius + out) == pytest.approx(down, rel=1e-6)
    assert slope(grown, width, slant) == pytest.approx(sin(radians(angle)), rel=1e-9)


def test_a_brim_that_grows_faster_than_flat_is_said_to() -> None:
    grown, slant = 40, 6.0
    exact = around(slant) / grown  # as wide as a flat ring of that slant grows
    assert flare_of(grown, exact * 0.999, slant)[1] is False
    assert flare_of(grown, exact * 1.001, slant) == (90.0, True)
    assert drop(slant, 9, 9 + slant * 1.001) == 0


@CALM
@given(st.integers(6, 16), st.integers(40, 120), st.floats(0.05, 0.99), lengths, st.integers(2, 9))
def test_the_surface_of_a_cone_is_its_unrolled_ring(
    sectors: int, count: int, sine: float, height: float, rounds: int
) -> None:
    width = 2 * pi * height * sine / sectors  # a round adds so much radius that this is the sine
    to_tip = count * width / (2 * pi) / sine
    sheet = ring(to_tip, to_tip + rounds * height, angle=2 * pi * sine)
    counts = [count + sectors * k for k in range(rounds + 1)]
    mine = sum(surface(a, b, width, height) for a, b in pairwise(counts))
    assert mine == pytest.approx(sheet.area, rel=2e-5)
    turned, _ = quad(lambda s: around(count * width / (2 * pi) + s * sine), 0, rounds * height)
    assert mine == pytest.approx(turned, rel=1e-6)


@pytest.mark.parametrize(("angle", "off"), [(35, 2), (60, 5), (75, 11)])
def test_what_an_error_of_the_rate_does_to_a_flare(angle: float, off: int) -> None:
    # trade.md: 5 % of rate is 2 degrees at 35, 5 at 60, 11 at 75 (the flare's growth there)
    grown, slant = 60, 10.0
    width = 2 * pi * slant * sin(radians(angle)) / grown
    step = 1e-6
    higher, lower = (flare_of(grown, width * (1 + e), slant)[0] for e in (step, -step))
    assert round((higher - lower) / (2 * step) * 0.05) == off


@CALM
@given(
    st.integers(6, 16),
    st.sampled_from([Rhythm(1, 1), Rhythm(1, 2), Rhythm(1, 3), Rhythm(2, 3)]),
    st.integers(2, 8),
    st.integers(0, 4),
    lengths,
)
def test_the_shaped_part_alone_is_as_steep_as_the_brim_or_steeper(
    sectors: int, rhythm: Rhythm, times: int, firm: int, height: float
) -> None:
    changes = (*rhythm_changes(sectors, rhythm, times), *[0] * firm)
    width, slant = 0.5, len(changes) * height
    steepest = brim_slope(changes, width, height)
    assert steepest is not None
    whole, over = flare_of(sum(changes), width, slant)
    assert over or sin(radians(whole)) <= steepest + 1e-9


@CALM
@given(st.integers(6, 16), st.integers(1, 4), st.integers(2, 8), lengths, lengths)
def test_a_brims_slope_is_its_profiles_over_one_block(
    sectors: int, block: int, times: int, width: float, height: float
) -> None:
    """Every second round and so on: the profile from one increase round to the next."""
    changes = (*rhythm_changes(sectors, Rhythm(1, block), times), *[0] * (block - 1))
    radii = [(100 + sum(changes[:k])) * width / (2 * pi) for k in range(0, len(changes) + 1, block)]
    outward = {round((b - a) / (block * height), 9) for a, b in pairwise(radii)}
    assert len(outward) == 1
    assert brim_slope(changes, width, height) == pytest.approx(outward.pop(), abs=1e-8)


def test_a_crowns_slope_is_read_over_three_rounds() -> None:
    width, height = 0.5, 0.6
    changes = (8, 8, 8, 16, 8, 8, 4)
    radii = [sum(changes[:k]) * width / (2 * pi) for k in range(1, len(changes) + 1)]
    rises = [b - a for a, b in zip(radii, radii[3:], strict=False)]
    assert crown_slope(changes, width, height) == pytest.approx(max(rises) / (3 * height))
    assert crown_slope((8,), width, height) is None


# --- the half sphere ---------------------------------------------------------------------


def radius_along(radius: float, reach: float) -> float:
    """How far out a sphere is at ``reach`` along it: dr = cos(theta) ds, theta = s / R."""
    out, _ = quad(lambda s: cos(s / radius), 0, reach)
    return float(out)


@CALM
@given(st.floats(20.0, 70.0), st.floats(0.0, 1.0))
def test_a_half_sphere_is_as_wide_as_its_profile_integrates_to(full: float, share: float) -> None:
    reach = share * full / 4
    wanted = around(radius_along(full / (2 * pi), reach))
    assert half_sphere_circumference(full, reach) == pytest.approx(wanted, abs=1e-6)
    assert half_sphere_circumference(full, full / 4 + reach) == full


def test_a_half_sphere_is_full_width_at_a_quarter() -> None:
    # trade.md: full width at s = C/4, fullness 0.64 there
    full, fine = 56.0, 100_000
    at = half_sphere_circumference(full, full / 4)
    assert at == pytest.approx(full)
    assert round(fullness(fine, at / fine, full / 4), 2) == 0.64


@CALM
@given(st.floats(30.0, 70.0), st.integers(5, 20))
def test_counts_of_a_true_half_sphere_are_no_distance_from_it(full: float, rounds: int) -> None:
    height, width = full / 4 / rounds, 1e-6
    counts = [
        round(around(radius_along(full / (2 * pi), k * height)) / width)
        for k in range(1, rounds + 1)
    ]
    assert half_sphere_distance(counts, width, height, 0.0, full) < 1e-6


@CALM
@given(st.floats(30.0, 70.0), st.integers(5, 20), st.floats(0.3, 1.1))
def test_the_distance_of_a_cone_from_the_half_sphere(
    full: float, rounds: int, steep: float
) -> None:
    """A cone's fullness is its slope; the sphere's is read off its integrated profile."""
    height, width = full / 4 / rounds, 1e-6
    reaches = [k * height for k in range(1, rounds + 1)]
    counts = [round(2 * pi * steep * reach / width) for reach in reaches]
    apart = [abs(steep - radius_along(full / (2 * pi), s) / s) for s in reaches]
    mine = half_sphere_distance(counts, width, height, 0.0, full)
    assert mine == pytest.approx(sum(apart) / rounds, abs=1e-5)


def test_blocks_of_a_half_sphere_add_up_to_its_height() -> None:
    """Drop by drop: a profile of many short blocks comes down by the radius."""
    radius, blocks = 9.0, 2000
    slant = pi / 2 * radius / blocks
    radii = [radius_along(radius, k * slant) for k in range(blocks + 1)]
    down = sum(drop(slant, a, b) for a, b in pairwise(radii))
    assert down == pytest.approx(radius, rel=1e-3)


# --- any profile -------------------------------------------------------------------------


@CALM
@given(st.floats(0.0, 0.95), st.floats(0.0, 0.95), st.floats(4.0, 12.0))
def test_a_profile_laid_block_by_block_follows_its_slope(
    first: float, last: float, slant: float
) -> None:
    """A slope that runs from one value to another: drops and radii against the equation of the
    profile, dr/ds = slope, dz/ds = sqrt(1 - slope^2); the length along it from its points."""
    blocks = 200

    def slope_at(s: float) -> float:
        return first + (last - first) * s / slant

    exact = solve_ivp(
        lambda s, _: [slope_at(s), sqrt(1 - slope_at(s) ** 2)],
        (0, slant),
        [0.0, 0.0],
        rtol=1e-9,
        atol=1e-9,
    )
    radius_end, down_end = exact.y[0][-1], exact.y[1][-1]
    step, width = slant / blocks, 1e-7
    radii, downs = [0.0], [0.0]
    for k in range(blocks):
        grown = round(2 * pi * slope_at((k + 0.5) * step) * step / width)
        radii.append(radii[-1] + slope(grown, width, step) * step)
        downs.append(downs[-1] + drop(step, radii[-2], radii[-1]))
    assert radii[-1] == pytest.approx(radius_end, abs=1e-4)
    assert downs[-1] == pytest.approx(down_end, abs=1e-3)
    along = LineString(list(zip(radii, downs, strict=True))).length
    assert along == pytest.approx(slant, rel=1e-9)


def test_depth_is_measured_along_the_fabric() -> None:
    # trade.md: r0 + sum h, not N w / 2 pi; a crown that is no flat disc shows the difference
    gauge = flat_gauge(8, 16)
    crown = Crown(gauge, hole_cm=1.0, start_range=(5, 16))
    piece = Piece((crown, Even(gauge)), around_cm=42 * gauge.width_cm, depth_cm=12.0)
    tally = Tally(6, (disc(6, 7).sections[0], plain_rounds(42, 9)))
    found = measure(piece, tally)
    fabric, _ = quad(lambda _: 1.0, 0.5, 0.5 + 16 * gauge.height_cm)
    assert found.depth_cm == pytest.approx(0.5 + fabric, abs=1e-3)
    assert found.crown_across_cm == pytest.approx(1.0 + 14 * gauge.height_cm)
    flat_disc_count = around(0.5 + 7 * gauge.height_cm) / gauge.width_cm
    assert found.fullness == pytest.approx(42 / flat_disc_count)


# --- gauge -------------------------------------------------------------------------------


@pytest.mark.parametrize(("stitches", "off"), [(10, 2.8), (16, 1.75), (20, 1.4)])
def test_half_a_stitch_of_gauge_on_a_head_of_56(stitches: int, off: float) -> None:
    # trade.md: dC = C x 0.5 / g; on 56 cm 2.8 cm at 10 sts, 1.75 at 16, 1.4 at 20
    assert circumference_error(56, stitches) == pytest.approx(off)
    # and as what happens: the same stitches worked half a stitch looser or tighter in 10 cm
    count, half = 56 * stitches / 10, 1e-4
    looser, tighter = (count * swatch(stitches + d, 1, 10).width_cm for d in (-half, half))
    assert (looser - tighter) / (2 * half) * 0.5 == pytest.approx(off, rel=1e-6)


def test_four_inches_read_as_ten_centimetres() -> None:
    # trade.md: reading 4 in as 10 cm costs 0.9 cm on 56
    said, read = swatch(16, 12, FOUR_INCHES), swatch(16, 12, 10)
    stitches = 56 / said.width_cm
    assert round(56 - stitches * read.width_cm, 1) == 0.9


def test_slope_one_lies_flat_and_below_is_a_cone() -> None:
    gauge = flat_gauge(8, 16)
    assert slope(8, gauge.width_cm, gauge.height_cm) == pytest.approx(1)
    angle, _ = flare_of(6 * 5, gauge.width_cm, 5 * gauge.height_cm)
    mine = slope(6, gauge.width_cm, gauge.height_cm)
    assert degrees(quad(lambda s: 1 / sqrt(1 - s**2), 0, mine)[0]) == pytest.approx(angle)
