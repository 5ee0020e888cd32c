"""The tables themselves: every row has its source, and the look-ups give what the rows say."""

from __future__ import annotations

from itertools import pairwise

import pytest

from evenround.tables.brief_figure import height_in
from evenround.tables.brief_values import read_term
from evenround.tables.facts import (
    depth_share,
    flat_rates,
    start_range,
    stitches,
    table,
    usual_flares,
)

WITH_SOURCE = [
    "flat_rates", "yarn_weights", "terms", "proportions", "starts", "flares", "depth_shares",
]  # fmt: skip


@pytest.mark.parametrize("name", WITH_SOURCE)
def test_every_row_says_where_it_comes_from(name: str) -> None:
    assert table(name)
    assert all(row["source"] for row in table(name))


def test_every_figure_says_where_it_comes_from() -> None:
    assert len(table("figures")) == 26
    assert all(row["note"] and row["open"] in {"yes", "no"} for row in table("figures"))


def test_every_figure_chains_from_round_to_round_and_can_be_measured() -> None:
    for row in table("figures"):
        steps = [step.split(">") for step in row["taken_left_per_round"].split()]
        assert str(read_term(steps[0][0], "")) == row["multiple"]
        for before, after in pairwise(steps):
            assert before[1] == after[0], row["figure"]
        if row["rounds"].isdigit():
            assert len(steps) == int(row["rounds"])
        assert all(times > 0 and stitch in flat_rates() for times, stitch in height_in(row, 4))


def test_heights_of_figures_add_up() -> None:
    by_name = {row["figure"]: row for row in table("figures")}
    assert height_in(by_name["wave"], 4) == [(2.0, "sc"), (2.0, "dc")]
    assert height_in(by_name["waffle"], 2) == [(1.8, "dc")]
    assert height_in(by_name["chain net"], 5) == [(pytest.approx(2.8), "dc"), (1.0, "sc")]


def test_no_such_table() -> None:
    with pytest.raises(FileNotFoundError):
        table("colours")


def test_uk_terms_name_the_same_stitches() -> None:
    # terms.csv: Craft Yarn Council US/UK conversion
    assert stitches("uk") == {"dc": "sc", "htr": "hdc", "tr": "dc", "dtr": "tr"}
    assert all(us == shown for us, shown in stitches("us").items())


def test_starts() -> None:
    # trade.md, Defaults (common practice): sc 5 to 8, hdc 7 to 10, dc 10 to 16, tr 14 to 16
    found = [start_range(stitch) for stitch in ("sc", "hdc", "dc", "tr")]
    assert found == [(5, 8), (7, 10), (10, 16), (14, 16)]


def test_depth_shares() -> None:
    # worked_examples 10: thecountrywillows.com, hat sizing: 22 in x 0.4 = 8.8 in; children 0.40
    assert depth_share(45, brim=False) * 45 == pytest.approx(18)
    assert depth_share(51.99, brim=False) == 0.40
    # trade.md, Defaults: 0.35 to 0.38 for adults (common practice), the middle
    assert depth_share(52, brim=False) == 0.365


def test_usual_flares_read_as_one_phrase() -> None:
    assert usual_flares().startswith("cloche 10 to 25, bucket 25 to 40, sun 55 to 75")


def test_a_brim_makes_a_hat_a_little_shallower() -> None:
    # from memory: bucket and brimmed hats 0.33 to 0.36 of the head
    assert 0.33 <= depth_share(56, brim=True) <= 0.36
    assert depth_share(48, brim=True) == depth_share(48, brim=False)
