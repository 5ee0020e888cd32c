"""``fit --steady``: the order against every tally tried, and what is shown of it."""

from __future__ import annotations

import csv
import io
import json

import pytest
from exhaustive import all_designs
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from evenround.cli import main
from evenround.solver import Band, Crown, Even, Figure, Gauge, Limits, Piece, fit
from evenround.solver.sure import Slip, sure_of
from evenround.solver.sure_fit import steady
from evenround.tables.brief import example_brief, plan

SLOW = settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow], derandomize=True
)


Asked = tuple[Piece, tuple[Slip, ...]]


@st.composite
def asked(draw: st.DrawFn, even: bool = True) -> Asked:
    """A small hat of crown and band, perhaps with even rounds, and how its gauges slip."""
    body = Gauge(draw(st.sampled_from([1.0, 1.25])), draw(st.sampled_from([0.8, 1.0])))
    band = Band(Gauge(draw(st.sampled_from([1.0, 1.1])), 1.0), Figure((3, 3), (0, 0)))
    limits = Limits(around_cm=draw(st.sampled_from([2.0, 3.0])), nudge_share=0.2, nudge_stitches=2)
    crown = Crown(body, start_range=(4, 6), sector_range=(4, 6), rates=1)
    sections: tuple[Crown | Even | Band, ...] = (crown, band)
    if even:
        sides = Even(body, rounds=(1, 2))
        sections = draw(st.sampled_from([(crown, sides, band), (crown, sides), (crown, band)]))
    piece = Piece(sections, around_cm=draw(st.floats(16, 22)), limits=limits)
    shares = [draw(st.sampled_from([0.02, 0.05, 0.1])) for _ in range(2)]
    return piece, tuple(Slip(int(s is band), shares[int(s is band)]) for s in sections)


def told(piece: Piece, slips: tuple[Slip, ...], best: int) -> list[tuple[int, int]]:
    """What steady lists: the chance in per cent, negative, and the cost."""
    found = steady(piece, slips, best=best)
    assert found.fit.status == ("proven" if found.sure else "impossible")
    return [
        (-(sure.per_cent or 0), c.measures.cost_nm)
        for c, sure in zip(found.fit.candidates, found.sure, strict=True)
    ]


@SLOW
@given(asked(even=False))
def test_the_order_is_that_of_every_tally_tried(given_piece: Asked) -> None:
    piece, slips = given_piece
    every = [
        (-(sure_of(piece, slips, seen.tally).per_cent or 0), seen.cost)
        for seen in all_designs(piece, 30)
    ]
    assert told(piece, slips, 6) == sorted(every)[:6]


@SLOW
@given(asked())
def test_the_order_is_that_of_every_design_of_fit(given_piece: Asked) -> None:
    piece, slips = given_piece
    every = [
        (-(sure_of(piece, slips, c.tally).per_cent or 0), c.measures.cost_nm)
        for c in fit(piece, best=100_000, near=False).candidates
    ]
    assert told(piece, slips, 6) == sorted(every)[:6]


def test_the_one_that_survives_a_slip_comes_first() -> None:
    """Of two hats on paper the cheaper has a nudge less but comes out near the tolerance."""
    made = plan(example_brief("cowl"))
    usual, sure = fit(made.piece, best=9), steady(made.piece, made.slips, best=9)
    chances = [s.chance or 0 for s in sure.sure]
    assert chances == sorted(chances, reverse=True)
    first = sure.fit.candidates[0]
    assert first.tally != usual.candidates[0].tally
    assert first.measures.cost_nm > usual.candidates[0].measures.cost_nm
    by_cost = [sure_of(made.piece, made.slips, c.tally).chance or 0 for c in usual.candidates]
    assert chances[0] > by_cost[0]
    assert {c.tally for c in sure.fit.candidates} == {c.tally for c in usual.candidates}
    for c, rank in zip(sure.fit.candidates, sure.plain_ranks, strict=True):
        assert rank is not None
        assert usual.candidates[rank - 1].tally == c.tally


def test_an_impossible_piece_stays_impossible() -> None:
    body = Gauge(1.0, 1.0)
    crown = Crown(body, start_range=(6, 6), sector_range=(6, 6), rates=1, part_round=False)
    limits = Limits(around_cm=0.5, nudge_stitches=0)
    piece = Piece((crown, Even(body)), around_cm=21.0, limits=limits)
    found = steady(piece, (Slip(0, 0.05),) * 2)
    assert found.fit.status == "impossible"
    assert found.sure == found.plain_ranks == ()


