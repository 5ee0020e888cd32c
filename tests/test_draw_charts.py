"""Charts hold the stitches that the counter works, each symbol where its stitch stands."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from math import isclose
from xml.etree import ElementTree as Tree

import pytest
from drawn import HATS, PIECES, desc_of, having, read, solved

from evenround.solver import fit
from evenround.solver.candidate import Candidate
from evenround.tables.brief import plan as planned
from evenround.tables.brief import read_brief
from evenround.tables.draw import (
    NotDrawnError,
    band_chart,
    bands_chart,
    charted_sections,
    sector_chart,
)
from evenround.tables.draw.band import begins_at
from evenround.tables.draw.chart import symbol_words
from evenround.tables.draw.marks import Mark, marks_of
from evenround.tables.draw.rows import first_row, next_row
from evenround.tables.facts import table
from evenround.tables.pattern.working import worked_sections
from evenround.tables.plan import Plan
from evenround.tables.rounds.counter import plain_round, work_round
from evenround.tables.rounds.figures import FigureRounds, figures, read_round
from evenround.tables.rounds.places import Below
from evenround.tables.rounds.reader import read_steps
from evenround.tables.rounds.steps import EveryNth, Several, Stitch

FIGURES = {figure.name: figure for figure in figures()}


def place_of(symbol: str) -> str:
    """The name of the place a symbol's stitch leaves: FPdc and dc7tog leave a dc."""
    name = symbol.rsplit(" ", 1)[-1] if symbol[0].isdigit() else symbol
    for post in ("FP", "BP"):
        name = name.removeprefix(post)
    return name.rstrip("0123456789tog") if name.endswith("tog") else name


def drawn_in(group: Tree.Element) -> Counter[str]:
    """Symbols of a group by name."""
    found: Counter[str] = Counter()
    for path in having(group, "symbol"):
        found[path.attrib["data-symbol"]] += int(path.attrib["data-many"])
    return found


@pytest.mark.parametrize(("example", "size"), PIECES)
def test_bands_hold_the_counters_stitches(example: str, size: str | None) -> None:
    plan, candidate = solved(example, size)
    root = read(bands_chart(plan, candidate))
    sections = worked_sections(plan, candidate, shift=True)
    below, made = plain_round(candidate.tally.start), {}
    for written in (r for section in sections for r in section.rounds):
        assert written.steps is not None
        worked = work_round(written.steps, below)
        below = worked.made
        made[written.first] = worked.stitches()
    rounds = having(root, "round", "count", "per-repeat")
    assert rounds
    parents = {child: parent for parent in root.iter() for child in parent}
    for group in rounds:
        number, band = int(group.attrib["data-round"]), parents[group]
        assert int(group.attrib["data-count"]) == candidate.tally.round_counts[number - 1]
        repeats = next(
            s.tally.repeats for s in sections if s.tally.name == band.attrib["data-name"]
        )
        assert repeats
        drawn: Counter[str] = Counter()
        for symbol, many in drawn_in(group).items():
            if symbol != "picot":
                drawn[place_of(symbol)] += many
        of_all = {name: n * repeats for name, n in drawn.items()}
        shown = int(band.attrib["data-repeats"])
        assert of_all == {name: n * shown for name, n in made[number].items()}


def test_every_band_has_a_chart_of_its_own() -> None:
    plan, candidate = solved("cowl")
    assert charted_sections(plan, candidate) == (0, 1, 2, 3)
    root = read(band_chart(plan, candidate, 2))
    assert [e.attrib["data-name"] for e in having(root, "section", "repeats")] == ["wheel"]
    assert "11 repeats of 10 places" in desc_of(root)
    assert "A repeat of round 13: 3 sc and 7 dc; round 14: 3 sc, 6 ch and 1 dc7tog" in desc_of(root)


