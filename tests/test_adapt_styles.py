"""Patterns in many styles of writing, adapted: whatever is listed suits and counts as it says."""

from __future__ import annotations

from pathlib import Path

import pytest

from evenround.solver.adapt import main_sections
from evenround.solver.recount import recount
from evenround.tables.adapt.answer import adapted
from evenround.tables.adapt.ask import Changes
from evenround.tables.adapt.export import to_csv, to_json, to_markdown
from evenround.tables.adapt.infer import original_of
from evenround.tables.adapt.original import Original
from evenround.tables.adapt.page import to_text
from evenround.tables.adapt.rewrite import new_rounds, text
from evenround.tables.rounds.reader import read_pattern

STYLES = sorted((Path(__file__).parent / "styles").glob("*.txt"))


def original(path: Path) -> Original:
    return original_of(read_pattern(path.read_text(encoding="utf-8")), path.stem)


@pytest.mark.parametrize("path", STYLES, ids=lambda path: path.stem)
@pytest.mark.parametrize("repeat", ["4", "7", "8+t"])
def test_whatever_is_listed_suits(path: Path, repeat: str) -> None:
    found = original(path)
    answer = adapted(found, Changes(repeat=repeat), "cm", 4)
    assert answer.options or answer.near
    ((place, wanted),) = answer.request.asked.repeats.items()
    for option in answer.options:
        assert wanted.suits(main_sections(option.tally)[place].count_in)
        assert recount(option.tally) == option.tally.round_counts
        rounds = new_rounds(answer, option)
        counts = option.tally.round_counts
        numbered = {found.own_number(at): n for at, n in enumerate(counts, 1)}
        assert [each.count for each in rounds] == [numbered[each.last] for each in rounds]
        assert rounds[-1].last == max(numbered)
        assert max(map(len, text(answer, option).splitlines())) <= 80
    assert max(map(len, to_text(answer, "cm").splitlines())) <= 80


@pytest.mark.parametrize("path", STYLES, ids=lambda path: path.stem)
def test_the_design_is_what_was_read(path: Path) -> None:
    found = original(path)
    tally = found.design.tally
    assert found.written is not None
    counts = [row.after.count for row in found.written.every if row.after is not None]
    assert list(tally.round_counts) == counts[: len(tally.round_counts)]
    if found.complete:
        assert len(counts) == len(tally.round_counts)
    assert len(found.stitches) == len(main_sections(tally)) == len(found.design.wants)


@pytest.mark.parametrize("path", STYLES[::5], ids=lambda path: path.stem)
def test_other_formats_of_every_style(path: Path) -> None:
    answer = adapted(original(path), Changes(repeat="3"), "in", 2)
    assert to_markdown(answer, "in").startswith(f"# {path.stem}")
    assert to_json(answer).startswith("{")
    assert to_csv(answer).count("\n") > 1
