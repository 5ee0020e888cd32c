"""Figures in rounds: what the counter finds beside what the table of the reference says."""

from __future__ import annotations

from itertools import pairwise

import pytest
from helpers import CALM
from hypothesis import given
from hypothesis import strategies as st

from evenround.tables.brief_figure import height_in
from evenround.tables.facts import Row, flat_rates, table
from evenround.tables.rounds.counter import plain_round, work_round
from evenround.tables.rounds.figures import (
    UnknownFigureError,
    figure,
    figure_names,
    figure_rounds,
    figures,
)
from evenround.tables.rounds.figures_words import term
from evenround.tables.rounds.reader import read_steps
from evenround.tables.rounds.steps import Chain, Into, Repeat, Several, Skip, Stitch, Work
from evenround.tables.rounds.writer import write_steps

# Where our rounds and reference/figures.csv differ, and why neither is bent: the table leaves out
# the slip stitch between two scallops; its top is a place like any other to the counter.
DIFFERENT = {"scallop edge": "6>6"}

SC, DC = Stitch("sc"), Stitch("dc")


def pairs(name: str) -> str:
    """Counts as the table writes them: what each round takes and leaves."""
    counts = [term(*each) for each in figure(name).terms()]
    return " ".join(f"{a}>{b}" for a, b in pairwise(counts))


@pytest.mark.parametrize("row", table("figures"), ids=lambda row: row["figure"])
def test_multiple_and_counts_are_the_tables(row: Row) -> None:
    # reference/figures.csv, columns multiple and taken_left_per_round
    name = row["figure"]
    assert term(*figure(name).terms()[0]) == row["multiple"]
    assert pairs(name) == DIFFERENT.get(name, row["taken_left_per_round"])


def test_every_named_difference_is_one() -> None:
    rows = {row["figure"]: row["taken_left_per_round"] for row in table("figures")}
    assert all(rows[name] != found for name, found in DIFFERENT.items())


@pytest.mark.parametrize("row", table("figures"), ids=lambda row: row["figure"])
def test_a_figure_has_as_many_rounds_as_the_table_says(row: Row) -> None:
    found = figure(row["figure"])
    if row["rounds"] == "n plus closing":
        assert found.stretches
        assert found.set_up and found.closing
    else:
        assert not found.stretches
        assert len(found.once) == int(row["rounds"])


@pytest.mark.parametrize("row", table("figures"), ids=lambda row: row["figure"])
def test_a_figure_is_open_where_its_rounds_leave_chain_spaces(row: Row) -> None:
    spaces = "ch" in figure(row["figure"]).stitches()
    # the wheel's chains are drawn over by its fans, those of moss are worked into at once
    assert spaces == (row["open"] == "yes") or row["figure"] in {"wheel", "moss"}


def test_figures_of_our_own_say_what_the_table_says_of_the_others() -> None:
    listed = {row["figure"] for row in table("figures")}
    ours = [each for each in figures() if each.name not in listed]
    assert ours
    for each in ours:
        assert each.note
        parts = height_in({"figure": each.name, "height": each.height}, len(each.once))
        assert all(times > 0 and stitch in flat_rates() for times, stitch in parts)


def test_published_figures_of_our_own_list() -> None:
    # C18: Make it Monday - Dainty Flower Beanie, mandobugcrafts.blogspot.com: 48 = 8 shells of 6
    shells = work_round(figure("open shell").around()[0], plain_round(48))
    assert (shells.makes, shells.even, shells.spaces()) == (48, True, 8)
    # C04: Crochet Beach Hat, craftorator.com: 6 + 6 shells of five places on 60
    assert figure("changing shells").counts() == (10, 10, 10)
    # C07: Ribbed Beanie, gracefullymadecrochet.com: three front post, three plain
    assert figure("post rib 3x3").multiple() == 6


def test_shells_in_three_sizes() -> None:
    # worked_examples 2: three sizes of 60, 66, 72, shells of six: 10, 11, 12, no stitch over
    for count, shells in ((60, 10), (66, 11), (72, 12)):
        worked = work_round(figure("shell").around()[0], plain_round(count))
        assert worked.even
        assert worked.stitches() == {"sc": shells, "dc": 5 * shells}


