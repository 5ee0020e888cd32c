"""``evenround adapt`` as typed: pages, formats, exit codes, one message for bad input."""

from __future__ import annotations

import csv
import io
import json
import subprocess
import sys
from pathlib import Path

import pytest
from adapt_patterns import PLAIN_CAP, example, lines
from adapt_typed import as_json, typed


@pytest.fixture
def cap(tmp_path: Path) -> str:
    path = tmp_path / "cap.txt"
    path.write_text(PLAIN_CAP)
    return str(path)


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


def test_into_a_file(capsys: pytest.CaptureFixture[str], cap: str, tmp_path: Path) -> None:
    out = tmp_path / "out.txt"
    code, shown, err = typed(capsys, cap, "--repeat", "6", "--out", str(out))
    assert (code, shown) == (0, "") and "wrote" in err
    assert "66 (+3.1 %)" in out.read_text()
    code, _, err = typed(capsys, cap, "--repeat", "6", "--out", str(out))
    assert code == 2 and "--force would write over it" in err


def test_a_pattern_needs_nothing_heavy(cap: str) -> None:
    code = (
        "import sys\n"
        "from evenround.cli import main\n"
        f"code = main(['adapt', {cap!r}, '--repeat', '6'])\n"
        "heavy = {m.split('.')[0] for m in sys.modules} & {'ortools', 'pandas', 'numpy'}\n"
        "sys.exit(9 if heavy else code)"
    )
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, check=False)
    assert ran.returncode == 0, ran.stderr
