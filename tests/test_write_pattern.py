"""Whole patterns: every candidate written, read back and counted; what stands around the rounds."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from itertools import pairwise

import pytest
from helpers import CALM
from hypothesis import given, settings
from hypothesis import strategies as st
from test_search_exhaustive import cowls, hats

from evenround.solver import Candidate, InternalCheckError, Piece, fit
from evenround.solver.tally import Tally
from evenround.tables.audit import audit_pattern
from evenround.tables.brief import example_brief, plan, read_brief
from evenround.tables.cautions import BABY, SUN
from evenround.tables.facts import data_text
from evenround.tables.pattern import (
    Known,
    WrittenPattern,
    front,
    known_of,
    pattern_data,
    to_json,
    to_markdown,
    to_text,
    write_pattern,
)
from evenround.tables.pattern.abbreviations import abbreviations
from evenround.tables.pattern.front import measurements
from evenround.tables.pattern.lines import round_lines
from evenround.tables.pattern.page import rounds_text
from evenround.tables.pattern.proof import prove
from evenround.tables.plan import Plan
from evenround.tables.rounds.reader import read_pattern

STITCHES = ("sc", "hdc", "dc", "tr")


def plan_of(piece: Piece, **more: object) -> Plan:
    """A plan around a bare piece."""
    said: dict[str, object] = {
        "title": "a piece",
        "size": "one size",
        "sizes": ("one size",),
        "head_cm": None,
        "ease_cm": None,
        "unit": "cm",
        "over_cm": 10.0,
        "gauge_stitches": 10.0,
        "gauge_assumed": False,
        "terms": "us",
        "joined": True,
        "piece": piece,
        "section_stitches": tuple(STITCHES[i % 4] for i in range(len(piece.sections))),
        "openwork": False,
        "assumptions": (),
        "notes": (),
    }
    return Plan(**(said | more))  # type: ignore[arg-type]


def example(name: str, size: str | None = None, **more: object) -> tuple[Plan, Candidate, Known]:
    brief = example_brief(name)
    made = replace(plan(brief, size), **more)  # type: ignore[arg-type]
    best = fit(made.piece, best=1, near=False).candidates[0]
    return made, best, known_of(brief)


def counts_of(pattern: WrittenPattern) -> list[int]:
    """The count after every round, folded ones opened."""
    out: list[int] = []
    for written in pattern.rounds:
        rounds = written.last - written.first + 1
        out += written.counts * rounds if len(written.counts) == 1 else written.counts
    return out


@settings(CALM, max_examples=25)
@given(st.one_of(hats(), cowls()), st.sampled_from(["us", "uk"]), st.booleans(), st.booleans())
def test_every_candidate_is_written_as_its_tally_counts(
    piece: Piece, terms: str, joined: bool, shift: bool
) -> None:
    made = plan_of(piece, terms=terms, joined=joined)
    for candidate in fit(piece, best=4, near=False).candidates:
        pattern = write_pattern(made, candidate, shift=shift)
        assert tuple(counts_of(pattern)) == candidate.tally.round_counts
        assert pattern.rounds[0].first == 1
        assert all(a.last + 1 == b.first for a, b in pairwise(pattern.rounds))
        assert all(len(line) <= 80 for line in to_text(pattern).splitlines())


@pytest.mark.parametrize("name", ["garden", "bucket", "cowl"])
@pytest.mark.parametrize("terms", ["us", "uk"])
def test_the_examples_say_every_count(name: str, terms: str) -> None:
    made, best, known = example(name, terms=terms)
    pattern = write_pattern(made, best, known)
    for text in (to_text(pattern), to_markdown(pattern)):
        flat = " ".join(text.replace("\\", "").split())
        for written, line in round_lines(pattern):
            assert line in flat
            assert all(str(count) in line for count in written.counts)
    assert json.loads(to_json(pattern)) == pattern_data(pattern)


def test_even_rounds_are_folded() -> None:
    made, best, known = example("garden")
    lines = [line for _, line in round_lines(write_pattern(made, best, known))]
    assert "Rnds 16-22: Ch 1, hdc in each st around, join. (110 hdc)" in lines
    assert not any(line.startswith(("Rnd 17:", "Rnd 22:")) for line in lines)


def test_firm_rounds_are_marked() -> None:
    text = to_text(write_pattern(*example("garden")))
    assert "(198 sc)\nWork these rounds firmly, for a firm edge.\n" in text


def test_shift_keeps_the_counts_and_can_be_turned_off() -> None:
    made, best, known = example("garden")
    shifted, straight = (write_pattern(made, best, known, shift=s) for s in (True, False))
    assert counts_of(shifted) == counts_of(straight)
    line = {w.first: text for w, text in round_lines(shifted)}
    plain = {w.first: text for w, text in round_lines(straight)}
    assert line[4] == (
        "Rnd 4: Ch 1, hdc in next st, 2 hdc in next st, *hdc in next 2 sts, 2 hdc in next st; "
        "rep from * to last st, hdc in next st, join. (32 hdc)"
    )
    assert plain[4] == (
        "Rnd 4: Ch 1, *2 hdc in next st, hdc in next 2 sts; rep from * around, join. (32 hdc)"
    )
    assert line[3] == plain[3]
    assert any("shifted" in note for note in shifted.notes)
    assert not any("shifted" in note for note in straight.notes)


def test_a_nudge_is_spelt_out_and_said() -> None:
    made, best, known = example("garden")
    text = to_text(write_pattern(made, best, known))
    assert "Rnd 15: Ch 1, hdc in next 27 sts, hdc2tog, hdc in next 54 sts, hdc2tog," in text
    assert "This round drops 2 sts so that what follows (sides) comes out even." in text


def test_a_band_of_counts_alone_is_said_not_to_be_written() -> None:
    made, best, known = example("bucket")
    made = replace(made, section_rounds=())  # as if the brief had only said its counts
    lines = [line for _, line in round_lines(write_pattern(made, best, known))]
    assert "Rnds 20-21: Work the figure of 4 places 21 times around. (84 places)" in lines
    assert "Not written out: " in to_text(write_pattern(made, best, known))


def test_a_band_much_wider_than_the_hat_is_measured_apart() -> None:
    """The bucket's mesh swatched at 2.4 cm a repeat, 27 repeats: 64.8 cm where the sides have
    60."""
    text = data_text("bucket.toml").replace('name = "brick mesh"', MEASURED_MESH)
    text = text.replace("circumference = 1.25", "circumference = 5")
    made = plan(read_brief(text.encode(), "a wide mesh"), "adult L")
    found = fit(made.piece, best=20, near=False).candidates
    best = next(c for c in found if c.measures.side_count == 108)
    lines = list(measurements(made, best, "cm"))
    assert lines[0].startswith("Around: 60.0 cm")
    assert lines[1] == "Brick mesh: 64.8 cm around"
    assert not any("Brick mesh" in line for line in measurements(*example("bucket")[:2], "cm"))


MEASURED_MESH = 'name = "brick mesh"\nmeasured_repeat = 2.4'


def test_the_disc_is_measured_at_the_stop_round() -> None:
    text = to_text(write_pattern(*example("garden")))
    assert "(112 hdc)\nMeasure: after Rnd 14 the disc is 18.7 cm across.\nRnd 15" in text


def test_lengths_in_inches() -> None:
    made, best, known = example("garden")
    text = to_text(write_pattern(made, best, known, unit="in"))
    assert "Around: 22.79 in for a head of 22.44 in (ease +0.35 in, wished +0.20)" in text
    assert "Edge: 41.03 in along the last round before the picot edge\n" in text


@pytest.mark.parametrize("terms", ["us", "uk"])
@pytest.mark.parametrize("name", ["garden", "bucket", "cowl"])
def test_abbreviations_are_complete_and_no_more(name: str, terms: str) -> None:
    made, best, known = example(name, terms=terms)
    pattern = write_pattern(made, best, known)
    lines = " ".join([pattern.start, *pattern.notes, *pattern.gauge, *pattern.finishing])
    lines += " ".join(line for _, line in round_lines(pattern))
    lines = lines.lower().replace("sl st", "sl_st")
    words = set(re.findall(r"[a-z_]+(?:\d+tog)?", lines))
    every = {short for short, _ in abbreviations([ALL_US if terms == "us" else ALL_UK], terms)}
    said = {short for short, _ in pattern.abbreviations}
    for short in every:
        word = short.lower().replace("(s)", "").replace(" ", "_")
        assert (short in said) == bool(words & {word, f"{word}s"}), short


ALL_US = "rnd st ch sl st sk sp rep sc hdc dc tr dtr sc2tog hdc2tog dc2tog FPdc BPdc"
ALL_UK = "rnd st ch ss miss sp rep dc htr tr dtr ttr dc2tog htr2tog tr2tog FPtr BPtr"


def test_abbreviations_in_words() -> None:
    assert dict(abbreviations(["Sl st, FPdc in next 2 sts, dc3tog, sk next st"], "us")) == {
        "st(s)": "stitch(es)",
        "sl st": "slip stitch",
        "sk": "skip",
        "dc": "double crochet",
        "dc3tog": "three dc worked together as one",
        "FPdc": "front post double crochet: about the stem of the stitch below, from the front",
    }


SPIRAL = b"""
title = "a bowl"
terms = "uk"
rounds = "spiral"
stitch = "dc"
circumference = 40
depth = 16
[gauge]
dc = "16 x 18 / 10cm"
[swatch]
dc = { grams = 8, area = "10cm x 10cm", metres_per_gram = 2 }
[[sections]]
kind = "crown"
[[sections]]
kind = "even"
"""


def test_a_spiral_has_no_joins_and_weighs_its_yarn_with_the_margin_apart() -> None:
    brief = read_brief(SPIRAL, "bowl")
    made = plan(brief)
    best = fit(made.piece, best=1, near=False).candidates[0]
    pattern = write_pattern(made, best, known_of(brief))
    text = to_text(pattern)
    assert "join." not in text and "Ch 1" not in text
    assert "spiral: do not join" in text
    assert audit_pattern(read_pattern(text, "uk"), text=text).agrees
    grams = best.measures.yarn.grams
    assert grams is not None
    assert pattern.yarn == (
        f"{grams:.0f} g ({grams * 2:.0f} m), as weighed, without a margin.",
        f"Margin: 10% more, {grams * 0.1:.0f} g ({grams * 0.2:.0f} m).",
    )


def test_what_nobody_weighed_has_no_amount() -> None:
    assert write_pattern(*example("garden")).yarn == ("Not weighed.",)


@pytest.mark.parametrize(
    ("name", "size", "said"),
    [
        ("garden", None, (SUN,)),
        ("bucket", "1-3 years", (BABY, SUN)),
        ("bucket", "adult L", (SUN,)),
    ],
)
def test_cautions_stand_where_they_apply(name: str, size: str | None, said: tuple[str]) -> None:
    pattern = write_pattern(*example(name, size))
    assert pattern.cautions == said
    flat = " ".join(to_text(pattern).split())
    assert all(caution in flat for caution in said)


@pytest.mark.parametrize(
    ("start", "words"),
    [
        # four chains hold eight, five or six a dozen or more (worked_examples 9: a crochet
        # question-and-answer handbook, chapter on working in rounds)
        (6, "adjustable ring, or ch 4 "),
        (8, "adjustable ring, or ch 4 "),
        (12, "adjustable ring, or ch 5 "),
        (16, "adjustable ring, or ch 6 "),
        (24, "adjustable ring."),
    ],
)
def test_the_ring_suits_the_start(start: int, words: str) -> None:
    from evenround.tables.pattern.front import start_words

    made, best, _ = example("garden")
    other = replace(best, tally=replace(best.tally, start=start))
    assert words in start_words(made, other)


def test_a_piece_without_a_crown_starts_on_a_joined_chain() -> None:
    made, best, known = example("cowl")
    assert write_pattern(made, best, known).start.startswith(f"Ch {best.tally.start}, join")


def tampered(tally: Tally) -> Tally:
    """One even round that claims a stitch it does not get, made up for in the next."""
    sections = list(tally.sections)
    at = next(i for i, s in enumerate(sections) if s.section == "even")
    changes = sections[at].changes
    sections[at] = replace(sections[at], changes=(*changes[:-1], changes[-1] + 1))
    return Tally(tally.start, tuple(sections))


def test_a_tally_that_does_not_hang_together_is_refused() -> None:
    made, best, known = example("garden")
    wrong = replace(best, tally=tampered(best.tally))
    with pytest.raises(InternalCheckError):
        write_pattern(made, wrong, known)


def proved(text: str | None = None) -> None:
    """The garden hat proved, with another text if there is one."""
    made, best, known = example("garden")
    pattern = write_pattern(made, best, known)
    prove(pattern, text or rounds_text(pattern), best.tally.round_counts, None)


@pytest.mark.parametrize(
    ("was", "becomes", "why"),
    [
        ("hdc in next 3 sts; rep", "hdc in next 4 sts; rep", "round 5 as read"),
        ("(40 hdc)", "(41 hdc)", "round 5 prints 41, not 40"),
        ("Rnds 16-22:", "Rnds 16-21:", "round 22 is not read"),
        ("Rnds 16-22:", "Rnds 15-22:", "round 15 is read twice"),
        ("Rnd 46:", "Rnds 46-47:", "round 47 is read, but the piece has 46"),
        ("2 hdc in each st around", "2 hdc in each frob around", "round 2 cannot be read back"),
        ("does not count as a stitch", "counts as a stitch", "opening chains counted"),
    ],
)
def test_a_tampered_text_raises(was: str, becomes: str, why: str) -> None:
    proved()
    made, best, known = example("garden")
    text = rounds_text(write_pattern(made, best, known))
    assert was in text
    with pytest.raises(InternalCheckError, match=why):
        proved(text.replace(was, becomes))


def test_a_writer_that_errs_is_found_out(monkeypatch: pytest.MonkeyPatch) -> None:
    from evenround.tables.pattern import lines

    right = lines.write_steps
    monkeypatch.setattr(
        lines, "write_steps", lambda *a, **k: right(*a, **k).replace("next 9 sts", "next 8 sts")
    )
    with pytest.raises(InternalCheckError, match="round 11"):
        write_pattern(*example("garden"))


def test_the_edge_is_the_last_round_where_no_edging_follows() -> None:
    """The circumference given is the brim's own, with an edging below it or without."""
    made, best, _ = example("garden")
    sections = best.tally.sections[:-1]
    plain = replace(best, tally=replace(best.tally, sections=sections))
    assert best.tally.sections[-1].section == "edging" and sections[-1].section == "brim"
    *_, last = front.sized_measurements(made, plain, "cm")
    *_, before = front.sized_measurements(made, best, "cm")
    assert last.endswith(" cm along the last round")
    assert before == f"{last} before the picot edge"
