"""``evenround draw``: pictures as files, and one message where something is wrong."""

from __future__ import annotations

import struct
import sys
from pathlib import Path

import pytest
from drawn import having, read, solved, title_of

from evenround.cli import app
from evenround.tables.draw import counts_plot, side_view

BRIEF = """
title = "Plain"
head = 56
depth = 19
[gauge]
hdc = "18 x 13.5 / 10cm"
[[sections]]
kind = "crown"
[[sections]]
kind = "even"
"""


def run(*arguments: str) -> int:
    """The command as it is typed."""
    return app.run(["draw", *arguments])


def test_standard_output_is_the_picture_alone(capfd: pytest.CaptureFixture[str]) -> None:
    assert run("--example") == 0
    out, err = capfd.readouterr()
    assert out == side_view(*solved("garden"))
    assert err == ""


def test_a_file_is_written_whole(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    to = tmp_path / "counts.svg"
    assert (
        run("--example", "bucket", "--size", "adult L", "--what", "counts", "--out", str(to)) == 0
    )
    assert to.read_text("utf-8") == counts_plot(*solved("bucket", "adult L"))
    assert capfd.readouterr() == ("", f"evenround: wrote {to}\n")


def test_nothing_is_written_over_unasked(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    to = tmp_path / "hat.svg"
    to.write_text("mine")
    assert run("--example", "--out", str(to)) == 2
    assert to.read_text() == "mine"
    assert "--force would write over it" in capfd.readouterr().err
    assert run("--example", "--out", str(to), "--force") == 0
    assert to.read_text("utf-8").startswith("<svg")


@pytest.mark.parametrize(("asked", "wide"), [((), 1080), (("--width", "360"), 360)])
def test_png_of_the_width_asked_for(tmp_path: Path, asked: tuple[str, ...], wide: int) -> None:
    pytest.importorskip("resvg_py")
    to = tmp_path / "crown.PNG"
    assert run("--example", "--what", "crown", "--out", str(to), *asked) == 0
    assert struct.unpack(">I", to.read_bytes()[16:20]) == (wide,)


def test_png_without_the_extra(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setitem(sys.modules, "resvg_py", None)
    to = tmp_path / "hat.png"
    assert run("--example", "--out", str(to)) == 2
    assert "pip install 'evenround[png]'" in capfd.readouterr().err
    assert list(tmp_path.iterdir()) == []


def test_pick_and_units(capfd: pytest.CaptureFixture[str]) -> None:
    assert run("--example", "--pick", "2", "--units", "in", "--what", "counts") == 0
    root = read(capfd.readouterr().out)
    last = having(root, "round", "count")[-1]
    assert last.attrib["data-count"] == "198"
    assert "around in" in {e.text for e in root.iter()}


def test_no_shift_sets_the_increases_in_line(capfd: pytest.CaptureFixture[str]) -> None:
    """Round 4 of the garden hat, 8 more on 24: in line its first increase begins the round."""
    shares = []
    for more in ((), ("--no-shift",)):
        assert run("--example", "--what", "crown", *more) == 0
        root = read(capfd.readouterr().out)
        (four,) = [e for e in having(root, "shares") if e.attrib["data-increase-round"] == "4"]
        shares.append(float(four.attrib["data-shares"].split()[0]))
    assert shares == pytest.approx([2 / 32, 1 / 32], abs=5.1e-4)


def test_a_title_of_a_brief_is_only_a_title(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    brief = tmp_path / "b.toml"
    brief.write_text(BRIEF.replace("Plain", "<script>alert(1)</script>"))
    assert run(str(brief)) == 0
    root = read(capfd.readouterr().out)
    assert title_of(root) == "<script>alert(1)</script>: from the side"


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ((), "BRIEF: nothing to work on"),
        (("--example", "--out", "hat.jpg"), "hat.jpg ends in neither .svg nor .png"),
        (("--example", "--out", "hat"), "hat ends in neither .svg nor .png"),
        (("--example", "--width", "500"), "--width: an SVG has any width"),
        (("--example", "--width", "5", "--out", "h.png"), "5 is not between 100 and 8000 pixels"),
        (
            ("--example", "--pick", "0"),
            "--pick: 0 is not a rank; 1 is the best candidate's, and 1000 the last",
        ),
        (("--example", "cowl", "--pick", "900"), "--pick: there is no candidate 900; there are"),
        (("--example", "cowl", "--what", "crown"), "--what: crown cannot be drawn: this piece has"),
        (("--example", "cowl", "--what", "sector"), "sector cannot be drawn: this piece has no"),
        (("--example", "--size", "XL"), "XL"),
        (("missing.toml",), "there is no file missing.toml"),
        (("--example", "--force"), "--force: there is nothing to write over"),
    ],
)
def test_bad_input_is_one_message(
    arguments: tuple[str, ...],
    words: str,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capfd: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.chdir(tmp_path)
    assert run(*arguments) == 2
    out, err = capfd.readouterr()
    assert out == "" and words in err and "Traceback" not in err
    assert list(tmp_path.iterdir()) == []


def test_a_hat_without_bands_has_no_chart(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    brief = tmp_path / "b.toml"
    brief.write_text(BRIEF)
    assert run(str(brief), "--what", "band") == 2
    assert "band cannot be drawn: there is no band or edging" in capfd.readouterr().err


def test_the_impossible_is_said(tmp_path: Path, capfd: pytest.CaptureFixture[str]) -> None:
    brief = tmp_path / "b.toml"
    brief.write_text(BRIEF + "[[sections]]\nkind = 'band'\nrepeat = 199\n")
    assert run(str(brief)) == 4
    out, err = capfd.readouterr()
    assert out == "" and err
