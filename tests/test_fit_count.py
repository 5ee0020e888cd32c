"""``evenround fit --count``: repeats that suit a count, the nearest that suit a wish."""

from __future__ import annotations

import csv
import io
import json
import subprocess
import sys
from math import lcm
from typing import Any

import pytest
from helpers import CALM
from hypothesis import given
from hypothesis import strategies as st

from evenround.cli import main
from evenround.solver.suits import Multiple, nearest, suits_all, usual_nudge
from evenround.tables.adapt.counting import counted, figure_name, wish_of_figure, wish_of_repeat
from evenround.tables.rounds.counter import plain_round, work_round
from evenround.tables.rounds.figures import figures
from evenround.tables.rounds.reader import read_steps


def typed(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    code = main(["fit", *words])
    caught = capsys.readouterr()
    return code, caught.out, caught.err


def as_json(capsys: pytest.CaptureFixture[str], *words: str) -> Any:
    code, out, err = typed(capsys, *words, "--format", "json")
    assert (code, err) == (0, "")
    return json.loads(out)


# --- the arithmetic -----------------------------------------------------------------------


@CALM
@given(st.integers(2, 30), st.integers(2, 30), st.integers(4, 400))
def test_the_nearest_counts_are_the_nearest(a: int, b: int, count: int) -> None:
    below, above = nearest([Multiple(a), Multiple(b)], count)
    both = lcm(a, b)
    least = max(2 * a, 2 * b)
    multiples = [n for n in range(both, count + 2 * both + 2 * least, both) if n >= least]
    assert below == max((n for n in multiples if n < count), default=None)
    assert above == min(n for n in multiples if n > count)


@CALM
@given(st.integers(1, 500))
def test_a_usual_nudge_is_five_per_cent_and_six_stitches(count: int) -> None:
    assert usual_nudge(count) == min(6, count * 5 // 100)  # common practice, no source


def test_give_remainder_and_pairs() -> None:
    assert list(Multiple(8, 0, 1, (0, 8)).fitting(60)) == [(2, 6), (4, 5), (7, 4)]
    assert Multiple(6, 1).suits(61) and not Multiple(6, 1).suits(60)
    assert Multiple(6, pairs=True).suits(72) and not Multiple(6, pairs=True).suits(66)
    assert not Multiple(30).suits(30), "one repeat is none"


# --- checked against the outside ----------------------------------------------------------


def test_118_against_sixes(capsys: pytest.CaptureFixture[str]) -> None:
    wished = as_json(capsys, "--count", "118", "--repeat", "6")["wished"][0]
    assert wished["fits"] == [] and wished["over"] == 4
    assert [(w["count"], w["change"], w["within"]) for w in wished["ways"]] == [
        (114, -4, True),
        (120, 2, True),
    ]


def test_other_multiples_on_a_crown_of_60(capsys: pytest.CaptureFixture[str]) -> None:
    # case C16: "Double Crochet Hat", stitchandunwind.com: 60, repeats of 6, 7 and 9
    found = as_json(capsys, "--count", "60", "--repeat", "6, 7, 9")
    six, seven, nine, _ = found["wished"]
    assert [(s["repeats"], s["stitches"]) for s in six["fits"]] == [(10, 6)]
    assert [w["count"] for w in seven["ways"]] == [56, 63]
    assert [w["count"] for w in nine["ways"]] == [54, 63]
    both = as_json(capsys, "--count", "60", "--repeat", "7,9")["wished"][-1]
    assert both["words"] == "7 and 9"
    assert both["ways"][-1]["count"] == 63
    assert [(s["repeats"], s["stitches"]) for s in both["ways"][-1]["suits"]] == [(9, 7), (7, 9)]
    assert both["ways"][-1]["words"] == "*Sc in next 19 sts, 2 sc in next st; rep from * around."


def test_64_to_66_by_two(capsys: pytest.CaptureFixture[str]) -> None:
    # worked_examples 4: instructables.com hat, 2 increases on 64, 31 plain before each
    ways = as_json(capsys, "--count", "64", "--repeat", "6", "--stitch", "hdc")["wished"][0]["ways"]
    assert (ways[1]["count"], ways[1]["change"]) == (66, 2)
    assert ways[1]["words"] == "*Hdc in next 31 sts, 2 hdc in next st; rep from * around."


# --- words, figures, widths ---------------------------------------------------------------


@CALM
@given(st.integers(48, 160), st.integers(2, 24))
def test_the_words_make_the_count(count: int, repeat: int) -> None:
    found = counted(count, [wish_of_repeat(str(repeat))])
    ways = [way for way in found.wished[0].ways if way.words is not None]
    assert ways
    for way in ways:
        worked = work_round(read_steps(way.words or ""), plain_round(count))
        assert (worked.even, worked.makes) == (True, way.count)
        assert suits_all([Multiple(repeat)], way.count)


@pytest.mark.parametrize("count", [60, 84, 113])
def test_the_figures_that_suit_come_out_on_the_count(count: int) -> None:
    found = counted(count, [])
    every = {each.name: each for each in figures()}
    for suit in found.figures:
        counts = every[suit.name].counts(suit.t or 0)
        assert counts[0] == suit.stitches
        assert suit.stitches * suit.repeats == count
    plain = {each.name for each in figures() if not each.has_give and not each.even}
    suiting = {name for name in plain if count % every[name].multiple() == 0}
    at_least_two = {name for name in suiting if count >= 2 * every[name].multiple()}
    assert {suit.name for suit in found.figures if suit.name in plain} == at_least_two


def test_a_gauge_says_what_a_change_is_in_cm(capsys: pytest.CaptureFixture[str]) -> None:
    found = as_json(capsys, "--count", "118", "--repeat", "6", "--gauge", "19 x 15 / 10cm")
    assert found["around_cm"] == pytest.approx(118 * 10 / 19, abs=1e-3)
    assert found["wished"][0]["ways"][1]["change_cm"] == pytest.approx(20 / 19, abs=1e-3)
    _, out, _ = typed(
        capsys, "--count", "60", "--repeat", "7", "--gauge", "14 / 4in", "--units", "in"
    )
    assert "60 stitches, 17.14 in around" in out
    assert "3 stitches more (+0.86 in), a usual nudge." in out


def test_the_page(capsys: pytest.CaptureFixture[str]) -> None:
    code, out, err = typed(capsys, "--count", "118", "--repeat", "6", "--figure", "Shell")
    assert (code, err) == (0, "")
    assert "Repeats from 2 to 30 that suit 118: 2 (59 x)." in out
    assert "Wished 6: 118 does not fit, 4 over whole repeats. The nearest that do:" in out
    assert "  114 = 19 x 6: 4 stitches fewer, a usual nudge." in out
    assert "Wished 6 and shell (6): 118 does not fit." in out
    assert max(map(len, out.splitlines())) <= 80


def test_more_than_a_nudge_is_said(capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = typed(capsys, "--count", "60", "--repeat", "7")
    assert "56 = 8 x 7: 4 stitches fewer, more than a usual nudge (at most 3)." in out


def test_uk_words(capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = typed(capsys, "--count", "60", "--repeat", "7", "--stitch", "htr", "--terms", "uk")
    assert "*Htr in next 19 sts, 2 htr in next st; rep from * around." in out


def test_markdown_and_csv(capsys: pytest.CaptureFixture[str]) -> None:
    _, out, _ = typed(capsys, "--count", "60", "--repeat", "7", "--format", "markdown")
    assert "| 7 | 63 | 9 x 7 | +3 | yes | \\*Sc in next 19 sts" in out
    _, out, _ = typed(capsys, "--count", "60", "--repeat", "7", "--format", "csv")
    rows = [row for row in csv.DictReader(io.StringIO(out)) if row["wished"] == "7"]
    assert [(row["count"], row["change"], row["usual_nudge"]) for row in rows] == [
        ("56", "-4", "no"),
        ("63", "3", "yes"),
    ]


def test_into_a_file(capsys: pytest.CaptureFixture[str], tmp_path: Any) -> None:
    out = tmp_path / "count.txt"
    assert typed(capsys, "--count", "60", "--out", str(out))[0] == 0
    assert out.read_text().startswith("60 stitches\n")
    code, _, err = typed(capsys, "--count", "60", "--out", str(out))
    assert code == 2 and "--force" in err


def test_no_count_that_suits_is_found_below(capsys: pytest.CaptureFixture[str]) -> None:
    found = as_json(capsys, "--count", "11", "--repeat", "30")["wished"][0]
    assert [way["count"] for way in found["ways"]] == [60]
    assert found["ways"][0]["words"] is None, "no single round adds 49 to 11"


# --- bad input ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("line", "message"),
    [
        ("--count 0", "--count: found 0; a whole number"),
        ("--count 99999", "--count: found 99999;"),
        ("--count x", "--count: found x;"),
        ("--count 60 --repeat y", "--repeat: found 'y'; a repeat is"),
        ("--count 60 --repeat 6,", "--repeat: found ''; a repeat is"),
        ("--count 60 --figure nothing", "--figure: found 'nothing'; the figures are: eyelet,"),
        ("--count 60 --gauge 19", "--gauge: found '19'; say what it is over"),
        ("--count 60 --stitch htr", "--stitch: found 'htr'; a stitch is one of sc, hdc, dc, tr"),
        ("--count 60 --head 57", "--head: says nothing about a count;"),
        ("--count 60 --repeat-width 5", "--repeat-width: says nothing about a count;"),
        ("--count 60 --example", "--example: found garden beside --count;"),
        ("--count 60 --size S", "--size: found S beside --count;"),
        ("--figure shell", "--figure: goes with --count N"),
        ("--example --terms uk", "--terms: goes with --count N"),
    ],
)
def test_bad_input_is_one_message(
    capsys: pytest.CaptureFixture[str], line: str, message: str
) -> None:
    code, out, err = typed(capsys, *line.split())
    assert (code, out) == (2, "")
    assert message in err
    assert err.count("\n") == 1


def test_wishes_as_typed() -> None:
    assert wish_of_repeat("6 + 1").multiple == Multiple(6, 1)
    assert wish_of_repeat("8+t").multiple == Multiple(8, 0, 1, (0, 8))
    assert "falls away" in wish_of_repeat("6+1").notes[0]
    assert wish_of_figure("OPEN FAN with give").multiple == Multiple(8, 0, 1, (0, 8))
    assert figure_name("v-stitch") == "V-stitch"
    with pytest.raises(ValueError, match="a repeat is a whole number from 1 to 200"):
        wish_of_repeat("0")


def test_a_count_needs_nothing_heavy() -> None:
    code = (
        "import sys\nfrom evenround.cli.app import run\n"
        "code = run(['fit', '--count', '60', '--repeat', '7'])\n"
        "heavy = {m.split('.')[0] for m in sys.modules} & {'ortools', 'pandas', 'numpy'}\n"
        "sys.exit(9 if heavy else code)"
    )
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, check=False)
    assert ran.returncode == 0, ran.stderr
