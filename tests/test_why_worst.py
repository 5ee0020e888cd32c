"""The worst place of a hat is told where another is shown. Our own brief; no outside numbers."""

from __future__ import annotations

import pytest
from stuck_briefs import hat

from evenround.solver.fit import fit
from evenround.solver.judge import worst_place
from evenround.solver.near import near_misses
from evenround.solver.ways import Ways
from evenround.tables.brief import example_brief, plan, read_brief
from evenround.tables.why.conflicts import first_conflict
from evenround.tables.why.explained import explain
from evenround.tables.why.hats import hat_words
from evenround.tables.why.short import short_words
from evenround.tables.why.worst import worst_of

# plain division at 10 sts in 10 cm: ten repeats of 4 are 40 cm, and 46 cm as the band measures
MESH = hat(head="42", around="0.5", band="repeat = 4\nmeasured_repeat = 4.6")
TOLD = "mesh 46.0 cm around, 4.0 cm over"


def test_a_tolerance_that_reaches_a_wide_band_says_so() -> None:
    explained = explain(read_brief(MESH.encode(), "brief"), "one size", seconds=10.0)
    wide = [way for way in explained.ways if way.changes[0].what == "circumference"]
    first = next(way for way in wide if len(way.changes) == 1)
    assert first.changes[0].value == (4.0,)
    assert hat_words(first.plan, first.candidate, "cm").startswith(
        f"40 sts, 40.0 cm around (-2.0); {TOLD}; mesh 10 x 4"
    )
    place = worst_place(first.plan.piece, first.candidate.tally)
    assert (place.section, place.um, place.miss_um) == ("mesh", 460_000, 40_000)


def test_the_conflict_and_the_short_ways_out_say_so_too() -> None:
    asked = plan(read_brief(MESH.encode(), "brief"))
    misses = near_misses(Ways(asked.piece))
    near = (
        f"40 and 44 sts, 40.0 and 44.0 cm (2.0 cm too small with {TOLD}; 2.0 cm too big with mesh"
    )
    assert near in first_conflict(asked, ("circumference", "repeat"), misses, "cm")
    assert f"(40 sts, 40.0 cm; {TOLD})" in short_words(asked, misses, "cm")[1]


@pytest.mark.parametrize("name", ["garden", "bucket", "cowl"])
def test_it_is_told_just_where_another_place_is_worse_than_the_one_shown(name: str) -> None:
    asked = plan(example_brief(name))
    for candidate in fit(asked.piece, best=3, near=False).candidates:
        measures, place = candidate.measures, worst_place(asked.piece, candidate.tally)
        told = worst_of(asked.piece, candidate, "cm")
        assert measures.around_miss_cm is not None
        around, shown = place.um / 10_000, measures.around_cm
        worse = abs(place.miss_um) / 10_000 > abs(measures.around_miss_cm) + 1e-9
        assert bool(told) == (worse and f"{around:.1f}" != f"{shown:.1f}")
