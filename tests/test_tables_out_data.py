"""The frame, CSV, Markdown and JSON."""

from __future__ import annotations

import csv
import io
import json
from dataclasses import replace

import pytest
from test_tables_out_sample import (
    cowl_fit,
    cowl_plan,
    garden_fit,
    garden_plan,
    nudged_candidate,
    nudged_plan,
)

from evenround.solver.candidate import PARTS, Fit
from evenround.tables.export import to_csv, to_json, to_markdown, to_markdown_page
from evenround.tables.frame import candidates_frame

# The keys that scripts may rely on, in order.
KEYS = """
    rank score_mm score_parts pareto start sectors crown stop_round side_count final_count
    circumference_cm circumference_miss_cm depth_cm brim_cm flare_deg fullness nudges tally
    round_counts warnings
"""
SECTION_KEYS = "section name rounds count_in count_out repeat repeats sectors"


def test_the_frame_has_one_typed_row_a_candidate() -> None:
    frame = candidates_frame(garden_plan(), garden_fit())
    assert len(frame) == 2
    types = {str(t) for t in frame.dtypes}
    assert types == {"Int64", "Float64", "string", "boolean"}
    row = frame.iloc[0]
    assert (row["rank"], row["side_count"], row["crown"]) == (1, 108, "8 x 13 + 4")
    assert row["circumference_cm"] == pytest.approx(56.842, abs=1e-3)
    assert (row["brim_sectors"], row["brim_increases"], row["final_count"]) == (18, 5, 198)
    assert row["fit_mm"] + row["shape_mm"] + row["effort_mm"] == pytest.approx(row["score_mm"])


def test_what_does_not_apply_is_missing() -> None:
    row = candidates_frame(cowl_plan(), cowl_fit()).isna().iloc[0]
    assert row[["crown", "sectors", "stop_round", "brim_sectors", "edge_cm"]].all()
    assert not row[["band1_repeat", "band2_repeats", "nudges"]].any()


def test_the_frame_of_nothing_keeps_its_columns() -> None:
    empty = candidates_frame(garden_plan(), Fit("impossible", (), (), ()))
    assert len(empty) == 0
    assert "circumference_cm" in empty.columns


def test_inches_change_numbers_and_names() -> None:
    cm = candidates_frame(garden_plan(), garden_fit(), "cm").iloc[0]
    inches = candidates_frame(garden_plan(), garden_fit(), "in").iloc[0]
    assert "circumference_cm" not in inches.index
    assert inches["circumference_in"] * 2.54 == pytest.approx(cm["circumference_cm"])
    assert inches["band1_repeat_width_in"] * 2.54 == pytest.approx(cm["band1_repeat_width_cm"])
    with pytest.raises(ValueError, match="'cm' or 'in'"):
        candidates_frame(garden_plan(), garden_fit(), "mm")  # type: ignore[arg-type]


def test_csv_can_be_read_back() -> None:
    rows = list(csv.DictReader(io.StringIO(to_csv(garden_plan(), garden_fit(), "cm"))))
    assert [row["final_count"] for row in rows] == ["198", "189"]
    assert rows[0]["circumference_cm"] == "56.84"
    assert rows[0]["circumference_miss_cm"] == "-0.66"
    assert rows[0]["nudges"] == ""


@pytest.mark.parametrize("sign", ["=", "+", "-", "@"])
def test_no_text_is_taken_for_a_formula(sign: str) -> None:
    first = garden_fit().candidates[0]
    band = replace(first.measures.bands[0], name=f'{sign}1+1, a, "b"')
    first = replace(first, measures=replace(first.measures, bands=(band, band)))
    text = to_csv(garden_plan(size=f"{sign}size"), Fit("proven", (first,), (), ()), "cm")
    (row,) = csv.DictReader(io.StringIO(text))
    assert row["size"] == f"'{sign}size"
    assert row["band1"] == f'\'{sign}1+1, a, "b"'
    assert row["repeats"].startswith(f"'{sign}1+1")
    assert row["circumference_miss_cm"] == "-0.66"  # a number stays a number


def test_markdown_is_a_table_whatever_the_names() -> None:
    first = garden_fit().candidates[0]
    band = replace(first.measures.bands[0], name="a | b\nc")
    first = replace(first, measures=replace(first.measures, bands=(band, band)))
    text = to_markdown(garden_plan(), Fit("proven", (first,), (), ()), "cm")
    lines = text.splitlines()
    assert len(lines) == 3
    bars = {line.replace("\\|", "").count("|") for line in lines}
    assert len(bars) == 1
    assert "a \\| b c" in lines[2]


def test_markdown_leaves_out_what_is_empty_and_keeps_what_is_under_the_table() -> None:
    page = to_markdown_page(garden_plan(), garden_fit(), "cm", garden_fit().candidates[0])
    head = next(line for line in page.splitlines() if line.startswith("| #"))
    assert "nudges" not in head
    assert "repeat width cm" in head
    assert "Near misses" in page
    assert "Candidate 1, round by round" in page
    assert "nudges" in to_markdown(
        nudged_plan(), Fit("proven", (nudged_candidate(),), (), ()), "cm"
    )
    assert "| rib repeat cm" in to_markdown(cowl_plan(), cowl_fit(), "cm")


def test_json_has_the_keys_scripts_rely_on() -> None:
    rows = json.loads(to_json(garden_plan(), garden_fit()))
    assert isinstance(rows, list)
    for row in rows:
        assert list(row)[:20] == KEYS.split()
        assert list(row["score_parts"]) == list(PARTS)
        for section in row["tally"]:
            assert list(section) == SECTION_KEYS.split()
    first = rows[0]
    assert first["crown"] == [[8, 12], [4, 1]]
    assert (first["start"], first["sectors"], first["stop_round"]) == (8, 8, 14)
    assert first["circumference_cm"] == 56.842
    assert first["circumference_miss_cm"] == -0.658
    assert first["score_mm"] == pytest.approx(sum(first["score_parts"].values()), abs=1e-5)
    fan = first["tally"][2]
    assert (fan["section"], fan["repeat"], fan["repeats"], fan["sectors"]) == ("band", 9, 12, None)
    assert first["round_counts"][-1] == first["final_count"] == 198


def test_json_is_null_where_nothing_applies() -> None:
    (row,) = json.loads(to_json(cowl_plan(), cowl_fit()))
    for key in ("crown", "sectors", "stop_round", "brim_cm", "flare_deg", "fullness", "yarn"):
        assert row[key] is None
    assert row["nudges"] == [{"before": "V-stitch", "round": 5, "count_in": 104, "change": 1}]
    assert row["start"] == row["side_count"] == 104
