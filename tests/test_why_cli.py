"""``evenround why`` at the terminal: what it shows, what it writes, how it ends.

Our own scenarios (demos.md), and worked_examples 1 where said.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from stuck_briefs import STUCK, hat

from evenround.cli import main
from evenround.cli.errors import Exit
from evenround.solver import textbook
from evenround.solver import why as solver_why
from evenround.solver.textbook import SecondOpinion
from evenround.tables.facts import data_text

THING_TWO = """\
# worked_examples 1 (mamas2hands.com, 2017-03-04): 22 in head, an inch snug, 4 sts per inch, 8 a
# round. Ours: 8 sectors, no nudge and no part round made requirements, a quarter of an inch.
title = "thing two"
unit = "in"
head = 22
ease = -1

[gauge]
hdc = "16 x 12.6 / 4in"  # its rounds are not said; here 8 a round lie flat

[tolerances]
circumference = 0.25 # a quarter

[nudge]
stitches = 0

[[sections]]
kind = "crown"
start_range = [8, 8]
sector_range = [8, 8]
rates = 1
part_round = false # the maker's own way out

[[sections]]
kind = "even"
"""


def run(*arguments: str) -> int:
    return main(["why", *arguments])


@pytest.fixture
def bucket8(tmp_path: Path) -> str:
    """The bucket with eight brim sectors everywhere, which two of its sizes cannot have."""
    brief = tmp_path / "bucket8.toml"
    brief.write_text(data_text("bucket.toml").replace("[6, 16]", "[8, 8]"))
    return str(brief)


@pytest.fixture
def thing_two(tmp_path: Path) -> str:
    brief = tmp_path / "two.toml"
    brief.write_text(THING_TWO)
    return str(brief)


def flat(text: str) -> str:
    return " ".join(text.split())


def test_the_bucket_s_two_numbers(capsys: pytest.CaptureFixture[str], bucket8: str) -> None:
    """demos.md: the first size would be 1.6 cm small, the last 2.2 cm off either way."""
    assert run(bucket8) == Exit.DONE
    out, err = capsys.readouterr()
    assert err == ""
    assert max(map(len, out.splitlines())) <= 80
    words = flat(out)
    assert "five sizes: 1-3 years, 4-8 years and adult S/M can be made." in words
    assert "46.0 cm around within 1.25 cm at 18 sts per 10 cm, 8 brim sectors and a flare" in words
    assert "80 and 88 sts, 44.4 and 48.9 cm (1.6 cm too small and 2.9 cm too big)" in words
    assert "104 and 112 sts, 57.8 and 62.2 cm (2.2 cm too small and 2.2 cm too big)" in words
    assert words.count("Confirmed by a second opinion") == 2
    assert words.count("Ways out, each with the hat it gives, cheapest first") == 2
    assert "1 widen the circumference's tolerance to 1.6 cm 80 sts, 44.4 cm around (-1.6)" in words
    assert "widen the circumference's tolerance to 2.3 cm 104 sts, 57.8 cm around (-2.2)" in words
    assert words.count("off for sleep and when nobody watches") == 1
    assert "half a millimetre moves a gauge by 3 to 5 %, common practice, from memory" in words


def test_one_size_alone(capsys: pytest.CaptureFixture[str], bucket8: str) -> None:
    assert run(bucket8, "--size", "Adult S/M") == Exit.DONE
    words = flat(capsys.readouterr().out)
    assert "adult S/M can be made." in words and "Conflict" not in words
    assert run(bucket8, "--size", "adult L") == Exit.DONE
    words = flat(capsys.readouterr().out)
    assert "adult L: no design meets every requirement" in words and "6-12 months" not in words


def test_thing_two_gets_its_part_round(capsys: pytest.CaptureFixture[str], thing_two: str) -> None:
    assert run(thing_two) == Exit.DONE
    words = flat(capsys.readouterr().out)
    assert "21.00 in around within 0.25 in at 16 sts per 4 in, no nudge, 8 crown sectors" in words
    assert "80 and 88 sts, 20.00 and 22.00 in (1.00 in too small and 1.00 in too big)" in words
    first_three = words.split("Ways out")[1].split(" 4 allow")[0]
    assert "allow a part round 84 sts, 21.00 in around (0.00); crown 8 x 10 + 4" in first_three


def test_118_stitches_against_repeats_of_six(
    capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    """Plain division: 59 cm at 20 sts are 118; 114 and 120 are 57 and 60 cm."""
    brief = tmp_path / "six.toml"
    text = hat(head="59", depth="21", gauge="20 x 16 / 10cm", around="0.2", band="repeat = 6")
    brief.write_text(text)
    assert run(str(brief)) == Exit.DONE
    words = flat(capsys.readouterr().out)
    assert "59.0 cm around within 0.2 cm at 20 sts per 10 cm and a repeat of 6 cannot both" in words
    assert "114 and 120 sts, 57.0 and 60.0 cm (2.0 cm too small and 1.0 cm too big)" in words


def test_json_of_one_size_and_of_several(
    capsys: pytest.CaptureFixture[str], bucket8: str, thing_two: str
) -> None:
    assert run(thing_two, "--format", "json") == Exit.DONE
    one = json.loads(capsys.readouterr().out)
    assert list(one) == [
        "size",
        "possible",
        "conflicts",
        "ways_out",
        "near_misses",
        "confirmed_by",
    ]
    assert one["possible"] is False and one["confirmed_by"] == "second opinion"
    assert {"circumference", "part round", "nudge"} <= set(one["conflicts"][0])
    assert all(list(way) == ["change", "price_mm", "candidate"] for way in one["ways_out"])
    part = next(w for w in one["ways_out"] if w["change"] == "allow a part round")
    assert part["candidate"]["crown"] == [[8, 9], [4, 1]]
    misses = {m["candidate"]["side_count"]: m["requirement"] for m in one["near_misses"]}
    assert misses[80] == misses[88] == "circumference"
    assert all(miss["breaks"] for miss in one["near_misses"])

    assert run(bucket8, "--format", "json") == Exit.DONE
    several = json.loads(capsys.readouterr().out)
    assert [each["size"] for each in several if not each["possible"]] == ["6-12 months", "adult L"]
    assert len(several) == 5


def test_the_candidate_is_exactly_as_fit_gives_it(
    capsys: pytest.CaptureFixture[str], thing_two: str, tmp_path: Path
) -> None:
    run(thing_two, "--format", "json")
    ways = json.loads(capsys.readouterr().out)["ways_out"]
    assert len(ways) >= 3
    for number, way in enumerate(ways, 1):
        changed = tmp_path / f"changed{number}.toml"
        assert run(thing_two, "--apply", str(number), "--out", str(changed)) == Exit.DONE
        capsys.readouterr()
        assert main(["fit", str(changed), "--format", "json"]) == Exit.DONE
        assert json.loads(capsys.readouterr().out)[0] == way["candidate"]


def test_apply_writes_the_brief_with_its_comments(
    capsys: pytest.CaptureFixture[str], thing_two: str, tmp_path: Path
) -> None:
    run(thing_two, "--format", "json")
    changes = [way["change"] for way in json.loads(capsys.readouterr().out)["ways_out"]]
    number = str(changes.index("allow a part round") + 1)
    assert run(thing_two, "--apply", number) == Exit.DONE
    out, err = capsys.readouterr()
    assert out == THING_TWO.replace("part_round = false", "part_round = true")
    assert flat(err).startswith("evenround: allow a part round; 84 sts, 21.00 in around")

    place = tmp_path / "new.toml"
    assert run(thing_two, "--apply", number, "--out", str(place)) == Exit.DONE
    shown = capsys.readouterr()
    assert shown.out == "" and f"evenround: wrote {place}: allow a part round" in shown.err
    assert place.read_text() == out
    assert run(thing_two, "--apply", number, "--out", str(place)) == Exit.BAD_INPUT
    assert "--force would write over it" in capsys.readouterr().err
    assert run(thing_two, "--apply", number, "--out", str(place), "--force") == Exit.DONE
    assert Path(thing_two).read_text() == THING_TWO


def test_apply_wants_one_size_that_is_stuck(
    capsys: pytest.CaptureFixture[str], bucket8: str
) -> None:
    assert run(bucket8, "--apply", "1") == Exit.BAD_INPUT
    assert "say with --size which: 6-12 months, adult L" in capsys.readouterr().err
    assert run(bucket8, "--apply", "99", "--size", "adult L") == Exit.BAD_INPUT
    assert "--apply: there is no way out 99; there are " in capsys.readouterr().err
    assert run("--example", "--apply", "1") == Exit.BAD_INPUT
    assert "--apply: nothing to apply; no size has a conflict" in capsys.readouterr().err


def test_apply_says_which_sizes_are_still_stuck(
    capsys: pytest.CaptureFixture[str], bucket8: str
) -> None:
    """1.6 cm let the first size in (demos.md); the last would need 2.2. A brim of four sectors
    lets both in, as all five counts divide by four."""
    line = (bucket8, "--size", "6-12 months")
    run(*line, "--format", "json")
    changes = [way["change"] for way in json.loads(capsys.readouterr().out)["ways_out"]]
    wider = changes.index("widen the circumference's tolerance to 1.6 cm") + 1
    assert run(*line, "--apply", str(wider)) == Exit.DONE
    assert "sizes that still cannot be made with it: adult L\n" in capsys.readouterr().err
    fewer = changes.index("allow 4 to 8 brim sectors") + 1
    assert run(*line, "--apply", str(fewer)) == Exit.DONE
    assert "still" not in capsys.readouterr().err


def test_an_example_and_flags(capsys: pytest.CaptureFixture[str]) -> None:
    line = ("--example", "bucket", "--tolerance", "0.2", "--size", "4-8 years")
    assert run(*line, "--apply", "1") == Exit.DONE
    out = capsys.readouterr().out
    assert "# its own rounds; the holes of the second stand between those of the first" in out
    flags = ("--head", "40", "--gauge", "10 x 8 / 10cm", "--repeat", "7", "--tolerance", "0.3")
    assert run(*flags, "--apply", "1") == Exit.DONE
    assert 'title = "a hat from flags"' in capsys.readouterr().out


def test_everything_can_be_made(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("--example") == Exit.DONE
    words = flat(capsys.readouterr().out)
    assert "this can be made; nothing is in the way" in words
    assert run("--example", "bucket") == Exit.DONE
    words = flat(capsys.readouterr().out)
    assert "can be made, every size by itself. All sizes together make a family: `evenro" in words
    assert run("--example", "bucket", "--format", "json") == Exit.DONE
    records = json.loads(capsys.readouterr().out)
    assert [r["possible"] for r in records] == [True] * 6 and records[-1]["size"] is None


def test_sizes_that_make_no_family(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """Every size alone has its hat; together they cannot keep the same gaps in the crown."""
    brief = tmp_path / "family.toml"
    brief.write_text(data_text("bucket.toml") + '\n[family]\nkeep = ["crown gaps"]\n')
    code = run(str(brief))
    words = flat(capsys.readouterr().out)
    assert "can be made, every size by itself." in words
    assert code == Exit.DONE and "no family of its sizes meets every requirement" in words
    assert run(str(brief), "--format", "json") == Exit.DONE
    last: dict[str, Any] = json.loads(capsys.readouterr().out)[-1]
    assert last["size"] is None and last["possible"] is False and last["sizes"]
    assert all("crown gaps" in names for names in last["conflicts"])


def test_markdown(capsys: pytest.CaptureFixture[str], thing_two: str) -> None:
    assert run(thing_two, "--format", "markdown", "--units", "cm") == Exit.DONE
    out = capsys.readouterr().out
    assert "| change" in out and "| price mm" in out
    rows = [line for line in out.splitlines() if line.startswith("|")]
    assert len({line.count("|") for line in rows}) == 1 and len(rows) > 4
    assert "53.3 cm" in out and "```text\nNear misses" in out


def test_into_a_file(capsys: pytest.CaptureFixture[str], thing_two: str, tmp_path: Path) -> None:
    out = tmp_path / "why.txt"
    assert run(thing_two, "--out", str(out)) == Exit.DONE
    assert capsys.readouterr().out == "" and "Conflict: 21.00 in around" in out.read_text()


def test_a_false_impossible_is_caught_and_said(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(solver_why, "can_be_made", lambda _: False)
    assert run("--example") == Exit.INTERNAL
    out = capsys.readouterr().out
    words = flat(out)
    assert "the two ways of looking disagree" in words and "please report it" in words
    assert "crown: " in words and "picot edge: 1 round, from " in words
    assert "Ways out" not in words and max(map(len, out.splitlines())) <= 80
    assert run("--example", "--format", "json") == Exit.INTERNAL
    record = json.loads(capsys.readouterr().out)
    assert record["confirmed_by"] == "contradicted" and not record["conflicts"]
    assert record["second_opinion"]["verdict"] == "possible"
    assert record["second_opinion"]["sections"][0]["name"] == "crown"
    assert run("--example", "--apply", "1") == Exit.INTERNAL
    assert "--apply: nothing can be applied" in capsys.readouterr().err


def test_a_false_possible_is_caught_too(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, thing_two: str
) -> None:
    monkeypatch.setattr(solver_why, "can_be_made", lambda _: True)
    assert run(thing_two) == Exit.INTERNAL
    words = flat(capsys.readouterr().out)
    assert "found a design, but the second opinion says there is none" in words
    assert "this can be made" not in words


BROAD = """\
title = "Ravelin Mere"
start = "chain"

