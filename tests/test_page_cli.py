"""``evenround page`` at the terminal: where the page goes, what is refused, how it ends."""

from __future__ import annotations

from pathlib import Path

import pytest
from page_reading import example, read_page

from evenround.cli.app import run
from evenround.cli.errors import Exit

EIGHTS = example("bucket").replace("sector_range = [6, 16]", "sector_range = [8, 8]")


def test_to_a_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "hat.html"
    assert run(["page", "--example", "--best", "1", "--out", str(out)]) == Exit.DONE
    heard = capsys.readouterr()
    assert heard.out == ""
    assert heard.err == f"evenround: wrote {out}\n"
    assert read_page(out.read_text("utf-8")).one("h1").text == "Oskerrow Bay, a garden hat"


def test_to_standard_output(capsysbinary: pytest.CaptureFixture[bytes]) -> None:
    assert run(["page", "--example", "--best", "1"]) == Exit.DONE
    heard = capsysbinary.readouterr()
    assert heard.out.startswith(b"<!doctype html>")
    assert heard.err == b""


def test_never_over_a_file_unasked(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = tmp_path / "hat.html"
    out.write_text("mine")
    assert run(["page", "--example", "--out", str(out)]) == Exit.BAD_INPUT
    assert "is there already" in capsys.readouterr().err
    assert out.read_text() == "mine"
    asked = ["page", "--example", "--best", "1", "--out", str(out), "--force"]
    assert run(asked) == Exit.DONE
    assert out.read_text("utf-8").startswith("<!doctype html>")


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        (["--example", "--best", "0"], "--best: 0 is not between 1 and 50"),
        (["--example", "--time-limit", "nan"], "--time-limit: nan is not over 0"),
        (["--example", "bucket", "--size", "XXL"], "XXL"),
        ([], "BRIEF: nothing to work on"),
        (["no.toml", "--example"], "only one of them would do"),
    ],
)
def test_refusals(asked: list[str], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["page", *asked]) == Exit.BAD_INPUT
    heard = capsys.readouterr()
    assert said in heard.err
    assert "Traceback" not in heard.err
    assert heard.out == ""


def test_some_sizes_only(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    brief, out = tmp_path / "eights.toml", tmp_path / "eights.html"
    brief.write_text(EIGHTS)
    assert run(["page", str(brief), "--best", "1", "--out", str(out)]) == Exit.IN_PART
    assert "2 of 5 sizes cannot be made; the page says why" in capsys.readouterr().err
    assert "Ways out" in out.read_text("utf-8")


def test_no_design_at_all(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    brief, out = tmp_path / "eights.toml", tmp_path / "one.html"
    brief.write_text(EIGHTS)
    asked = ["page", str(brief), "--size", "adult L", "--out", str(out)]
    assert run(asked) == Exit.IMPOSSIBLE
    assert "the page says why" in capsys.readouterr().err
    root = read_page(out.read_text("utf-8"))
    assert "Why nothing fits" in root.one("nav").text or "adult L" in root.one("nav").text
    assert "Conflict: " in root.text