def test_a_band_without_rounds_is_not_drawn() -> None:
    plan, candidate = solved("cowl")
    bare = replace(plan, section_rounds=(None,) * 4)
    assert charted_sections(bare, candidate) == ()
    with pytest.raises(NotDrawnError, match="no band or edging with rounds"):
        bands_chart(bare, candidate)
    with pytest.raises(NotDrawnError, match="only its counts"):
        band_chart(bare, candidate, 1)


def test_long_bands_are_drawn_in_part_and_say_so() -> None:
    plan, candidate = solved("cowl")
    sections = list(candidate.tally.sections)
    v = next(i for i, s in enumerate(sections) if s.name == "V-stitch")
    sections[v] = replace(sections[v], changes=(0,) * 9, per_repeat=(3,) * 10)
    widths = candidate.measures.round_widths_cm
    longer = replace(
        candidate,
        tally=replace(candidate.tally, sections=tuple(sections)),
        measures=replace(candidate.measures, round_widths_cm=(*widths, *widths[-3:])),
    )
    root = read(band_chart(plan, longer, 1))
    drawn = [int(e.attrib["data-round"]) for e in having(root, "round")]
    assert drawn == [6, 7, 8, 9, 10, 11]
    words = " ".join(e.text or "" for e in root.iter())
    assert "V-stitch: rounds 12 to 14 go on in the same way." in words


def from_brief(band: str, *, more: str = "") -> tuple[Plan, Candidate]:
    """The best hat of a small brief with one band."""
    text = (
        f'head = 57\n{more}\n[gauge]\nhdc = "16 x 12 / 10cm"\n[tolerances]\ncircumference = 4\n'
        f'[[sections]]\nkind = "crown"\n[[sections]]\nkind = "even"\n'
        f'[[sections]]\nkind = "band"\nname = "x"\n{band}\n'
    )
    made = planned(read_brief(text.encode(), "brief"))
    return made, fit(made.piece, best=1).candidates[0]


def test_what_lies_outside_the_repeats_is_drawn_too() -> None:
    """A spiral of groups of two with one over: work "6 + 1" of a flat pattern keeps its one."""
    work = 'work = ["*hdc in next st, ch 1, sk next st; rep from * to last st, hdc in last st"]'
    made, candidate = from_brief(work, more='rounds = "spiral"')
    root = read(bands_chart(made, candidate))
    (group,) = having(root, "round", "per-repeat")
    assert int(group.attrib["data-count"]) % 2 == 1
    assert drawn_in(group) == {"hdc": 3, "ch": 2}
    assert "1 more at the end of a round" in "".join(e.text or "" for e in root.iter())


def test_wide_repeats_are_drawn_once_and_stay_legible() -> None:
    made, candidate = from_brief('work = ["*hdc in next 43 sts, ch 1, sk next st; rep from *"]')
    root = read(bands_chart(made, candidate))
    (band,) = having(root, "section", "repeats")
    assert band.attrib["data-repeats"] == "1"
    assert drawn_in(root) == {"hdc": 43, "ch": 1}
    assert float(root.attrib["width"]) > 44 * 9


def test_a_net_says_that_it_is_closed() -> None:
    made, candidate = from_brief('figure = "chain net"\nrounds = 9')
    words = " ".join(e.text or "" for e in read(bands_chart(made, candidate)).iter())
    assert "go on in the same way; the last closes the figure" in " ".join(words.split())


@pytest.mark.parametrize(("example", "size"), HATS)
def test_sector_holds_its_share_of_the_crown(example: str, size: str | None) -> None:
    plan, candidate = solved(example, size)
    crown = candidate.tally.crown
    assert crown is not None and crown.sectors == 8
    groups = having(read(sector_chart(plan, candidate)), "round", "count")
    assert [int(g.attrib["data-count"]) for g in groups] == list(crown.counts)
    for group, count in zip(groups, crown.counts, strict=True):
        shown = sum(drawn_in(group).values())
        assert abs(shown * 8 - count) < 8  # a part round has no whole number in a sector
        if count % 8 == 0:
            assert shown == count // 8


