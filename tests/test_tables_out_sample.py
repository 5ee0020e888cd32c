"""Hand-made answers that the tests of the tables share, and a check that they come out even.

The numbers are the garden hat's of our own scenarios (108 = 8 x 13 + a part round of 4 = 12
repeats of 9; brims of 18 sectors every fourth round or 9 every second), a small hat with a
nudge, and a cowl of two bands.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from evenround.solver.candidate import (
    PARTS,
    BandMeasure,
    Breach,
    Candidate,
    Fit,
    Measures,
    NearMiss,
    Nudge,
    Yarn,
)
from evenround.solver.piece import Band, Brim, Crown, Edging, Even, Figure, Gauge, Piece, Rhythm
from evenround.solver.recount import recount
from evenround.solver.tally import SectionTally, Tally
from evenround.tables.plan import Plan

BODY = Gauge(10 / 19, 10 / 15)
BRIM = Gauge(10 / 19, 10 / 22)
FAN = Figure((8, 10, 8), (1, 1, 1))
PICOT = Figure((3, 3), (0, 0))

EMPTY = Measures(
    side_count=1,
    around_cm=1.0,
    around_wish_cm=None,
    depth_cm=1.0,
    depth_wish_cm=None,
    fullness=None,
    crown_slope=None,
    crown_across_cm=None,
    brim_cm=None,
    brim_wish_cm=None,
    flare_deg=None,
    flare_wish_deg=None,
    over_flat=False,
    brim_fullness=None,
    brim_slope=None,
    edge_cm=None,
    edge_wish_cm=None,
    bands=(),
    nudges=(),
    round_widths_cm=(),
    yarn=Yarn((), None, None, 0.10),
    cost_nm=0,
    score_parts=dict.fromkeys(PARTS, 0.0),
    breaches=(),
    notices=(),
)


def scored(**parts: float) -> dict[str, object]:
    """Measures' fields of a score of these parts in mm."""
    return {
        "score_parts": dict.fromkeys(PARTS, 0.0) | parts,
        "cost_nm": round(sum(parts.values()) * 1e6),
    }


