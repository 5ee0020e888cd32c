"""Ranking: yarns in order, each size as fit has it, yarn by area, what is said of it."""

from __future__ import annotations

import csv
import io
import json
import tomllib
from unittest.mock import patch

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from evenround.solver import fit, rank_score
from evenround.solver.rank import YarnRank, rank_yarns
from evenround.tables.brief import Brief, example_brief, plan, read_brief
from evenround.tables.facts import data_text
from evenround.tables.gauges import StatedGauge
from evenround.tables.rank.export import to_csv, to_json, to_markdown
from evenround.tables.rank.outcome import Ranking, balls_for, ranking
from evenround.tables.rank.page import page
from evenround.tables.rank.pieces import YarnPieces, bare
from evenround.tables.yarns import Weighed, Yarn

INCH = 2.54


@pytest.fixture(autouse=True, scope="module")
def lattices_for_a_few():
    """Make lattices also where a search would be sooner."""
    with patch.object(rank_score, "MANY", 1):
        yield


def yarn(name: str = "Fen", line: int = 2, **gauges: tuple[float, float | None]) -> Yarn:
    stated = {us: StatedGauge(sts, rounds, 10.0) for us, (sts, rounds) in gauges.items()}
    return Yarn(name, line, stated, {})


def weighed(grams: float, area_cm2: float = 100.0, ball: float = 50.0) -> Yarn:
    """A yarn for the bucket, every section of it weighed."""
    swatches = dict.fromkeys(("hdc", "brick mesh", "edging"), Weighed(grams, area_cm2))
    gauges = {"hdc": StatedGauge(18, 13.5, 10.0)}
    return Yarn("Fen", 2, gauges, swatches, ("4 mm",), ball, 2.4 * ball)


def ranked(brief: Brief, *yarns: Yarn, **options: int) -> Ranking:
    said = {"best": 10, "time_limit": 60.0} | options
    return ranking(brief, brief.sizes, yarns, **said)  # type: ignore[arg-type]


def with_gauge(example: str, gauges: dict[str, tuple[float, float]]) -> Brief:
    """The example's text with its gauge table rewritten, read as any brief is."""
    head, rest = data_text(f"{example}.toml").split("[gauge]\n")
    lines = [f'{us} = "{sts} x {rounds} / 10cm"' for us, (sts, rounds) in gauges.items()]
    after = rest[rest.index("\n\n") :]
    text = head + "[gauge]\n" + "\n".join(lines) + after
    assert tomllib.loads(text)["gauge"].keys() == gauges.keys()
    return read_brief(text.encode(), "brief")


GAUGE = st.floats(12, 26).map(lambda n: round(n, 1))
HEIGHT = st.sampled_from([0.7, 0.75, 0.8])


@pytest.mark.parametrize("example", ["garden", "bucket", "cowl"])
@settings(max_examples=8, deadline=None, derandomize=True, suppress_health_check=list(HealthCheck))
@given(sts=GAUGE, height=HEIGHT, tight=st.booleans())
def test_each_size_is_what_fit_gives_for_the_brief_with_that_gauge(
    example: str, sts: float, height: float, tight: bool
):
    body = example_brief(example).fields.stitch
    gauges = {body: (sts, round(sts * height, 1))}
    if tight:
        gauges["sc"] = (sts, round(sts * 1.15, 1))
    brief = with_gauge(example, gauges)
    found = ranked(example_brief(example), yarn(**gauges)).yarns[0]
    for size, made in zip(brief.sizes, found.made, strict=True):
        alone = fit(plan(brief, size).piece, best=1)
        assert [c.tally for c in made.fit.candidates] == [c.tally for c in alone.candidates]
        assert [c.measures.score_parts for c in made.fit.candidates] == [
            c.measures.score_parts for c in alone.candidates
        ]
        assert made.fit.status == alone.status
        assert made.fit.near_misses == (() if alone.candidates else alone.near_misses)


@pytest.mark.parametrize("example", ["garden", "bucket", "cowl"])
def test_bare_pieces_are_those_of_the_plans(example: str):
    brief = example_brief(example)
    maker = YarnPieces(brief, brief.sizes)
    for each in (yarn(hdc=(17, 13)), yarn(sc=(20, 22), dc=(18, None)), weighed(4)):
        pieces = maker.pieces(each)
        assert pieces == [bare(maker.plan(each, i).piece) for i in range(len(brief.sizes))]


