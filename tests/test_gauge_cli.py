"""``evenround gauge``: what it shows, what it warns of, and what it refuses."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path

import pytest

from evenround.cli import main

SWATCH = ["19 x 15", "18.5 x 15", "19 x 15.5", "--over", "10cm"]
# "Free Crochet Sun Hat for Boys", crochetdreamz.com, hook H
DISCS = ["--disc", "5 rounds, 40 sts, 4.5in", "--disc", "8 rounds, 64 sts, 6.5in"]


def run(*words: str) -> int:
    return main(["gauge", *words])


def test_a_swatch_measured_three_times(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(*SWATCH) == 0
    out = capsys.readouterr().out
    assert out.startswith("18.83 sts x 15.17 rounds / 10 cm (3 measurements).")
    assert "18.12 to 19.55" in out  # 18.83 +- 4.303 x 0.167, t of 2 degrees of freedom
    assert "moves 56.0 cm by 1.49 cm" in out
    assert "If it was counted over 4 in, not 10 cm: 0.9 cm off on 56.0 cm" in out
    assert max(len(line) for line in out.splitlines()) <= 80


def test_counts_of_no_one_fabric_are_warned_of(capsys: pytest.CaptureFixture[str]) -> None:
    """17 and 43 over 10 cm: a standard deviation of 18.4 on 30, and an interval below nothing."""
    assert run("17 x 13", "43 x 33", "--over", "10cm") == 0
    out = capsys.readouterr().out
    assert "Warning: The stitches lie from 17 to 43, further apart than slips of measuring" in out
    assert "95 %" not in out and "-135" not in out
    assert run("17 x 13", "18.5 x 13.5", "--over", "10cm") == 0
    assert "further apart" not in capsys.readouterr().out


def test_what_half_a_stitch_does_to_a_brief(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(*SWATCH, "--example", "bucket", "--format", "json") == 0
    sizes = json.loads(capsys.readouterr().out)["sizes"]
    assert [s["size"] for s in sizes][-1] == "adult L"
    large = sizes[-1]
    # the brief: 60 cm at 18 sts in 10 cm; measured: 18.833 (the mean of 19, 18.5 and 19)
    assert large["stitches_by_brief"] == pytest.approx(108)
    assert large["stitches_by_this"] == pytest.approx(60 * 18.8333 / 10, abs=1e-3)
    assert large["circumference_given_cm"] == pytest.approx(60 * 18 / 18.8333, abs=1e-3)
    assert large["half_stitch_cm"] == pytest.approx(60 * 0.5 / 18.8333, abs=1e-4)
    assert large["half_round_cm"] == pytest.approx(20 * 0.5 / 15.1667, abs=1e-4)
    # 15, 15, 15.5: a standard deviation of sqrt(1 / 12)
    assert large["depth_spread_cm"] == pytest.approx(20 * 12**-0.5 / 15.1667, abs=1e-4)
    assert large["spread_cm"] == pytest.approx(60 * 0.288675 / 18.8333, abs=1e-4)


def test_discs_take_the_largest_and_warn(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(*DISCS) == 0
    out = capsys.readouterr().out
    assert out.startswith("12.54 sts x 9.85 rounds / 4 in (2 discs, the largest is taken).")
    assert "+11 %" in out
    assert "does it lie flat?" in out
    assert max(len(line) for line in out.splitlines()) <= 80


@pytest.mark.parametrize("more", [[], ["--example"], ["--format", "csv"], ["--format", "json"]])
def test_a_five_round_disc_always_comes_with_its_warning(
    more: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(*DISCS[:2], *more) == 0
    shown = capsys.readouterr()
    said = " ".join((shown.out + shown.err).split())
    assert "A disc of 5 rounds is too small to plan a hat by" in said


def test_csv_has_a_row_for_each_thing(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(*SWATCH, "--format", "csv") == 0
    rows = list(csv.DictReader(io.StringIO(capsys.readouterr().out)))
    assert [row["of"] for row in rows] == ["stitches", "rounds"]
    assert float(rows[0]["standard_deviation"]) == pytest.approx(0.2887, abs=1e-4)
    assert run(*DISCS, "--format", "csv") == 0
    assert len(list(csv.DictReader(io.StringIO(capsys.readouterr().out)))) == 2
    assert run(*SWATCH, "--example", "bucket", "--format", "csv") == 0
    assert len(list(csv.DictReader(io.StringIO(capsys.readouterr().out)))) == 5


def test_markdown_tables(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(*SWATCH, "--format", "markdown", "--example") == 0
    out = capsys.readouterr().out
    assert "| stitches | 3 | 18.83 | 0.29 | 0.17 | 18.12 to 19.55 |" in out
    assert "| one size | 57.5 |" in out


def test_mixed_lengths_are_brought_together(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("16 x 12 / 4in", "15.75 x 11.8 / 10cm") == 0
    out = capsys.readouterr().out
    assert "Measured over 4 in and 10 cm: all brought to 4 in." in out
    assert out.startswith("16.00 sts")


def test_one_measurement_says_nothing_of_the_spread(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("19 / 10cm", "--stitch", "sc") == 0
    out = capsys.readouterr().out
    assert out.startswith("sc 19.00 sts / 10 cm (1 measurement).")
    assert "says nothing of the spread" in out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ([], "MEASURES: found nothing measured"),
        (["19 x 15"], "MEASURES: found 19 x 15; say what it is over"),
        (["19 x 15", "--over", "10"], "--over: found '10'; a length with its unit"),
        (["19 x 15", "--over", "wide"], "--over: found 'wide'; a length with its unit"),
        (["0 x 15", "--over", "10cm"], "MEASURES: found 0 x 15; "),
        (["nothing", "--over", "10cm"], "MEASURES: found nothing; stitches x rounds"),
        ([*SWATCH, *DISCS], "found both swatch and disc"),
        ([*DISCS, "--over", "10cm"], "--over: a disc says its own width"),
        (["--disc", "big"], "--disc: found big; a disc is written"),
        (["19 sc x 15 / 10cm", "19 hdc x 15 / 10cm"], "found hdc, sc; one stitch at a time"),
        ([*SWATCH, "--stitch", "purl"], "--stitch: found 'purl'; a stitch is one of"),
        ([*SWATCH, "--stitch", "tr", "--example"], "--stitch: found tr: no section of the brief"),
        ([*SWATCH, "--example", "sock"], "--example: 'sock' is none"),
        ([*SWATCH, "--brief", "no-such.toml"], "BRIEF: there is no file no-such.toml"),
        ([*SWATCH, "--force"], "--force: there is nothing to write over"),
    ],
)
def test_what_is_wrong_is_one_message(
    words: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(*words) == 2
    shown = capsys.readouterr()
    assert shown.out == ""
    assert said in shown.err
    assert "Traceback" not in shown.err


def test_it_writes_a_file_whole_and_not_over_another(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "gauge.json"
    assert run(*SWATCH, "--format", "json", "--out", str(out)) == 0
    assert json.loads(out.read_text())["stitches"] == pytest.approx(18.8333)
    assert run(*SWATCH, "--out", str(out)) == 2
    assert "is there already" in capsys.readouterr().err
