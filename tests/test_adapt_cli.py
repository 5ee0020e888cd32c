"""``evenround adapt`` as typed: pages, formats, exit codes, one message for bad input."""

from __future__ import annotations

import csv
import io
import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
import typer
from test_adapt_infer import PLAIN_CAP, example, lines

from evenround.cli.adapt import adapt
from evenround.cli.errors import ending
from evenround.solver import fit
from evenround.tables.brief import example_brief, plan
from evenround.tables.facts import data_text

app = typer.Typer(rich_markup_mode=None, pretty_exceptions_enable=False)
app.command()(adapt)


def typed(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    """The command by itself, whether or not it is registered: exit code, stdout, stderr."""

    def work() -> int:
        try:
            typer.main.get_command(app).main(args=list(words), prog_name="evenround adapt")
        except SystemExit as end:
            return end.code if isinstance(end.code, int) else 0
        return 0

    code = ending(work)
    caught = capsys.readouterr()
    return code, caught.out, caught.err


@pytest.fixture
def cap(tmp_path: Path) -> str:
    path = tmp_path / "cap.txt"
    path.write_text(PLAIN_CAP)
    return str(path)


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


def as_json(capsys: pytest.CaptureFixture[str], *words: str) -> Any:
    code, out, err = typed(capsys, *words, "--format", "json")
    assert (code, err) == (0, "")
    return json.loads(out)


# --- written patterns ---------------------------------------------------------------------------


def test_64_to_66_by_two(capsys: pytest.CaptureFixture[str], cap: str) -> None:
    # worked_examples 4: instructables.com hat
    code, out, err = typed(capsys, cap, "--repeat", "6", "--write", "1")
    assert (code, err) == (0, "")
    assert "  crown (hdc): 4 x 2, then 8 x 7, stops rnd 9, rnds 1-9\n" in out
    assert "Not said: the gauge; changes are in stitches and shares, not in cm.\n" in out
    assert "1  4.0      66 (+3.1 %)   crown: rnd 10 adds 2 (64 to 66)\n" in out
    assert "  Rnds 1-9: as the pattern has them (64 sts)\n" in out
    assert "Rnd 10: *2 hdc in next st, hdc in next 31 sts; rep from * around. (66 sts)" in out
    assert "Note: there is no band; even rounds are to suit the repeat.\n" in out
    changed = [line for line in out.splitlines() if line.startswith("~")]
    assert len(changed) == 2, "crown and even rounds changed"
    assert max(map(len, out.splitlines())) <= 80


@pytest.mark.parametrize("repeat", ["7", "9"])
def test_60_to_63(capsys: pytest.CaptureFixture[str], tmp_path: Path, repeat: str) -> None:
    # case C16: stitchandunwind.com: a dc crown of 60, 12 a round; 63 for a repeat of 7 or 9
    path = tmp_path / "sixty.txt"
    rounds = (
        f"Rnd {k + 2}: *2 dc in next st, dc in next {k} st{'s' * (k > 1)}; rep from * around. "
        f"({12 * (k + 2)})"
        for k in range(1, 4)
    )
    start = ["Rnd 1: 12 dc in a ring. (12)", "Rnd 2: 2 dc in each st around. (24)"]
    path.write_text(lines(start, rounds, ["Rnds 6-12: Dc in each st around. (60)"]))
    found = as_json(capsys, str(path), "--repeat", repeat, "--best", "8")
    assert found["before"]["side_count"] == 60
    assert found["candidates"][0]["side_count"] == 63
    ways = {each["changes"][0] for each in found["candidates"]}
    assert "crown: rnd 6 adds 3 (60 to 63)" in ways
    assert "crown: rnd 5 adds 15 (48 to 63), not 12" in ways
    only = as_json(capsys, str(path), "--repeat", repeat, "--band-only", "--write", "1")
    assert only["candidates"][0]["changes"][0] == "+3 in rnd 6 before even rounds"
    nudge = next(each for each in only["written"] if each["first"] == 6)
    assert nudge["words"] == "*2 dc in next st, dc in next 19 sts; rep from * around."


def test_our_garden_hat_read_back(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    path = tmp_path / "garden.txt"
    path.write_text(example("garden")[0])
    code, out, _ = typed(capsys, str(path), "--repeat", "6")
    assert code == 0
    assert "  nudge: 2 fewer, rnd 15\n" in out
    assert "  gauge: 19 hdc x 15 rounds over 10 cm\n" in out
    assert "band 18 x 6, was 11 x 10" in out
    assert "+2 in rnd 27 before brim" in out, "so that brim and edging stay as they were"
    assert "brim 18 sectors" not in out
    assert max(map(len, out.splitlines())) <= 80


def test_part_understood_is_exit_1(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    path = tmp_path / "part.txt"
    path.write_text(f"{PLAIN_CAP}\nRnd 21: Wibble the frobs all about. (64)\n")
    code, out, _ = typed(capsys, str(path), "--repeat", "6")
    assert code == 1
    assert "Not understood: Rnd 21 was not understood" in out
    assert "66 (+3.1 %)" in out


@pytest.mark.parametrize("text", ["Nothing here is a round.\n", "Rnd 1: Wibble the frobs.\n"])
def test_nothing_understood_is_exit_2(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, text: str
) -> None:
    path = tmp_path / "none.txt"
    path.write_text(text)
    code, out, err = typed(capsys, str(path), "--repeat", "6")
    assert (code, out) == (2, "")
    assert err.startswith("evenround: SOURCE: ") and err.count("\n") == 1


def test_nothing_near_is_exit_4(capsys: pytest.CaptureFixture[str], cap: str) -> None:
    code, out, _ = typed(capsys, cap, "--repeat", "60")
    assert code == 4
    assert "Nothing near satisfies all of this. What comes nearest:" in out
    assert "> without the repeat" in out
    code, out, _ = typed(capsys, cap, "--repeat", "60", "--format", "json")
    assert code == 4
    assert json.loads(out)["candidates"] == [] and json.loads(out)["nearest"]


def test_a_small_head_and_open_bands_are_cautioned(
    capsys: pytest.CaptureFixture[str], cap: str
) -> None:
    _, out, _ = typed(capsys, cap, "--head", "46", "--gauge", "14 x 10 / 10cm", "--repeat", "3")
    assert "Caution: For a baby or small child" in out
    _, out, _ = typed(capsys, cap, "--figure", "filet mesh")
    assert "Caution: Openwork lets sun through" in out


def test_inches(capsys: pytest.CaptureFixture[str], cap: str) -> None:
    _, out, _ = typed(capsys, cap, "--head", "22in", "--ease", "-1in", "--gauge", "13 x 9 / 4in")
    assert "head 22.00 in, ease -1.00 in" in " ".join(out.split())
    assert "around in" in " ".join(out.split())


GAUGED = """\
Gauge: 16 hdc and 12 rnds = 10 cm
Gauge: 20 sc and 24 rnds = 10 cm
Rnd 1: 8 hdc in a ring. (8)
Rnd 2: 2 hdc in each st around. (16)
Rnd 3: *2 hdc in next st, hdc in next st; rep from * around. (24)
Rnd 4: *2 hdc in next st, hdc in next 2 sts; rep from * around. (32)
Rnds 5-9: Hdc in each st around. (32)
Rnd 10: *Sc in next st, sk next st, 3 dc in next st, sk next st; rep from * around. (32)
Rnd 11: *2 sc in next st, sc in next 3 sts; rep from * around. (40)
Rnd 12: Sc in each st around. (40)
Rnd 13: *2 sc in next st, sc in next 4 sts; rep from * around. (48)
Rnd 14: Sc in each st around. (48)
"""


def test_every_section_has_its_own_gauge(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    path = tmp_path / "gauged.txt"
    path.write_text(GAUGED)
    _, out, _ = typed(capsys, str(path), "--repeat", "16", "--format", "markdown")
    rows = [[c.strip() for c in line.split("|")] for line in out.splitlines()]
    around = {row[2]: (row[6], row[10]) for row in rows if len(row) == 12 and row[3] != "---"}
    assert around["even rounds"] == ("20.0", "20.0"), "32 at 16 in 10 cm"
    assert around["band"] == ("", ""), "a figure of sc and dc: nobody said"
    assert around["brim"] == ("24.0", "24.0"), "48 at 20 in 10 cm"
    assert "none where that was not said" in out
    _, out, _ = typed(capsys, str(path), "--gauge", "14 x 10 / 10cm", "--format", "markdown")
    rows = [[c.strip() for c in line.split("|")] for line in out.splitlines()]
    after = {row[2]: row[10] for row in rows if len(row) == 12 and row[3] != "---"}
    assert after["even rounds"] == f"{28 * 10 / 14:.1f}"
    assert after["brim"] == "", "another yarn: its sc was not measured"


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


def test_csv_and_markdown(capsys: pytest.CaptureFixture[str], cap: str) -> None:
    _, out, _ = typed(capsys, cap, "--repeat", "6", "--best", "2", "--format", "csv")
    rows = list(csv.DictReader(io.StringIO(out)))
    assert [(r["rank"], r["section"], r["count_out"]) for r in rows[:4]] == [
        ("0", "crown", "64"),
        ("0", "even rounds", "64"),
        ("1", "crown", "66"),
        ("1", "even rounds", "66"),
    ]
    _, out, _ = typed(capsys, cap, "--repeat", "6", "--format", "markdown", "--write", "1")
    assert "| ~ | even rounds | 64 | 11 |  |  | 66 | 10 |  |  |" in out
    assert "```text\nThe rounds of number 1:" in out


# --- briefs -------------------------------------------------------------------------------------


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


# --- bad input ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ("", "SOURCE: nothing is to change; say --repeat,"),
        ("--band-only", "SOURCE: nothing is to change"),
        ("--repeat 0", "--repeat: found '0'; a repeat is a whole number from 1 to 200"),
        ("--figure none", "--figure: found 'none'; the figures are: eyelet,"),
        ("--repeat 6 --best 0", "--best: 0 is not between 1 and 1000"),
        ("--repeat 6 --pick 2", "--pick: a written pattern is one design"),
        ("--repeat 6 --write 9", "--write: 9 is not a number of the list"),
        ("--repeat 6 --write 1 --format csv", "--write: words do not go with --format csv"),
        ("--repeat 6 --size S", "--size: found 'S'; the pattern's sizes are: one only"),
        ("--repeat 6 --force", "--force: there is nothing to write over"),
        ("--head 57", "--head: the pattern says no gauge;"),
        ("--repeat 6 --time-limit 0", "--time-limit: 0 is not over 0 and up to 3600"),
    ],
)
def test_bad_input_is_one_message(
    capsys: pytest.CaptureFixture[str], cap: str, line: str, message: str
) -> None:
    code, out, err = typed(capsys, cap, *line.split())
    assert (code, out) == (2, "")
    assert err.startswith(f"evenround: {message}")
    assert err.count("\n") == 1


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


def test_into_a_file(capsys: pytest.CaptureFixture[str], cap: str, tmp_path: Path) -> None:
    out = tmp_path / "out.txt"
    code, shown, err = typed(capsys, cap, "--repeat", "6", "--out", str(out))
    assert (code, shown) == (0, "") and "wrote" in err
    assert "66 (+3.1 %)" in out.read_text()
    code, _, err = typed(capsys, cap, "--repeat", "6", "--out", str(out))
    assert code == 2 and "--force would write over it" in err


def test_a_pattern_needs_nothing_heavy(cap: str) -> None:
    code = (
        "import sys, typer\n"
        "from evenround.cli.adapt import adapt\n"
        "app = typer.Typer()\napp.command()(adapt)\n"
        "try:\n"
        f"    typer.main.get_command(app).main(args=[{cap!r}, '--repeat', '6'])\n"
        "except SystemExit as end:\n"
        "    code = end.code\n"
        "heavy = {m.split('.')[0] for m in sys.modules} & {'ortools', 'pandas', 'numpy'}\n"
        "sys.exit(9 if heavy else code)"
    )
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, check=False)
    assert ran.returncode == 0, ran.stderr