def test_a_height_from_the_table_of_figures_follows_the_yarn():
    text = data_text("garden.toml").replace("measured_height = 2.5", "# measured_height = 2.5")
    brief = read_brief(text.encode(), "brief")
    maker, each = YarnPieces(brief, brief.sizes), yarn(hdc=(17, 13))
    (piece,) = maker.pieces(each)
    assert piece == bare(maker.plan(each, 0).piece)
    assert (
        piece.sections[2].measured_height_cm != maker.base[0].piece.sections[2].measured_height_cm
    )


def test_what_the_brief_weighed_is_another_yarn():
    text = data_text("bucket.toml") + '\n[swatch]\nhdc = { grams = 4, area = "10cm x 10cm" }\n'
    brief = read_brief(text.encode(), "brief")
    assert plan(brief, brief.sizes[0]).piece.sections[0].swatch is not None
    made = ranked(brief, yarn(hdc=(18, 13.5))).yarns[0].made[0]
    assert made.candidate is not None
    assert all(part.grams is None for part in made.candidate.measures.yarn.parts)


def test_the_order_is_sizes_made_then_the_mean_score_then_the_file():
    costs = [[5, None], [9_000_000, 9_000_000], [None, None], [8_000_000, 10_000_000], [1, 2]]
    found = rank_yarns(costs)
    assert [each.yarn for each in found] == [4, 1, 3, 0, 2]
    assert [each.rank for each in found] == [1, 2, 3, 4, 5]
    assert [each.missing for each in found] == [0, 0, 0, 1, 2]
    assert found[1].score_mm == found[2].score_mm == 9.0
    assert found[4].score_mm is None


def test_the_mean_is_over_the_sizes_made():
    assert YarnRank(1, 0, (2_000_000, None, 4_000_000)).score_mm == 3.0