def test_one_path_holds_as_many_symbols_as_it_says() -> None:
    """An hdc is two strokes, a stem and its bar."""
    plan, candidate = solved("garden")
    paths = having(read(sector_chart(plan, candidate)), "symbol", "many")
    assert len(paths) == 14
    for path in paths:
        assert path.attrib["d"].count("M") == 2 * int(path.attrib["data-many"])


# --- the counter's stitches one by one ----------------------------------------------------


@pytest.mark.parametrize("name", FIGURES)
def test_every_place_of_every_figure_has_one_symbol(name: str) -> None:
    figure: FigureRounds = FIGURES[name]
    t = 2 if figure.has_give else 0
    below = plain_round(4 * figure.multiple(t))
    for each in figure.worked():
        marks, worked = marks_of(each.around(t), below)
        assert worked == work_round(each.around(t), below)
        stitches = [mark for mark in marks if mark.kind != "picot"]
        assert [mark.top for mark in stitches] == list(range(worked.makes))
        for mark in stitches:
            assert worked.made.places[mark.top].name == place_of(mark.symbol)
            assert all(0 <= foot < below.count for foot in mark.feet)
        below = worked.made


def test_feet_are_the_places_worked_into() -> None:
    steps = read_steps("*sc in next st, sk next 2 sts, 5 dc in next st, sk next 2 sts; rep from *")
    marks, _ = marks_of(steps, plain_round(12))
    assert [(m.symbol, m.feet) for m in marks[:6]] == [("sc", (0,))] + [("dc", (3,))] * 5
    assert [m.shared for m in marks[:6]] == [False, True, True, True, True, True]
    together, _ = marks_of(read_steps("*dc in next st, dc3tog; rep from * around"), plain_round(8))
    assert [m.feet for m in together] == [(0,), (1, 2, 3), (4,), (5, 6, 7)]


def test_feet_of_a_chain_space_are_its_chains() -> None:
    net = FIGURES["chain net"]
    marks, worked = marks_of(net.set_up[0].around(), plain_round(8))
    marks, _ = marks_of(net.rounds[0].around(), worked.made)
    assert [m.feet for m in marks if m.symbol == "sc"] == [(1, 2, 3, 4, 5), (7, 8, 9, 10, 11)]


def test_every_nth_place() -> None:
    every = EveryNth((Several(Stitch("dc"), 3),), 3)
    marks, worked = marks_of((every,), plain_round(6))
    assert [(m.symbol, m.feet, m.top) for m in marks] == [
        ("dc", (foot,), top) for top, foot in enumerate([2, 2, 2, 5, 5, 5])
    ]
    assert worked == work_round((every,), plain_round(6))
    between, _ = marks_of((replace(every, plain=Stitch("sc")),), plain_round(6))
    assert [(m.symbol, m.feet) for m in between[:3]] == [("sc", (0,)), ("sc", (1,)), ("dc", (2,))]


def test_a_shell_begins_amid_the_shell_below() -> None:
    shell = FIGURES["shell"].rounds[0]
    _, worked = marks_of(shell.around(), plain_round(12))
    assert begins_at("the middle of the first shell", worked.made) == 3
    assert begins_at("the third stitch of the first fan", worked.made) == 3
    assert begins_at("", worked.made) == 0
    assert begins_at("the middle of the first shell", plain_round(12)) == 0


def test_shells_stand_over_single_stitches_of_the_round_below() -> None:
    """The second round of a shell band is set off by half a repeat, as makers work it."""
    shell = FIGURES["shell"].rounds[0]
    first = next_row(shell.around(), first_row(12, 12.0), 12.0, repeat=6.0)
    second = next_row(shell.around(), first, 12.0, shift=3, repeat=6.0)
    single = [first.tops[m.top][0] for m in first.marks if m.symbol == "sc"]
    middles = [second.tops[m.top][0] for m in second.marks if m.symbol == "dc"][2::5]
    for middle in middles:
        assert any(isclose((middle - u) % 6, 0, abs_tol=1e-9) for u in single)
    assert all(second.feet[m.feet[0]][0] for m in second.marks)


