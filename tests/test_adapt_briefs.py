"""``evenround adapt`` of a brief, as typed: what stays, what goes, what is said of it."""

from __future__ import annotations

from pathlib import Path

import pytest
from adapt_typed import as_json, typed

from evenround.solver import fit
from evenround.tables.brief import example_brief, plan
from evenround.tables.facts import data_text


@pytest.fixture
def garden(tmp_path: Path) -> str:
    path = tmp_path / "garden.toml"
    path.write_text(data_text("garden.toml"))
    return str(path)


@pytest.fixture
def bucket(tmp_path: Path) -> str:
    path = tmp_path / "bucket.toml"
    path.write_text(data_text("bucket.toml"))
    return str(path)


def test_a_brief_to_another_repeat(capsys: pytest.CaptureFixture[str], garden: str) -> None:
    found = as_json(capsys, garden, "--repeat", "6", "--best", "3")
    before = {s["section"]: s for s in found["before"]["tally"]}
    assert before["band"]["repeat"] == 10, "demos.md: 11 repeats of 10"
    for each in found["candidates"]:
        sections = {s["section"]: s for s in each["tally"]}
        assert sections["band"]["repeat"] == 6
        assert sections["band"]["count_in"] % 6 == 0
        assert sections["band"]["rounds"] == before["band"]["rounds"], "the band's rounds stay"
        assert each["score_mm"] is not None and each["change_mm"] > 0
        assert sections["edging"]["count_in"] % 3 == 0
    totals = [each["change_mm"] + each["score_mm"] for each in found["candidates"]]
    assert totals == sorted(totals)


def test_a_brief_to_another_figure_written(capsys: pytest.CaptureFixture[str], garden: str) -> None:
    code, out, _ = typed(capsys, garden, "--figure", "shell", "--write", "1")
    assert code == 0
    assert "Note: --figure shell replaces open fan with give" in out
    assert "sc in next st, sk next 2 sts, 5 dc in next st, sk next 2 sts; rep" in out
    assert max(map(len, out.splitlines())) <= 80


@pytest.mark.parametrize("more", [(), ("--band-only",)])
def test_a_repeat_the_briefs_figure_has_at_some_give_keeps_it(
    capsys: pytest.CaptureFixture[str], garden: str, more: tuple[str, ...]
) -> None:
    # `evenround figures`: open fan with give is 8+t, 10+t, 8+t; 11 is t = 3
    found = as_json(capsys, garden, "--repeat", "11", "--best", "3", *more)
    note = "--repeat 11: open fan with give has it at t = 3, and stays"
    assert any(each.startswith(note) for each in found["notes"])
    for each in found["candidates"]:
        band = next(s for s in each["tally"] if s["section"] == "band")
        assert band["repeat"] == 11
        above = each["tally"][: each["tally"].index(band)]
        first = each["round_counts"][sum(s["rounds"] for s in above)]
        assert first == band["repeats"] * 13, "the fan's first round has two more"


def test_a_repeat_that_is_the_briefs_own_changes_nothing(
    capsys: pytest.CaptureFixture[str], garden: str
) -> None:
    found = as_json(capsys, garden, "--repeat", "8+t", "--best", "1")
    assert "--repeat 8+t is what open fan with give has: nothing of it changes" in found["notes"]
    assert found["candidates"][0]["changes"] == []
    assert found["candidates"][0]["tally"] == found["before"]["tally"]


def test_a_width_that_the_repeat_cannot_have_goes(
    capsys: pytest.CaptureFixture[str], garden: str
) -> None:
    found = as_json(capsys, garden, "--repeat", "14", "--best", "1")
    said = next(note for note in found["notes"] if note.startswith("--repeat 14: open fan"))
    assert "stays; its repeat_width goes, " in said


def test_a_new_figure_at_the_repeat_beside_it(
    capsys: pytest.CaptureFixture[str], garden: str
) -> None:
    words = ("--figure", "open fan with give", "--repeat", "9", "--best", "2")
    found = as_json(capsys, garden, *words)
    bands = [s for c in found["candidates"] for s in c["tally"] if s["section"] == "band"]
    assert bands and all(band["repeat"] == 9 for band in bands)
    code, _, err = typed(capsys, garden, "--figure", "open fan with give", "--repeat", "7")
    assert code == 2
    assert err.startswith("evenround: --repeat: found 7 beside --figure open fan with give (8+t);")


def test_only_the_band_of_a_brief(capsys: pytest.CaptureFixture[str], bucket: str) -> None:
    words = (bucket, "--size", "adult S/M", "--repeat", "6", "--band-only")
    found = as_json(capsys, *words)
    crowns = [[s for s in c["tally"] if s["section"] == "crown"] for c in found["candidates"]]
    was = [s for s in found["before"]["tally"] if s["section"] == "crown"]
    assert crowns and all(crown == was for crown in crowns)
    notes = [note for each in found["candidates"] for note in each["notes"]]
    assert any(note.startswith("breaks the brief: ") for note in notes), "the bucket has no nudges"