def test_yarn_by_area_of_a_weighed_swatch():
    """Stitches x the swatch area of one, section by section (trade.md, Geometry)."""
    made = ranked(example_brief("bucket"), weighed(4.0)).yarns[0].made[0]
    assert made.candidate is not None
    one = (10 / 18) * (10 / 13.5)
    stitches = sum(made.candidate.tally.round_counts)
    grams = made.candidate.measures.yarn.grams
    assert grams == pytest.approx(stitches * one * 4 / 100)
    # openwork: 15 % margin, common practice, no source (trade.md)
    assert made.grams_with_margin == pytest.approx(grams * 1.15)
    assert made.balls == -(-made.grams_with_margin // 50)


@pytest.mark.parametrize(
    ("stitch", "inches"), [("sc", 31.42), ("hdc", 32.08), ("dc", 31.60)], ids=["sc", "hdc", "dc"]
)
def test_inches_of_yarn_in_a_square_inch(stitch: str, inches: float):
    """worked_examples 8: windchilde.com, "Crochet yarn estimating": squares of 5 in worked and
    unravelled, 31.42 (sc), 32.08 (hdc), 31.60 (dc) inches of yarn a square inch."""
    area = (5 * INCH) ** 2
    metres = inches * 25 * INCH / 100
    each = Yarn("worsted", 2, {stitch: StatedGauge(14, 11, 10)}, {stitch: Weighed(1.0, area)})
    brief = read_brief(PLAIN.replace("hdc", stitch).encode(), "plain")
    made_in = YarnPieces(brief, brief.sizes).plan(
        Yarn(each.name, 2, each.gauges, each.swatches, (), 1.0, metres), 0
    )
    best = fit(made_in.piece, best=1).candidates[0]
    square_inches = sum(part.area_cm2 for part in best.measures.yarn.parts) / INCH**2
    assert best.measures.yarn.metres == pytest.approx(square_inches * inches * INCH / 100)


PLAIN = """title = "a plain hat"
stitch = "hdc"
head = 56
ease = 0
[gauge]
hdc = "15 x 12 / 10cm"
[[sections]]
kind = "crown"
[[sections]]
kind = "even"
"""


def test_a_square_of_34_inches():
    """worked_examples 8, the same source: 1,156 sq in x 32.08 = 37,084 in of yarn."""
    swatch = Weighed(1.0, (5 * INCH) ** 2)
    per_gram = 32.08 * 25  # inches of yarn in the 5 in square, which weighs 1
    grams = (34 * INCH) ** 2 * swatch.grams / swatch.area_cm2
    assert grams * per_gram == pytest.approx(37_084, abs=1)


def test_what_was_not_weighed_has_no_amount():
    half = Yarn("Fen", 2, weighed(4).gauges, {"hdc": Weighed(4, 100)}, (), 50.0)
    made = ranked(example_brief("bucket"), half).yarns[0].made[0]
    assert made.candidate is not None
    assert made.candidate.measures.yarn.grams is None
    assert (made.balls, made.grams_with_margin) == (None, None)
    assert balls_for(made.candidate, half) is None


def test_half_a_stitch_in_the_circumference():
    """dC = C x 0.5 / g (trade.md, Gauge; half a stitch in 10 cm is common practice)."""
    found = ranked(example_brief("garden"), yarn(hdc=(20, 15), sc=(20, 23)))
    assert found.yarns[0].made[0].gauge_effect_cm == pytest.approx(57.5 * 0.5 / 20)


def test_only_yarns_of_few_enough_balls():
    brief = example_brief("bucket")
    light, heavy, bare_one = weighed(4.0), weighed(9.0), yarn(hdc=(18, 13.5))
    most = max(m.balls or 0 for m in ranked(brief, light).yarns[0].made)
    found = ranked(brief, bare_one, heavy, light, most_balls=most)
    assert [each.yarn for each in found.yarns] == [light]
    assert (found.left_out, found.unweighed) == (2, 1)
    assert "Left out by --max-balls: 2 yarns (1 of them not weighed)." in page(found, "cm", "us")


def test_a_size_made_well_has_no_nudge_no_warning_and_half_the_tolerances():
    found = ranked(example_brief("bucket"), yarn(hdc=(19, 15.12)), yarn(hdc=(14, 11)))
    wells = 0
    for made in (m for each in found.yarns for m in each.made if m.candidate is not None):
        m = made.candidate.measures
        near = abs(m.around_miss_cm or 0.0) <= 1.25 / 2
        assert made.well == (not m.nudges and not m.notices and near)
        wells += made.well
    assert 0 < wells < 10


def test_a_size_that_cannot_be_made_comes_with_its_nearest_miss():
    found = ranked(example_brief("bucket"), yarn(hdc=(14, 11)))
    text = page(found, "cm", "us")
    missing = [m for m in found.yarns[0].made if m.candidate is None]
    assert missing
    for made in missing:
        nearest = min(abs(miss.miss_cm) for miss in made.fit.near_misses)
        told = [m for m in made.fit.near_misses if abs(m.miss_cm) == nearest]
        assert f"Not made: {made.plan.size}: nearest {told[0].side_count} sts" in text


@pytest.fixture(scope="module")
def two() -> Ranking:
    odd = Yarn("=Moor|aran", 4, {"hdc": StatedGauge(14, 11, 10)}, {})
    return ranked(example_brief("bucket"), weighed(4.0), odd)


def test_the_page_keeps_to_80_columns(two: Ranking):
    for unit in ("cm", "in"):
        assert max(map(len, page(two, unit, "us").splitlines())) <= 80


def test_json_has_every_size_with_its_design(two: Ranking):
    rows = json.loads(to_json(two, "us"))
    assert [row["rank"] for row in rows] == [1, 2]
    assert [len(row["sizes"]) for row in rows] == [5, 5]
    for row, each in zip(rows, two.yarns, strict=True):
        for size, made in zip(row["sizes"], each.made, strict=True):
            assert (size["candidate"] is None) == (made.candidate is None)
            assert (size["nearest_miss"] is None) == (made.candidate is not None)
            if made.candidate is not None:
                assert size["candidate"]["side_count"] == made.candidate.measures.side_count


def test_csv_has_a_row_a_pair_and_no_formulas(two: Ranking):
    rows = list(csv.DictReader(io.StringIO(to_csv(two, "in"))))
    assert len(rows) == 10
    assert {row["yarn"] for row in rows} == {"Fen", "'=Moor|aran"}
    first = two.yarns[0].made[0].candidate
    assert first is not None
    assert float(rows[0]["circumference_in"]) == round(first.measures.around_cm / INCH, 3)


def test_markdown_tables_are_not_ended_by_a_name(two: Ranking):
    text = to_markdown(two, "cm", "us")
    tables = [line for line in text.splitlines() if line.startswith("|")]
    bars = [line.replace("\\|", "").count("|") for line in tables]
    assert len(set(bars)) == 2  # the overview's and the pairs'
    assert len(tables) == 2 + 2 + 2 + 10
