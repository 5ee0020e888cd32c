"""``evenround figures`` as typed: the list, one figure in rounds, both terms, every format."""

from __future__ import annotations

import csv
import io
import json

import pytest

from evenround.cli import main
from evenround.tables.rounds.figures import figure_names


def typed(capsys: pytest.CaptureFixture[str], *line: str) -> tuple[int, str, str]:
    code = main(["figures", *line])
    caught = capsys.readouterr()
    return code, caught.out, caught.err


def test_the_list_has_every_figure_and_fits_the_page(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = typed(capsys)
    assert (code, err) == (0, "")
    assert max(map(len, out.splitlines())) <= 80
    beginnings = [line.split("  ")[0] for line in out.splitlines()]
    assert "wheel" in beginnings and "picot trellis" in beginnings
    assert sum(name in beginnings for name in figure_names()) >= len(figure_names()) - 2


def test_one_figure_in_rounds(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, _ = typed(capsys, "wide", "mesh")
    assert code == 0
    assert out.startswith("wide mesh: multiple 3, rounds 1\n")
    assert "Rnd 1: *Dc in next st, ch 2, sk next 2 sts; rep from * around." in out


def test_give_is_written_with_its_letter(capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = typed(capsys, "Open Fan With Give", "--format", "json")
    data = json.loads(out)
    assert data["counts"] == ["8+t", "10+t", "8+t"]
    assert data["worked"][0]["words"].endswith("sc in next t sts; rep from * around.")
    assert data["worked"][0]["leaves"] == "10+t"


def test_uk_terms(capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = typed(capsys, "V-stitch", "--terms", "uk")
    assert "(tr, ch 1, tr) in next st, miss next st" in out
    assert "dc" not in out
    _, out, _ = typed(capsys, "waffle", "--terms", "uk")
    assert "worked on a round of tr" in out
    assert "made of FPtr, tr, BPtr" in out


def test_a_net_says_which_rounds_go_on(capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = typed(capsys, "chain net")
    assert "rounds 3 or more" in out
    assert "Rnds between: *Sk next place, sc in next ch-5 sp, ch 5" in out
    assert "Last rnd: *Sk next place, sc in next ch-5 sp, ch 3" in out


def test_where_a_later_round_begins(capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = typed(capsys, "shell")
    assert "Rnd 1: after the first time, begin at the middle of the first shell: *Sc" in out


@pytest.mark.parametrize("name", figure_names())
def test_every_page_fits_in_both_terms(capsys: pytest.CaptureFixture[str], name: str) -> None:
    for terms in ("us", "uk"):
        code, out, _ = typed(capsys, name, "--terms", terms)
        assert code == 0
        assert max(map(len, out.splitlines())) <= 80
        assert "9973" not in out


def test_csv(capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = typed(capsys, "--format", "csv")
    rows = {row["figure"]: row for row in csv.DictReader(io.StringIO(out))}
    assert tuple(rows) == figure_names()
    assert rows["eyelet"]["counts"] == "3, 3, 3"
    _, out, _ = typed(capsys, "eyelet", "--format", "csv")
    lines = list(csv.DictReader(io.StringIO(out)))
    assert [line["words"] for line in lines] == [
        "*Hdc in next 2 sts, ch 1, sk next st; rep from * around.",
        "Hdc in each place around.",
    ]


def test_markdown(capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = typed(capsys, "--format", "markdown")
    assert "| star | 2 | 2 | 2, 1, 2 | hdc2tog, hdc |  |" in out
    _, out, _ = typed(capsys, "star", "--format", "markdown")
    assert "1. Rnd 1: \\*Hdc2tog; rep from \\* around." in out


def test_no_such_figure(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = typed(capsys, "shel")
    assert (code, out) == (2, "")
    assert err == "evenround: NAME: found 'shel'; did you mean shell?\n"
    code, _, err = typed(capsys, "x" * 500)
    assert code == 2
    assert len(err) < 700