def test_groups_of_three_on_66() -> None:
    # worked_examples 5, scribd document 877311526: 22 groups on 66, none over
    worked = work_round(figure("groups of three").around()[0], plain_round(66))
    assert worked.even
    assert worked.stitches() == {"dc": 66}


# --- give ------------------------------------------------------------------------------------


def test_give_is_plain_stitches_between() -> None:
    fan = figure("open fan with give")
    assert fan.has_give
    assert fan.counts(0) == (8, 10, 8)
    assert fan.counts(5) == (13, 15, 13)
    first = fan.steps(5)[0]
    assert first[0] == Work(SC)
    assert first[-1] == Work(SC, 5)
    assert len(fan.steps(0)[0]) == len(first) - 1  # no stitches, no step


@CALM
@given(st.integers(0, 40), st.integers(1, 12))
def test_the_fan_comes_out_with_any_give(t: int, repeats: int) -> None:
    below = plain_round(repeats * (8 + t))
    for steps, per_repeat in zip(figure("open fan with give").around(t), (10, 8), strict=True):
        worked = work_round(steps, below)
        assert worked.even
        assert worked.makes == repeats * (per_repeat + t)
        below = worked.made


# --- worked over a band ----------------------------------------------------------------------


@CALM
@given(st.sampled_from(figure_names()), st.integers(1, 6), st.integers(1, 3))
def test_any_figure_comes_out_on_any_number_of_repeats(name: str, repeats: int, times: int) -> None:
    each = figure(name)
    rounds = len(each.once) + (times - 1) * len(each.rounds)
    counts = each.counts(2)
    if counts[0] != counts[-1]:
        rounds = len(each.once)  # leaves another count than it takes: worked once
    below = plain_round(repeats * counts[0])
    for steps in each.around(2, rounds):
        worked = work_round(steps, below)
        assert worked.even
        assert worked.over_in_repeat == 0
        assert worked.implied == 0
        below = worked.made
    assert below.count == repeats * counts[-1]


def test_a_net_stretches_between_set_up_and_closing() -> None:
    net = figure("chain net")
    assert net.worked(5) == (*net.set_up, *net.rounds * 3, *net.closing)
    with pytest.raises(ValueError, match="1 are too few"):
        net.worked(1)


def test_places_over_whole_repeats_are_worked_plain() -> None:
    steps = figure("wide mesh").around(over=2)[0]
    assert steps[-1] == Work(DC, 2)
    worked = work_round(steps, plain_round(32))
    assert (worked.even, worked.makes) == (True, 32)


def test_one_in_each_of_the_next_three_over_and_over_is_one_in_each() -> None:
    assert figure("eyelet").around()[1] == (Work(Stitch("hdc"), None),)
    assert figure("star").around()[1] == (Into((Several(Stitch("hdc"), 2),), None),)


def test_one_repeat_of_each_round() -> None:
    assert figure_rounds("wide mesh") == ((Work(DC), Chain(2), Skip(2)),)
    assert len(figure_rounds("picot trellis", rounds=7)) == 7
    assert figure("wide mesh").around() == ((Repeat((Work(DC), Chain(2), Skip(2))),),)


@pytest.mark.parametrize("name", figure_names())
@pytest.mark.parametrize("terms", ["us", "uk"])
def test_a_figure_in_words_reads_back_as_it_was(name: str, terms: str) -> None:
    for each in figure(name).around(3):
        words = write_steps(each, terms)  # type: ignore[arg-type]
        assert read_steps(words, terms) == each, words  # type: ignore[arg-type]


def test_no_such_figure() -> None:
    with pytest.raises(UnknownFigureError):
        figure("shel")


def test_remembered_counts_are_the_derived_ones() -> None:
    """figure_counts.csv is made from the rounds; each figure's is what its rounds give."""
    for each in figures():
        assert each.remembered == each.derived_terms(), each.name