def test_other_sectors_of_a_brief(capsys: pytest.CaptureFixture[str], bucket: str) -> None:
    # the brief allows 8 only; what is asked comes first
    found = as_json(capsys, bucket, "--size", "adult L", "--sectors", "9")
    crowns = [s for c in found["candidates"] for s in c["tally"] if s["section"] == "crown"]
    assert crowns and all(crown["sectors"] == 9 for crown in crowns)
    code, _, err = typed(capsys, bucket, "--sectors", "99")
    assert code == 2 and "--sectors: found '99'; a number from 4 to 24" in err


def test_chains_that_count_are_spoken_of(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    path = tmp_path / "chains.txt"
    path.write_text(
        "Ch 3 at the start of a round counts as a dc.\n"
        "Rnd 1: Ch 3, 11 dc in a ring, join. (12)\n"
        "Rnd 2: Ch 3, dc in same st, 2 dc in each st around, join. (24)\n"
        "Rnds 3-6: Ch 3, dc in each st around, join. (24)\n"
    )
    code, out, _ = typed(capsys, str(path), "--repeat", "5", "--write", "1")
    assert code == 0
    assert "The pattern's opening chains count as stitches" in out


def test_other_gauges_of_a_brief_are_spoken_of(
    capsys: pytest.CaptureFixture[str], garden: str
) -> None:
    found = as_json(capsys, garden, "--gauge", "17 x 14 / 10cm", "--best", "2")
    assert any(note.startswith("sc keeps its gauge: in another yarn") for note in found["notes"])
    for each in found["candidates"]:
        assert each["side_cm"] == pytest.approx(each["side_count"] * 10 / 17, abs=0.01)
        assert abs(each["side_cm"] - 57.5) <= 1.5


COWL = """\
title = "Lowmill, a cowl of two stitches"
start = "chain"
stitch = "hdc"
circumference = 60

[gauge]
hdc = "18 x 13.5 / 10cm"
dc = "16 x 8 / 10cm"

[tolerances]
circumference = 8

[[sections]]
kind = "even"
rounds = 3

[[sections]]
kind = "band"
stitch = "dc"
repeat = 4
"""


def test_a_change_is_weighed_where_the_fit_is_judged(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """Without a crown that is the first section, of 18 in 10 cm, not the band of 16."""
    brief = tmp_path / "cowl.toml"
    brief.write_text(COWL)
    first = as_json(capsys, str(brief), "--repeat", "7", "--best", "1")["candidates"][0]
    assert first["side_cm"] == pytest.approx(first["side_count"] * 10 / 18, abs=0.01)
    assert first["change_mm"] == pytest.approx(first["change_sts"] * 100 / 18, abs=0.01)


def test_a_brief_that_cannot_says_why(capsys: pytest.CaptureFixture[str], bucket: str) -> None:
    code, out, err = typed(capsys, bucket, "--size", "adult L", "--head", "57", "--repeat", "10")
    assert (code, out) == (4, "")
    assert "no design meets every" in err
    assert "Conflict: 58.0 cm around" in err
    assert "Ways out, cheapest first: 1) " in err and "Giving up" not in err  # one answer


def test_a_text_that_is_a_brief_is_one(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    path = tmp_path / "brief.txt"
    path.write_text(data_text("bucket.toml"))
    code, out, _ = typed(capsys, str(path), "--gauge", "17 x 13 / 10cm")
    assert code == 0
    assert "to gauge 17 x 13 / 10cm" in " ".join(out.split())


def test_bad_briefs(capsys: pytest.CaptureFixture[str], tmp_path: Path, garden: str) -> None:
    cowl = tmp_path / "cowl.toml"
    cowl.write_text(data_text("cowl.toml"))
    code, _, err = typed(capsys, str(cowl), "--repeat", "5")
    assert code == 2 and "--repeat: the brief has 4 bands;" in err
    bad = tmp_path / "bad.toml"
    bad.write_text("title = 3")
    assert typed(capsys, str(bad), "--repeat", "5")[0] == 2
    code, _, err = typed(capsys, garden, "--repeat", "x")
    assert code == 2 and "--repeat: found" in err
    code, _, err = typed(capsys, str(tmp_path / "none.txt"), "--repeat", "5")
    assert code == 2 and err.startswith("evenround: SOURCE: there is no file")


def test_widths_of_a_brief_are_those_of_fit(
    capsys: pytest.CaptureFixture[str], garden: str
) -> None:
    made = plan(example_brief("garden"))
    first = fit(made.piece, best=1, near=False).candidates[0]
    edge = first.measures.edge_cm
    assert edge is not None
    _, out, _ = typed(capsys, garden, "--repeat", "8+t", "--format", "markdown")
    rows = [[c.strip() for c in line.split("|")] for line in out.splitlines()]
    brim = next(row for row in rows if len(row) == 12 and row[2] == "brim")
    assert brim[6] == brim[10] == f"{edge:.1f}"
    assert "none where that was not said" not in out
