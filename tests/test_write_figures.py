"""Bands written out: every figure of the table, a brief's own rounds, what is said beside them."""

from __future__ import annotations

from dataclasses import replace

import pytest

from evenround.solver import fit
from evenround.tables.brief import plan, read_brief
from evenround.tables.pattern import known_of, to_text, write_pattern
from evenround.tables.pattern.lines import round_lines
from evenround.tables.rounds.figures import figure_names

TUBE = """
title = "a tube"
stitch = "dc"
start = "chain"
circumference = 50
[gauge]
dc = "17 x 8.5 / 10cm"
[tolerances]
circumference = 6
[nudge]
stitches = 0
[[sections]]
kind = "even"
rounds = 1
[[sections]]
kind = "band"
figure = "{name}"
{more}
"""


@pytest.mark.parametrize("name", [n for n in figure_names() if "edge" not in n])
@pytest.mark.parametrize("terms", ["us", "uk"])
def test_every_figure_of_the_table_is_written_out(name: str, terms: str) -> None:
    more = "rounds = 5" if name in ("chain net", "picot trellis") else ""
    brief = read_brief(TUBE.format(name=name, more=more).encode(), "tube")
    made = replace(plan(brief), terms=terms)
    best = fit(made.piece, best=1, near=False).candidates[0]
    pattern = write_pattern(made, best, known_of(brief))
    assert all(r.steps is not None for r in pattern.rounds)
    assert "Not written out" not in to_text(pattern)


def test_a_round_that_does_not_begin_at_the_join_says_where() -> None:
    brief = read_brief(TUBE.format(name="wheel", more="").encode(), "tube")
    best = fit(plan(brief).piece, best=1, near=False).candidates[0]
    text = to_text(write_pattern(plan(brief), best, known_of(brief)))
    assert "To begin Rnd 3, slip along to the third stitch of the first fan.\nRnd 3: " in text


def test_work_that_is_turned_is_not_said_to_go_on() -> None:
    brief = read_brief(TUBE.format(name="bobble", more="").encode(), "tube")
    best = fit(plan(brief).piece, best=1, near=False).candidates[0]
    text = to_text(write_pattern(plan(brief), best, known_of(brief)))
    assert "Turn the work before every round here" in text
    assert "do not turn" not in text


OWN = b"""
title = "a band of its own"
terms = "uk"
stitch = "tr"
start = "chain"
circumference = 50
[gauge]
tr = "17 x 8.5 / 10cm"
[[sections]]
kind = "band"
name = "Rnd 3 puffs"
work = ["*dc in next 3 sts, ch 1, miss next st; rep from * around", "dc in each place around"]
"""


def test_a_briefs_own_rounds_in_either_terms_under_any_name() -> None:
    brief = read_brief(OWN, "own")
    found = plan(brief)
    best = fit(found.piece, best=1, near=False).candidates[0]
    lines = {}
    for terms in ("us", "uk"):
        pattern = write_pattern(replace(found, terms=terms), best)  # type: ignore[arg-type]
        lines[terms] = [line for _, line in round_lines(pattern)]
    assert lines["uk"] == [
        "Rnd 1: Ch 1, *dc in next 3 chs, ch 1, miss next ch; rep from * around, join. "
        "(84 places; 63 dc, 21 ch-1 sps)",
        "Rnd 2: Ch 1, dc in each place around, join. (84 dc)",
    ]
    assert lines["us"][1] == "Rnd 2: Ch 1, sc in each place around, join. (84 sc)"


def test_posts_on_a_bare_chain_are_warned_of() -> None:
    text = TUBE.replace('[[sections]]\nkind = "even"\nrounds = 1\n', "").format(
        name="post rib 2x2", more=""
    )
    brief = read_brief(text.encode(), "tube")
    best = fit(plan(brief).piece, best=1, near=False).candidates[0]
    said = to_text(write_pattern(plan(brief), best, known_of(brief)))
    assert "work one round of dc on the chain" in " ".join(said.split())
    stood = TUBE.format(name="post rib 2x2", more="")
    brief = read_brief(stood.encode(), "tube")
    best = fit(plan(brief).piece, best=1, near=False).candidates[0]
    said = to_text(write_pattern(plan(brief), best, known_of(brief)))
    assert "round of dc" not in " ".join(said.split())
