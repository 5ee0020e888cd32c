"""Why there is no family, in words and with numbers. Our own scenarios; no outside numbers."""

from __future__ import annotations

from dataclasses import replace

import pytest
from families_by_hand import bucket, flat, graded, with_rules

from evenround.solver.candidate import Fit, Yarn
from evenround.solver.family import Conflict, Rules
from evenround.tables.brief import read_brief
from evenround.tables.facts import data_text
from evenround.tables.family import no_family


def test_eight_brim_sectors_everywhere_are_a_conflict_with_numbers() -> None:
    text = data_text("bucket.toml").replace("sector_range = [6, 16]", "sector_range = [8, 8]")
    words = flat(no_family(graded(read_brief(text.encode(), "bucket"))))
    # demos.md: the first would be 1.6 cm small at 80, the last 2.2 cm off either way (104, 112)
    assert "6-12 months cannot be made at all. Conflict: 46.0 cm around within 1.25 cm" in words
    assert "80 and 88 sts, 44.4 and 48.9 cm (1.6 cm too small and 2.9 cm too big)" in words
    assert "adult L cannot be made at all. Conflict: 60.0 cm around within 1.25 cm at 18" in words
    assert "104 and 112 sts, 57.8 and 62.2 cm (2.2 cm too small and 2.2 cm too big)" in words
    # the words and the ways out are those of fit
    assert words.count("8 brim sectors and a flare of 30 degrees within 6 cannot all hold") == 2
    assert words.count("Ways out, cheapest first: 1) ") == 2
    assert "allow 4 to 8 brim sectors (108 sts, 60.0 cm)" in words
    assert words.count("`evenround why` tells more") == 2
    assert "Giving up" not in words  # one answer, the conflict and its ways out
    assert "Caution: For a baby" in words
    assert "adult S/M cannot" not in words


@pytest.mark.parametrize(
    ("rules", "mend", "words"),
    [
        (Rules(), "start", "the same stitches to start with"),
        (Rules(), "crown sectors", "the same crown sectors"),
        (Rules(), "band rounds", "the same rounds of the figure"),
        (Rules(), "brim rhythm", "the same rhythm in the brim"),
        (Rules(), "crown gaps", "the same gaps between the crown's increases"),
        (Rules(), "brim gaps", "the same gap between the brim's increases"),
        (Rules(rising=True), "rising", "side counts that rise from size to size"),
        (Rules(sides="odd"), "sides", "odd rounds before the band"),
        (Rules(sides="alike"), "sides", "bands that begin on the same side"),
        (Rules(yarn_grams=450.0), "yarn", "450 g for all sizes together"),
        (Rules(counts={0: 84, 4: 108}), "counts", "the counts kept (6-12 months 84, adult L 108)"),
    ],
)
def test_what_giving_up_would_let_a_family_through(rules: Rules, mend: str, words: str) -> None:
    made = with_rules(rules, Conflict((0, 4), (mend,)))  # type: ignore[arg-type]
    told = flat(no_family(made))
    assert "6-12 months and adult L cannot be made together." in told
    assert f"Giving up one requirement would do: {words}." in told


def test_sizes_that_only_clash_are_told_with_their_best_alone() -> None:
    told = flat(no_family(with_rules(bucket().rules, Conflict((0, 1, 4), ("rising", "start")))))
    assert "6-12 months, 1-3 years and adult L cannot be made together." in told
    assert "6-12 months, alone, is best with 84 stitches, 46.7 cm around, 8 stitches to st" in told
    assert "adult L, alone, is best with 108 stitches, 60.0 cm around" in told
    assert (
        "Giving up any one of these would do: side counts that rise from size to size or " in told
    )
    none = flat(no_family(with_rules(bucket().rules, Conflict((0, 1), ()))))
    assert "No single requirement is to blame: at least two must give way." in none


def test_yarn_that_does_not_reach_is_told_in_grams() -> None:
    g, m = bucket(), bucket().grade.alone[0]
    assert m is not None
    heavy = replace(m, measures=replace(m.measures, yarn=Yarn((), 100.0, None, 0.1)))
    conflict = Conflict((0, 1), ("yarn",))
    made = with_rules(Rules(yarn_grams=150.0), conflict)
    made = replace(made, grade=replace(made.grade, alone=(heavy, heavy, *g.grade.alone[2:])))
    assert "Each at its best, they take 220 g with their margins." in flat(no_family(made))


def test_a_size_that_cannot_keep_its_count() -> None:
    rules = Rules(counts={0: 92})
    told = flat(no_family(with_rules(rules, Conflict((0,), ("counts",)))))
    # 92 stitches at 18 over 10 cm are 51.1 cm, 5.1 more than the 46 wished
    assert "6-12 months cannot keep 92 stitches, 51.1 cm around and 5.1 cm too big." in told
    assert "is best with 84 stitches" in told
    assert "would do: the counts kept (6-12 months 92)." in told
    hopeless = with_rules(rules, Conflict((0,), (), Fit("impossible", (), (), ("depth",))))
    grade = replace(hopeless.grade, alone=(None, *hopeless.grade.alone[1:]))
    words = flat(no_family(replace(hopeless, grade=grade)))
    assert "6-12 months cannot be made at all. Giving up one requirement would do: the d" in words