def test_rows_do_not_creep() -> None:
    shell = FIGURES["shell"].rounds[0]
    row = first_row(12, 12.0)
    for place in range(8):
        shift = begins_at("the middle of the first shell", row.places) if place else 0
        row = next_row(shell.around(), row, 12.0, shift=shift, repeat=6.0)
        assert abs(row.tops[0][0] - 0.5) <= 3 + 1e-9


def test_slips_to_a_space_have_no_symbol() -> None:
    row = Below(
        work_round(
            read_steps("*sc in next st, ch 2, sk next 2 sts; rep from *"), plain_round(6)
        ).made.places
    )
    marks, _ = marks_of(read_round("sk next st, 3 dc in next ch-2 sp").around(), row)
    assert {m.symbol for m in marks} == {"dc"}


# --- the key ------------------------------------------------------------------------------


@pytest.mark.parametrize("name", FIGURES)
def test_the_key_has_the_symbols_used_and_no_other(name: str) -> None:
    root = read(bands_chart(*from_brief(f'figure = "{name}"', more="ease = 2")))
    used = {e.attrib["data-symbol"] for e in having(root, "symbol")}
    keyed = [e.attrib["data-key"] for e in having(root, "key")]
    assert len(keyed) == len(set(keyed))
    assert set(keyed) == used


def test_the_key_of_the_garden_hat() -> None:
    """Its figure and its edging, as figure_rounds.toml has them."""
    keys = having(read(bands_chart(*solved("garden"))), "key")
    assert {e.attrib["data-key"] for e in keys} == {"sc", "dc", "ch", "hdc", "picot"}


def test_names_are_in_the_terms_asked_for() -> None:
    """Craft Yarn Council US/UK conversion (terms.csv)."""
    assert symbol_words("hdc", "us") == "hdc: half double crochet"
    assert symbol_words("hdc", "uk") == "htr: half treble crochet"
    assert symbol_words("FPdc", "uk") == "FPtr: front post"
    assert symbol_words("dc7tog", "us") == "dc7tog: worked as one"
    plan, candidate = solved("garden")
    uk = replace(plan, terms="uk")
    assert "round 23: 3 dc, 5 tr and 4 ch" in desc_of(read(bands_chart(uk, candidate)))


def test_every_kind_of_symbol_has_its_source() -> None:
    """data/symbols.csv: shapes from public stitch-diagram primers and chart symbols, the rest
    from memory, each marked."""
    rows = {row["stitch_us"]: row for row in table("symbols")}
    assert all(row["symbol"] and row["source"] for row in rows.values())
    names = {row["us_abbr"]: row["us_name"] for row in table("terms")}
    plain = {"sc", "hdc", "dc", "tr", "dtr", "ch", "sl st"}
    assert {names[each] for each in plain} <= set(rows)
    used: set[str] = set()
    for figure in FIGURES.values():
        used |= set(figure.stitches())
    for symbol in used - plain:
        mark = _kind(symbol)
        assert mark in rows, symbol


def _kind(symbol: str) -> str:
    """The row of symbols.csv a symbol falls under."""
    if symbol.endswith("tog"):
        return "two together"
    if symbol.startswith(("FP", "BP")):
        return "front post" if symbol.startswith("FP") else "back post"
    if symbol.startswith("reverse"):
        return "reverse single crochet"
    return symbol.rsplit(" ", 1)[-1]


def test_marks_are_plain_data() -> None:
    marks, _ = marks_of(read_steps("hdc in each st around"), plain_round(2))
    assert marks[0] == Mark("stitch", "hdc", marks[0].stitch, (0,), 0)