def garden_tally(sectors: int, rhythm: Rhythm, increases: int) -> Tally:
    """108 stitches, 12 fans of 9, and a brim."""
    crown = SectionTally("crown", "crown", 0, (8,) * 13 + (4,), sectors=8)
    even = SectionTally("even", "sides", 108, (0,) * 8)
    counts = (9, 11, 9, 11, 9)
    fan = SectionTally(
        "band", "open fan", 108, (24, -24, 24, -24), 9, 12, give=1, per_repeat=counts
    )
    last = rhythm.block * (increases - 1)
    grow = tuple(sectors if i <= last and i % rhythm.block == 0 else 0 for i in range(19))
    brim = SectionTally("brim", "brim", 108, grow, sectors=sectors, rhythm=rhythm)
    final = brim.count_out
    picot = SectionTally("edging", "picot edge", final, (0,), 3, final // 3, 0, (3, 3))
    return Tally(8, (crown, even, fan, brim, picot))


def garden_candidate(
    rank: int, sectors: int, rhythm: Rhythm, increases: int, flare: float
) -> Candidate:
    tally = garden_tally(sectors, rhythm, increases)
    width = BODY.width_cm
    measures = replace(
        EMPTY,
        side_count=108,
        around_cm=108 * width,
        around_wish_cm=57.5,
        depth_cm=19.67,
        depth_wish_cm=19.5,
        fullness=0.97,
        crown_across_cm=2 * 14 * BODY.height_cm,
        brim_cm=19 * BRIM.height_cm,
        brim_wish_cm=8.5,
        flare_deg=flare,
        flare_wish_deg=60.0,
        edge_cm=tally.round_counts[-1] * width,
        bands=(BandMeasure("open fan", 9, 12, 1, 9 * width, 5.2, 108 * width),),
        round_widths_cm=tuple(count * width for count in tally.round_counts),
        **scored(circumference=6.578947, repeat_width=4.631579, flare=abs(flare - 60) / 2),
    )
    return Candidate(rank, tally, measures, pareto=rank == 1)


def garden_plan(**changes: object) -> Plan:
    sections = (
        Crown(BODY),
        Even(BODY, "sides"),
        Band(BODY, FAN, "open fan", openwork=True),
        Brim(BRIM, 8.5, 60.0, firm_rounds=2),
        Edging(BRIM, PICOT, "picot edge"),
    )
    plan = Plan(
        title="Oskerrow Bay, a garden hat",
        size="one size",
        sizes=("one size",),
        head_cm=57.0,
        ease_cm=0.5,
        unit="cm",
        over_cm=10.0,
        gauge_stitches=19.0,
        gauge_assumed=False,
        terms="us",
        joined=True,
        piece=Piece(sections, around_cm=57.5, depth_cm=19.5),
        section_stitches=("hdc", "hdc", "hdc", "sc", "sc"),
        openwork=True,
        assumptions=("sc heights by the rule of thumb",),
        notes=("band: 8 + 1 read as 8",),
    )
    return replace(plan, **changes)  # type: ignore[arg-type]


def garden_fit() -> Fit:
    """Two hats of 108 and the near misses of our own scenario: 104 too small, 112 too narrow."""
    first = garden_candidate(1, 18, Rhythm(1, 4), 5, 60.8)
    second = garden_candidate(2, 9, Rhythm(1, 2), 9, 51.8)
    width = BODY.width_cm
    small = Breach("circumference", "open fan", 104 * width, 56.0, 59.0)
    narrow = Breach("repeat width", "open fan", 8 * width, 4.68, 5.72)
    misses = tuple(
        NearMiss(n, n * width, n * width - 57.5, 10 * n / 57.5, why, first.tally, first.measures)
        for n, why in ((104, small), (112, narrow))
    )
    return Fit("proven", (first, second), misses, ())


def nudged_candidate() -> Candidate:
    """64 stitches, two more by a nudge, then a mesh of three and nothing else."""
    crown = SectionTally("crown", "crown", 0, (8,) * 8, sectors=8)
    even = SectionTally("even", "sides", 64, (0,) * 3)
    nudge = SectionTally("nudge", "to mesh", 64, (2,))
    mesh = SectionTally("band", "mesh", 66, (0, 0), 3, 22, 0, (3, 3, 3))
    tally = Tally(8, (crown, even, nudge, mesh))
    measures = replace(
        EMPTY,
        side_count=64,
        around_cm=40.0,
        around_wish_cm=41.0,
        crown_across_cm=12.8,
        fullness=1.0,
        bands=(BandMeasure("mesh", 3, 22, None, 1.5, None, 41.2),),
        nudges=(Nudge("mesh", 12, 64, 2),),
        round_widths_cm=tuple(count * 0.6 for count in tally.round_counts),
        **scored(circumference=10.0, nudge=5.0),
    )
    return Candidate(1, tally, measures, pareto=True)


def nudged_plan() -> Plan:
    gauge = Gauge(0.6, 0.6)
    mesh = Band(gauge, Figure((3, 3), (0, 0)), "mesh")
    piece = Piece((Crown(gauge), Even(gauge, "sides"), mesh), around_cm=41.0)
    return garden_plan(
        title="A small hat",
        head_cm=41.0,
        ease_cm=0.0,
        piece=piece,
        section_stitches=("hdc", "hdc", "dc"),
        openwork=False,
    )


def cowl_fit() -> Fit:
    """Two bands of the cowl, 104 and 105 stitches on a joined chain."""
    width = 10 / 17
    rib = SectionTally("band", "rib", 104, (0,) * 4, 4, 26, 0, (4,) * 5)
    nudge = SectionTally("nudge", "to V-stitch", 104, (1,))
    vees = SectionTally("band", "V-stitch", 105, (0,) * 4, 3, 35, 0, (3,) * 5)
    tally = Tally(104, (rib, nudge, vees))
    measures = replace(
        EMPTY,
        side_count=104,
        around_cm=104 * width,
        around_wish_cm=60.0,
        bands=(
            BandMeasure("rib", 4, 26, None, 4 * width, None, 104 * width),
            BandMeasure("V-stitch", 3, 35, None, 3 * width, None, 105 * width),
        ),
        nudges=(Nudge("V-stitch", 5, 104, 1),),
        round_widths_cm=tuple(count * width for count in tally.round_counts),
        **scored(circumference=12.0),
    )
    return Fit("proven", (Candidate(1, tally, measures, pareto=True),), (), ())


def cowl_plan() -> Plan:
    gauge = Gauge(10 / 17, 10 / 8.5)
    bands = (
        Band(gauge, Figure((4, 4), (0, 0)), "rib", around_cm=60.0),
        Band(gauge, Figure((3, 3), (0, 0)), "V-stitch", around_cm=62.667),
    )
    return garden_plan(
        title="Hollin Quarn, a cowl",
        head_cm=None,
        ease_cm=None,
        gauge_stitches=17.0,
        piece=Piece(bands, start="chain"),
        section_stitches=("dc", "dc"),
        openwork=True,
    )


@pytest.mark.parametrize(
    "tally",
    [
        *(candidate.tally for candidate in garden_fit().candidates),
        nudged_candidate().tally,
        cowl_fit().candidates[0].tally,
    ],
)
def test_the_samples_come_out_even(tally: Tally) -> None:
    assert recount(tally) == tally.round_counts
    assert tally.round_counts[-1] > 0
