"""Faults a new user met, each as typed. Our own small hat (README); no outside numbers."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from evenround.cli import main

SMALL = """\
title = "Tamsellick"
head = 56
ease = 1
depth = 19

[gauge]
hdc = "18 x 13.5 / 10cm"

[[sections]]
kind = "crown"
sectors = 8

[[sections]]
kind = "even"

[[sections]]
kind = "band"
figure = "brick mesh"
measured_height = 1.5

[[sections]]
kind = "brim"
width = 6
flare = 30

[[sections]]
kind = "edging"
repeat = 4
"""
OWN = """\
Sizes S (M)
Gauge: 18 hdc and 13.5 rnds = 10 cm

Crown
Rnd 1: 8 hdc in a ring. (8 hdc)
Rnd 2: 2 hdc in each st around. (16 hdc)
Rnd 3: *2 hdc in next st, hdc in next st; rep from * around. (24 hdc)
Rnd 4: *2 hdc in next st, hdc in next 2 sts; rep from * around. (32 hdc)
Rnd 5: *2 hdc in next st, hdc in next 3 sts; rep from * around. (40 hdc)
Size M only - Rnd 6: *2 hdc in next st, hdc in next 4 sts; rep from * around. (48 hdc)
Rnds 7-12: Hdc in each st around. (40 (48) hdc)
"""
Caught = pytest.CaptureFixture[str]


def run(capsys: Caught, *words: str) -> tuple[int, str, str]:
    code = main(list(words))
    caught = capsys.readouterr()
    return code, " ".join(caught.out.split()), " ".join(caught.err.split())


@pytest.fixture
def small(tmp_path: Path) -> str:
    path = tmp_path / "small.toml"
    path.write_text(SMALL)
    return str(path)


@pytest.fixture
def hat(small: str, tmp_path: Path, capsys: Caught) -> str:
    path = tmp_path / "hat.txt"
    assert main(["write", small, "--out", str(path)]) == 0
    capsys.readouterr()
    return str(path)


def test_a_new_repeat_is_never_worked_in_the_old_figure(hat: str, capsys: Caught) -> None:
    # 108 = 12 x 9 divides by the old figure's 4 too
    code, out, _ = run(capsys, "adapt", hat, "--repeat", "9", "--band-only", "--write", "1")
    assert code == 0
    assert "band 12 x 9, was 26 x 4" in out
    written = out.split("The rounds of number 1:")[1]
    assert "Rnds 25-26: Your own figure of 9 sts, 12 times around" in written
    assert "sk next st" not in written


def test_an_edging_of_counts_alone_is_kept(hat: str, capsys: Caught) -> None:
    _, out, _ = run(capsys, "adapt", hat, "--repeat", "9", "--band-only", "--write", "1")
    assert "edging (hdc): 34 x 4, rnd 35" in out
    assert "Not said: how the figure of Rnd 35 is worked; it is kept by its counts." in out
    assert "Not understood" not in out
    assert "edging 36 x 4, was 34 x 4" in out
    assert "Rnd 35: Your own figure of 4 sts, 36 times around" in out


def test_adapted_brim_rounds_keep_their_half_gap(hat: str, capsys: Caught) -> None:
    _, out, _ = run(capsys, "adapt", hat, "--repeat", "9", "--band-only", "--write", "1")
    assert "Rnd 27: Ch 1, *2 hdc in next st, hdc in next 11 sts; rep from *" in out
    assert "Rnd 29: Ch 1, hdc in next 6 sts, 2 hdc in next st, *hdc in next 12 sts" in out


def test_a_size_keeps_the_numbers_of_its_rounds(tmp_path: Path, capsys: Caught) -> None:
    path = tmp_path / "own.txt"
    path.write_text(OWN)
    _, out, _ = run(capsys, "adapt", str(path), "--repeat", "6", "--write", "1")
    assert "even rounds (hdc): 40 sts, rnds 7-12" in out
    assert "crown: rnd 7 adds 2 (40 to 42)" in out
    assert "Rnd 7: *2 hdc in next st, hdc in next 19 sts" in out
    assert "Rnds 8-12: Hdc in each st around" in out
    assert "Note: size S, the first of 2; --size picks another." in out


def test_a_price_without_a_change_says_what_it_is_of(hat: str, capsys: Caught) -> None:
    _, out, _ = run(capsys, "adapt", hat, "--head", "22in", "--units", "in")
    assert "1.0 104 22.75 (+0.04) nothing to work; the amount is how far it is" in out


def test_a_brief_is_told_in_the_units_asked_for(small: str, capsys: Caught) -> None:
    _, out, _ = run(capsys, "adapt", small, "--head", "22in", "--units", "in")
    assert out.startswith("Tamsellick: to head 22.00 in")


def test_no_design_is_still_data(small: str, capsys: Caught) -> None:
    code = main(["adapt", small, "--sectors", "13", "--format", "json"])
    found = json.loads(capsys.readouterr().out)
    assert code == 4
    assert (found["candidates"], found["nearest"]) == ([], [])
    assert found["asked"] == ["sectors 13"]


def test_headings_name_the_stitches_of_their_rounds(hat: str) -> None:
    text = Path(hat).read_text()
    assert "\nBrick mesh, in dc\n" in text
    assert "Grows by 8 sts in every 2nd round." in text


@pytest.mark.parametrize(
    ("was", "now", "said"),
    [
        ("hdc =", "htr =", 'htr is a UK word: write hdc, or terms = "uk"'),
        ('title = "Tamsellick"', 'terms = "uk"', 'hdc is a US word: write htr, or terms = "us"'),
        ("brick mesh", "brik mesh", "found 'brik mesh'; did you mean brick mesh?"),
        ("brick mesh", "v-stich", "did you mean V-stitch?"),
    ],
)
def test_a_wrong_word_gets_the_right_one(
    small: str, capsys: Caught, was: str, now: str, said: str
) -> None:
    Path(small).write_text(SMALL.replace(was, now))
    code, _, err = run(capsys, "fit", small)
    assert code == 2
    assert said in err


@pytest.mark.parametrize(
    ("figure", "note"),
    [("open fan with give", "Note: our own figure."), ("eyelet", "written from memory.")],
)
def test_figures_say_in_plain_words_where_they_are_from(
    capsys: Caught, figure: str, note: str
) -> None:
    assert run(capsys, "figures", figure)[1].endswith(note)


def test_coverage_calls_a_caution_one_and_says_what_serves_means(capsys: Caught) -> None:
    out = run(capsys, "coverage", "--example", "bucket")[1]
    assert "Caution: For a baby" in out
    assert "Note: For a baby" not in out
    assert "Serves: from the head the hat is just its tolerance too large for" in out


def test_half_a_stitch_in_inches(small: str, capsys: Caught) -> None:
    assert "half a stitch off in 3.94 in (10 cm)" in run(capsys, "fit", small, "--units", "in")[1]


def test_a_count_wide_enough_is_not_blamed_for_its_width(small: str, capsys: Caught) -> None:
    sizes = 'sizes = [{ name = "S", head = 52 }, { name = "M", head = 56 }]'
    text = SMALL.replace("head = 56", sizes) + "\n[family]\ncounts = { S = 97 }\n"
    Path(small).write_text(text)
    _, out, err = run(capsys, "grade", small)
    assert "S cannot keep 97 stitches, 53.9 cm around: " in out + err
    assert "0.9 cm too big" not in out + err


def test_weighed_and_not_measured(small: str, capsys: Caught) -> None:
    text = SMALL.replace("measured_height = 1.5", 'swatch = { grams = 4, area = "10cm x 10cm" }')
    Path(small).write_text(text + '\n[swatch]\nhdc = { grams = 4, area = "10cm x 10cm" }\n')
    said = "brick mesh: weighed, but its height was not measured"
    assert said in run(capsys, "fit", small)[1]
    assert said in run(capsys, "write", small)[1]
    graded = run(capsys, "grade", small)[1]
    assert said in graded
    assert "Yarn: not weighed." not in graded