def test_out_of_time_is_said(capsys: pytest.CaptureFixture[str]) -> None:
    made = plan(example_brief("garden"))
    found = steady(made.piece, made.slips, best=3, time_limit=1e-9)
    assert found.fit.status == "unproven"
    assert len(found.sure) == len(found.fit.candidates)
    assert main(["fit", "--example", "--steady", "--time-limit", "0.000000001"]) == 3
    assert "others may be steadier" in capsys.readouterr().out


def test_the_table_shows_chance_range_and_heads(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["fit", "--example", "--steady", "--best", "2"]) == 0
    out = capsys.readouterr().out
    assert "Steadiest first" in out
    # 110 sts at 19 +- 0.5 in 10 cm: 57.9 cm; 55.1 to 61.0 by z = 1.96; 56 to 59 are within
    # tolerance, 66 %; heads 57.9 - 0.5 -+ 1.5
    # 19.67 cm deep at 15 +- 0.5 rounds in 10 cm, all of it in hdc: 18.5 to 21.0
    line = (
        "~ 66 in 100 in tolerance; 19 of 20: 55.1 to 61.0 cm, depth 18.5 to 21.0; "
        "heads 55.9 to 58.9"
    )
    assert " ".join(out.split()).count(line) == 2
    assert max(len(each) for each in out.splitlines()) <= 80


def test_plain_output_says_nothing_of_it(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["fit", "--example", "--best", "1"]) == 0
    out = capsys.readouterr().out
    assert "in tolerance;" not in out
    assert main(["fit", "--example", "--best", "1", "--format", "json"]) == 0
    assert "steady" not in json.loads(capsys.readouterr().out)[0]


def test_json_and_csv_carry_it(capsys: pytest.CaptureFixture[str]) -> None:
    asked = ["fit", "--example", "bucket", "--steady", "--best", "2", "--format"]
    assert main([*asked, "json"]) == 0
    found = json.loads(capsys.readouterr().out)[0]
    keys = found["steady"]
    assert keys["chance"] == pytest.approx(0.6101, abs=5e-5)
    assert keys["range_share"] == 0.95
    assert keys["head_low_cm"] == pytest.approx(84 * 10 / 18 - 1 - 1.25, abs=1e-3)
    assert keys["stretch"] is None
    depth = found["depth_cm"]
    # all of it is hdc, 13.5 rounds in 10 cm give or take half a one: z = 1.96
    assert keys["depth_low_cm"] == pytest.approx(depth / (1 + 1.96 * 0.5 / 13.5), abs=2e-3)
    assert keys["depth_high_cm"] == pytest.approx(depth / (1 - 1.96 * 0.5 / 13.5), abs=2e-3)
    assert main([*asked, "csv", "--units", "in"]) == 0
    row = next(csv.DictReader(io.StringIO(capsys.readouterr().out)))
    assert float(row["chance"]) == pytest.approx(0.6101)
    assert row["plain_rank"] == "1"
    low, high = float(row["circumference_low_in"]), float(row["circumference_high_in"])
    assert low < 84 * 10 / 18 / 2.54 < high
    assert float(row["depth_low_in"]) == pytest.approx(keys["depth_low_cm"] / 2.54, abs=1e-3)
    assert float(row["head_low_in"]) == pytest.approx(keys["head_low_cm"] / 2.54, abs=1e-3)


def test_markdown_and_detail_go_with_it(capsys: pytest.CaptureFixture[str]) -> None:
    asked = ["fit", "--example", "--steady", "--best", "1", "--detail", "1"]
    assert main([*asked, "--format", "markdown"]) == 0
    out = capsys.readouterr().out
    assert "~ #1: 66 in 100 in tolerance" in out
    assert out.count("```") % 2 == 0


def test_a_piece_without_a_head_names_no_heads(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["fit", "--example", "cowl", "--steady"]) == 0
    out = capsys.readouterr().out
    assert "~ 59 in 100 in tolerance; 19 of 20: 55.6 to 62.4 cm, depth" in out
    assert "pick 3\n" in out
    assert "as `evenround write --pick` counts" in out.replace("\n  ", " ")
    assert "heads" not in out
