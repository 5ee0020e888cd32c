"""The pictures show the candidate's own numbers: every count and width is read back out of them."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise
from math import asin, degrees, pi
from typing import Any

import pytest
from drawn import HATS, PIECES, SVG, desc_of, having, read, solved, texts, title_of

from evenround.solver.candidate import Candidate
from evenround.solver.piece import Brim, Crown
from evenround.tables.draw import (
    NotDrawnError,
    counts_plot,
    crown_view,
    sector_chart,
    side_view,
)
from evenround.tables.draw.crown import crown_rounds
from evenround.tables.draw.profile import profile
from evenround.tables.pattern.working import worked_sections
from evenround.tables.plan import Plan
from evenround.tables.rounds.steps import Join, StartChain

TENTH = 0.11
"""Coordinates are written to a tenth of a unit."""


@pytest.mark.parametrize(("example", "size"), PIECES)
def test_counts_plot_has_every_round(example: str, size: str | None) -> None:
    plan, candidate = solved(example, size)
    steps = having(read(counts_plot(plan, candidate)), "round", "count", "width-cm")
    counts = candidate.tally.round_counts
    assert [int(e.attrib["data-round"]) for e in steps] == list(range(1, len(counts) + 1))
    assert [int(e.attrib["data-count"]) for e in steps] == list(counts)
    widths = [float(e.attrib["data-width-cm"]) for e in steps]
    assert widths == pytest.approx(list(candidate.measures.round_widths_cm), abs=5.1e-4)


def test_counts_plot_is_drawn_to_its_counts() -> None:
    plan, candidate = solved("garden")
    steps = having(read(counts_plot(plan, candidate)), "round", "count")
    levels = [(int(e.attrib["data-count"]), float(_step_y(e.attrib["d"]))) for e in steps]
    (low, y_low), (high, y_high) = min(levels), max(levels)
    per_stitch = (y_low - y_high) / (high - low)
    for count, y in levels:
        assert y == pytest.approx(y_low - (count - low) * per_stitch, abs=TENTH)


def _step_y(d: str) -> str:
    """The height of a step: after V, or where the path starts."""
    if "V" in d:
        return d.split("V")[1].split("H")[0]
    return d[1:].split("H")[0].split()[1]


@pytest.mark.parametrize(("example", "size"), PIECES)
def test_side_view_is_to_scale(example: str, size: str | None) -> None:
    plan, candidate = solved(example, size)
    lines = having(read(side_view(plan, candidate)), "round", "count", "width-cm", "slant-cm")
    counts, widths = candidate.tally.round_counts, candidate.measures.round_widths_cm
    scales = []
    for line in lines:
        place = int(line.attrib["data-round"]) - 1
        assert int(line.attrib["data-count"]) == counts[place]
        assert float(line.attrib["data-width-cm"]) == pytest.approx(widths[place], abs=5.1e-4)
        start, end = line.attrib["d"][1:].split("L")
        across = float(end.split()[0]) - float(start.split()[0])
        scales.append(across / (widths[place] / pi))
    assert int(lines[-1].attrib["data-round"]) == len(counts)
    assert max(scales) - min(scales) < 0.08  # units a cm, rounding of the smallest circle apart


@pytest.mark.parametrize(("example", "size"), PIECES)
def test_profile_keeps_the_fabric(example: str, size: str | None) -> None:
    """Blocks follow each other, and each is as long along the fabric as its rounds are high:
    down to the brim that is the depth of the measures."""
    plan, candidate = solved(example, size)
    blocks = profile(plan, candidate)
    for before, after in pairwise(blocks):
        assert (after.r_in, after.y_in) == (before.r_out, before.y_out)
        assert after.first == before.last + 1
    for block in blocks:
        straight = (block.r_out - block.r_in) ** 2 + (block.y_out - block.y_in) ** 2
        if straight > block.slant_cm**2 + 1e-9:
            assert block.y_out == block.y_in  # grows by more than it is high: drawn flat
        else:
            assert straight == pytest.approx(block.slant_cm**2)
    body = sum(b.slant_cm for b in blocks if b.span.tally.section not in ("brim", "edging"))
    if candidate.tally.brim is not None:
        assert body == pytest.approx(candidate.measures.depth_cm, abs=1e-3)
        brim = [b for b in blocks if b.span.tally.section == "brim"]
        assert sum(b.slant_cm for b in brim) == pytest.approx(candidate.measures.brim_cm, abs=1e-3)
        flare = degrees(asin((brim[-1].r_out - brim[0].r_in) / candidate.measures.brim_cm))
        assert flare == pytest.approx(candidate.measures.flare_deg, abs=0.5)


def test_a_brim_may_turn_up() -> None:
    plan, candidate = solved("garden")
    up = _brim(plan, turns="up")
    down_blocks, up_blocks = profile(plan, candidate), profile(up, candidate)
    turn = next(b for b in down_blocks if b.span.tally.section == "brim").y_in
    assert down_blocks[-1].y_out > turn > up_blocks[-1].y_out
    assert down_blocks[-1].y_out - turn == pytest.approx(turn - up_blocks[-1].y_out)
    assert "The brim turns up" in side_view(up, candidate)
    assert "The brim turns up" not in side_view(plan, candidate)


def _brim(plan: Plan, **changed: Any) -> Plan:
    sections = tuple(
        replace(s, **changed) if isinstance(s, Brim) else s for s in plan.piece.sections
    )
    return replace(plan, piece=replace(plan.piece, sections=sections))


def test_what_ripples_is_said() -> None:
    plan, candidate = solved("garden")
    assert "ripples" not in side_view(plan, candidate)
    brim = next(s for s in plan.piece.sections if isinstance(s, Brim))
    low = replace(brim.gauge, height_cm=brim.gauge.height_cm / 2)
    assert "ripples; it is drawn flat" in side_view(_brim(plan, gauge=low), candidate)


def test_the_head_is_behind_the_hat() -> None:
    plan, candidate = solved("garden")
    root = read(side_view(plan, candidate))
    (head,) = having(root, "head-cm")
    assert float(head.attrib["data-head-cm"]) == 57
    rim = having(root, "round", "width-cm")[-1].attrib["d"][1:].split("L")
    per_cm = (float(rim[1].split()[0]) - float(rim[0].split()[0])) / (
        candidate.measures.round_widths_cm[-1] / pi
    )
    d = head.attrib["d"]
    left, right = float(d[1:].split()[0]), float(d.rsplit("Q", 1)[1].split()[2])
    assert right - left == pytest.approx(57 / pi * per_cm, rel=0.005)
    cowl = side_view(*solved("cowl"))
    assert not having(read(cowl), "head-cm")


def test_side_view_names_sections_and_measures() -> None:
    plan, candidate = solved("garden")
    root = read(side_view(plan, candidate, "in"))
    written = [e.text or "" for e in texts(root)]
    assert "Around 22.79 in, for a head of 22.44 in." in written  # 57.89 cm and 57 cm
    rows = {e.attrib["data-name"]: e for e in having(root, "letter", "name") if len(e) > 3}
    row = {name: [t.text for t in e.iter(f"{SVG}text")] for name, e in rows.items()}
    assert row["crown"] == ["A", "crown", "1-14", "8 to 112", "23.21"]
    assert row["nudge, 2 fewer"] == ["B", "nudge, 2 fewer", "15", "112 to 110", "22.79"]
    assert row["brim"][2:4] == ["27-45", "110 to 198"]


@pytest.mark.parametrize(("example", "size"), HATS)
def test_crown_from_above(example: str, size: str | None) -> None:
    plan, candidate = solved(example, size)
    root = read(crown_view(plan, candidate))
    crown = candidate.tally.crown
    assert crown is not None
    circles = having(root, "round", "count", "width-cm")
    assert [int(e.attrib["data-count"]) for e in circles] == list(crown.counts)
    assert [int(e.attrib["data-increases"]) for e in circles][1:] == list(crown.changes[1:])
    radii = [float(e.attrib["r"]) for e in circles]
    step = radii[-1] / len(radii)
    assert radii == pytest.approx([step * k for k in range(1, len(radii) + 1)], abs=TENTH)
    (ruler,) = having(root, "across-cm")
    across = candidate.measures.crown_across_cm
    assert float(ruler.attrib["data-across-cm"]) == pytest.approx(across, abs=5.1e-4)


def test_a_hole_is_drawn_to_scale() -> None:
    plan, candidate = solved("garden")
    crown = plan.piece.sections[0]
    assert isinstance(crown, Crown)
    crown = replace(crown, hole_cm=4.0)
    piece = replace(plan.piece, sections=(crown, *plan.piece.sections[1:]))
    root = read(crown_view(replace(plan, piece=piece), candidate))
    (hole,) = having(root, "hole-cm")
    outer = max(float(e.attrib["r"]) for e in having(root, "round", "count"))
    reach = 2 + 14 * crown.gauge.height_cm
    assert float(hole.attrib["r"]) / outer == pytest.approx(2 / reach, abs=0.002)


def test_increases_stand_where_the_pattern_writes_them() -> None:
    """Garden: round 13 begins with an increase (2 in the first place, places 0 and 1 of 104),
    round 14 is shifted: 6 plain, then the increase (places 6 and 7 of 112)."""
    rounds = crown_rounds(*solved("garden"))
    assert rounds[12].increases == pytest.approx([(1 + 13 * k) / 104 for k in range(8)])
    assert rounds[13].increases == pytest.approx([(7 + 14 * k) / 112 for k in range(8)])
    straight = crown_rounds(*solved("garden"), shift=False)
    assert straight[13].increases == pytest.approx([(1 + 14 * k) / 112 for k in range(8)])
    assert not any(each.shifted for each in straight[2:])
    assert [each.shifted for each in rounds[2:]] == [False, True] * 6


@pytest.mark.parametrize("shift", [True, False])
@pytest.mark.parametrize(("example", "size"), HATS)
def test_the_crowns_rounds_are_the_patterns(example: str, size: str | None, shift: bool) -> None:
    plan, candidate = solved(example, size)
    written = worked_sections(plan, candidate, shift=shift)[0].rounds
    drawn = crown_rounds(plan, candidate, shift=shift)
    bare = [
        tuple(step for step in each.steps or () if not isinstance(step, StartChain | Join))
        for each in written
    ]
    assert [each.steps for each in drawn] == bare
    assert [each.count for each in drawn] == [each.count for each in written]


def test_two_rates_and_double_rounds_are_the_patterns_too() -> None:
    """16 a round three times, then 6: published counts (worked example 2)."""
    plan, candidate = solved("garden")
    crown = candidate.tally.sections[0]
    changes = (16, 16, 16, 6, 6, 0, 4)
    tally = replace(
        candidate.tally, start=16, sections=(replace(crown, changes=changes, sectors=16),)
    )
    published = replace(candidate, tally=tally)
    written = worked_sections(plan, published, shift=True)[0].rounds
    drawn = crown_rounds(plan, published)
    assert [d.steps for d in drawn] == [(w.steps or ())[1:-1] for w in written]
    assert [len(each.increases) for each in drawn] == [0, 16, 16, 6, 6, 0, 4]
    for picture in (crown_view, sector_chart):
        assert read(picture(plan, published)) is not None


def test_a_piece_without_a_crown_has_no_crown_view() -> None:
    with pytest.raises(NotDrawnError, match="no crown"):
        crown_view(*solved("cowl"))


@pytest.mark.parametrize("picture", [side_view, crown_view, counts_plot])
def test_words_say_the_counts(picture: object) -> None:
    assert callable(picture)
    plan, candidate = solved("garden")
    root = read(picture(plan, candidate))
    assert root.attrib["role"] == "img"
    assert title_of(root).startswith("Oskerrow Bay, a garden hat: ")
    for count in (8, 112):
        assert str(count) in desc_of(root)


def test_pictures_change_with_the_candidate() -> None:
    """Nothing is measured again: other widths in the measures are other widths in the picture."""
    plan, candidate = solved("bucket", "adult L")
    doubled = tuple(2 * width for width in candidate.measures.round_widths_cm)
    other: Candidate = replace(
        candidate, measures=replace(candidate.measures, round_widths_cm=doubled)
    )
    steps = having(read(counts_plot(plan, other)), "width-cm")
    assert [float(e.attrib["data-width-cm"]) for e in steps] == pytest.approx(doubled, abs=5.1e-4)