[gauge]
hdc = "20 x 20 / 10cm"

[tolerances]
edge = 0.01

[[sections]]
kind = "even"
circumference = {around}
rounds = [3, 5]

[[sections]]
kind = "brim"
width = 6
fullness = 2
"""


@pytest.mark.parametrize("around", [50, 250])
def test_a_brim_that_cannot_be_is_none_at_any_count(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, around: int
) -> None:
    """The second opinion once forgot the brim's edge above 400 stitches."""
    brief = tmp_path / "broad.toml"
    brief.write_text(BROAD.format(around=around))
    assert run(str(brief)) == Exit.DONE
    assert "Confirmed by a second opinion" in flat(capsys.readouterr().out)


def test_an_unconfirmed_verdict_says_so(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, thing_two: str
) -> None:
    assert textbook.second_opinion is solver_why.second_opinion
    monkeypatch.setattr(solver_why, "second_opinion", lambda *_: SecondOpinion("unknown"))
    assert run(thing_two, "--time-limit", "0.5") == Exit.NO_PROOF
    words = flat(capsys.readouterr().out)
    assert "Not confirmed: the second opinion came to no verdict within 0.5 s." in words
    assert "allow a part round" in words
    # a hat that was found is its own proof
    assert run("--example") == Exit.DONE


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ((), "BRIEF: nothing to work on"),
        (("nowhere.toml",), "BRIEF: there is no file nowhere.toml"),
        (("x.toml", "--example"), "BRIEF: x.toml and --example garden: only one of them would do"),
        (("--example", "bucket", "--size", "XXL"), "--size: found 'XXL'; the sizes are: 6-12 mon"),
        (("--example", "--apply", "0"), "--apply: 0 is no way out; they are numbered from 1"),
        (("--example", "--apply", "1", "--format", "json"), "--format: json does not go with --ap"),
        (
            ("--example", "--time-limit", "0"),
            "--time-limit: 0 is not over 0 and up to 3600 seconds",
        ),
        (("--example", "--force"), "--force: there is nothing to write over without --out FILE"),
        (("--head", "5", "--gauge", "16 / 10cm"), "--head: found '5'; a head is between 25 and"),
    ],
)
def test_what_is_refused(
    capsys: pytest.CaptureFixture[str], line: tuple[str, ...], words: str
) -> None:
    assert run(*line) == Exit.BAD_INPUT
    out, err = capsys.readouterr()
    assert out == "" and len(err.splitlines()) == 1
    assert words in err


def test_fit_and_write_give_the_short_answer(
    capsys: pytest.CaptureFixture[str], thing_two: str, tmp_path: Path
) -> None:
    for name in ("fit", "write"):
        assert main([name, thing_two]) == Exit.IMPOSSIBLE
        out, err = capsys.readouterr()
        assert out == "" and max(map(len, err.splitlines())) <= 80
        words = flat(err)
        assert "Conflict: 21.00 in around within 0.25 in at 16 sts per 4 in, no nudge" in words
        assert "Ways out, cheapest first: 1) allow a " in words
        assert "allow a part round (84 sts, 21.00 in)" in words
        assert "`evenround why` tells more" in words
    brief = tmp_path / "seven.toml"
    brief.write_text(STUCK["repeat"])
    assert main(["fit", str(brief)]) == Exit.IMPOSSIBLE
    assert "a repeat of 5 instead of 7 (40 sts, 40.0 cm)" in flat(capsys.readouterr().err)
