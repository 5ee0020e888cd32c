"""One pattern for all sizes: every count of every size, numbers without a gap, read back."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

import pytest
from helpers import CALM
from hypothesis import given, settings
from hypothesis import strategies as st
from test_search_exhaustive import cowls, hats
from test_write_pattern import plan_of
from written_families import BRIEFS, family, of_brief, written

from evenround.solver import Candidate, InternalCheckError, Piece, Tally, fit
from evenround.tables.audit import audit_pattern
from evenround.tables.brief import Brief, read_brief
from evenround.tables.pattern import (
    SizesPattern,
    known_of,
    pattern_data,
    sizes_data,
    sizes_to_markdown,
    sizes_to_text,
    write_all_sizes,
    write_pattern,
)
from evenround.tables.pattern.marks import marks, sizes_line
from evenround.tables.pattern.sizes_page import rounds_text
from evenround.tables.pattern.sizes_proof import prove_sizes
from evenround.tables.plan import Plan
from evenround.tables.rounds.reader import read_pattern

LINE = re.compile(
    r"(?:Sizes? (?P<sizes>[^:]+?) only - )?Rnds? (?P<first>[\d-]+)(?: \((?P<more>[\d, -]+)\))?: "
    r".*\((?P<count>\d+)(?: \((?P<counts>[\d, ]+)\))? [a-z][^()]*(?:\([\d, ]+\)[^()]*)*\)"
)


def values(first: str, more: str | None, sizes: int) -> list[str]:
    """A list as written, one value a size."""
    every = [first, *more.split(", ")] if more else [first] * sizes
    assert len(every) == sizes
    return every


def of_each_size(text: str, marks: tuple[str, ...]) -> dict[str, list[tuple[int, int]]]:
    """Number and count of every round of every size, taken from the page by its layout alone."""
    found: dict[str, list[tuple[int, int]]] = {mark: [] for mark in marks}
    for line in re.sub(r"\n    ", " ", text).splitlines():
        if not re.match(r"(?:Sizes? .* only - )?Rnds? \d", line):
            continue
        match = LINE.fullmatch(line)
        assert match is not None, line
        named = re.findall(r"\w+", match["sizes"]) if match["sizes"] else list(marks)
        numbers = values(match["first"], match["more"], len(named))
        counts = values(match["count"], match["counts"], len(named))
        for mark, number, count in zip(named, numbers, counts, strict=True):
            low, _, high = number.partition("-")
            found[mark] += [(n, int(count)) for n in range(int(low), int(high or low) + 1)]
    return found


def assert_says(pattern: SizesPattern, tallies: dict[str, Tally]) -> None:
    """Every size finds its rounds numbered from 1 without a gap, with its tally's counts; the
    smallest size comes first, whatever order they were given in."""
    found = of_each_size(rounds_text(pattern), pattern.marks)
    assert set(pattern.names) == set(tallies)
    for mark, name in zip(pattern.marks, pattern.names, strict=True):
        assert found[mark] == list(enumerate(tallies[name].round_counts, 1))


def by_name(plans: list[Plan], members: Sequence[Candidate]) -> dict[str, Tally]:
    """Every size's tally by the size's name."""
    return {plan.size: member.tally for plan, member in zip(plans, members, strict=True)}


@pytest.mark.parametrize("terms", ["us", "uk"])
@pytest.mark.parametrize("name", BRIEFS)
def test_examples_say_every_count_of_every_size(name: str, terms: str) -> None:
    plans, members = family(name, terms)
    pattern = write_all_sizes(plans, members, known_of(BRIEFS[name]()))
    assert_says(pattern, by_name(plans, members))
    text = sizes_to_text(pattern)
    assert all(len(line) <= 80 for line in text.splitlines())
    read = read_pattern(text, terms)  # type: ignore[arg-type]
    audit = audit_pattern(read, text=text)
    assert audit.agrees
    tallies = by_name(plans, members)
    for mark, size in zip(pattern.marks, pattern.names, strict=True):
        own = [(row.label, row.makes) for row in audit.rounds if row.size == mark]
        counts = tallies[size].round_counts
        assert own == [(f"Rnd {n}", count) for n, count in enumerate(counts, 1)]


def relabelled(piece: Piece, names: tuple[str, ...], **more: object) -> list[Plan]:
    return [plan_of(piece, size=name, sizes=names, **more) for name in names]


@settings(CALM, max_examples=20)
@given(
    st.one_of(hats(), cowls()),
    st.lists(st.integers(0, 11), min_size=2, max_size=4),
    st.sampled_from(["us", "uk"]),
    st.booleans(),
    st.booleans(),
)
def test_any_sizes_side_by_side_are_written_as_their_tallies_count(
    piece: Piece, picks: list[int], terms: str, joined: bool, shift: bool
) -> None:
    found = fit(piece, best=12, near=False).candidates
    if not found:
        return
    members = [found[pick % len(found)] for pick in picks]
    plans = relabelled(piece, ("XS", "S", "M", "L")[: len(picks)], terms=terms, joined=joined)
    pattern = write_all_sizes(plans, members, shift=shift)
    text = sizes_to_text(pattern)
    if all(r.steps is not None for own in pattern.patterns for r in own.rounds):
        assert_says(pattern, by_name(plans, members))
        assert audit_pattern(read_pattern(text, "auto"), text=text).agrees
    assert all(len(line) <= 80 for line in text.splitlines())


def lines_of(pattern: SizesPattern) -> list[str]:
    return re.sub(r"\n    ", " ", rounds_text(pattern)).splitlines()


def test_the_same_instruction_is_one_line_with_lists() -> None:
    assert (
        "Rnd 22 (23, 25, 27, 28): Ch 1, *2 hdc in next place, hdc in next 11 (10, 11, 12, 11) "
        "places; rep from * around, join. (91 (96, 104, 112, 117) hdc)"
    ) in lines_of(written("bucket"))


def test_even_rounds_are_folded_in_every_size() -> None:
    assert (
        "Rnds 12-19 (12-20, 13-22, 14-24, 15-25): Ch 1, hdc in each st around, join. "
        "(84 (88, 96, 104, 108) hdc)"
    ) in lines_of(written("bucket"))


def test_rounds_of_some_sizes_are_named() -> None:
    lines = lines_of(written("bucket"))
    assert (
        "Sizes D (E) only - Rnd 13: Ch 1, *2 hdc in next st, hdc in next 11 sts; rep from * "
        "around, join. (104 hdc)"
    ) in lines
    assert any(line.startswith("Size E only - Rnd 14: ") for line in lines)


def test_a_lone_number_is_true_for_all() -> None:
    assert (
        "Rnd 5: Ch 1, *2 hdc in next st, hdc in next 3 sts; rep from * around, join. (40 hdc)"
        in (lines_of(written("bucket")))
    )


CAP = """
title = "a cap"
stitch = "sc"
sizes = [
  { name = "S", head = 50, depth = 16 },
  { name = "M", head = 50, depth = 16 },
  { name = "L", head = 50, depth = 16 },
]
[gauge]
sc = "18 x 20 / 10cm"
[tolerances]
circumference = 3
[nudge]
stitches = 4
[[sections]]
kind = "crown"
sectors = 6
[[sections]]
kind = "even"
name = "sides"
[[sections]]
kind = "band"
name = "mesh"
work = ["*sc in next 4 sts, ch 1, sk next st; rep from * around"]
"""


def cap(*changes: int) -> tuple[list[Plan], list[Candidate], Brief]:
    """A cap whose sizes have the nudges asked for (0: none)."""
    brief = read_brief(CAP.encode(), "cap")
    plans, _ = of_brief(brief)
    members = []
    for made, change in zip(plans, changes, strict=True):
        found = fit(made.piece, best=60, near=False).candidates
        wanted = [change] if change else []
        members.append(next(c for c in found if [n.change for n in c.measures.nudges] == wanted))
    return plans, members, brief


def test_nudges_of_different_sizes_stand_in_their_own_lines() -> None:
    plans, members, brief = cap(2, 0, -2)
    pattern = write_all_sizes(plans, members, known_of(brief))
    assert_says(pattern, by_name(plans, members))
    text = " ".join(sizes_to_text(pattern).split())
    assert "adds 2 sts so that what follows" in text and "drops 2 sts so that" in text
    starts = [line.split(":")[0] for line in lines_of(pattern) if " only - " in line]
    assert any(s.startswith("Size S only - ") for s in starts)
    assert any(s.startswith("Size L only - ") for s in starts)


def test_the_same_nudge_in_two_sizes_is_one_line() -> None:
    plans, members, brief = cap(2, 0, 2)
    pattern = write_all_sizes(plans, members, known_of(brief))
    nudges = [line for h in pattern.headings for line in h.lines if line.row.items[0].note]
    assert [line.row.sizes for line in nudges] == [(0, 2)]
    assert [said.sizes for said in nudges[0].after] == [(0, 2)]


def test_brims_of_other_sectors_share_their_lines() -> None:
    pattern = written("bucket")
    brim = next(h for h in pattern.headings if h.title.startswith("Brim"))
    assert brim.before[0].text == "Grows by 7 (8, 8, 8, 9) sts in every 2nd round."
    assert [line.row.sizes for line in brim.lines][:7] == [(0, 1, 2, 3, 4)] * 7


def test_the_disc_is_given_by_size_at_each_stop_round() -> None:
    text = sizes_to_text(written("bucket"))
    assert (
        "Measure: after Rnd 11 (11, 12, 13, 14) the disc is\n"
        "16.3 (16.3, 17.8, 19.3, 20.7) cm across.\n\nSides"
    ) in text


def test_measurements_are_lists_by_size() -> None:
    text = sizes_to_text(written("bucket"))
    assert "Sizes: A (B, C, D, E)\nA: 6-12 months\nB: 1-3 years\n" in text
    assert "\nHead: 45.0 (49.0, 52.0, 56.0, 59.0) cm\n" in text
    assert "\nAround: 46.7 (48.9, 53.3, 57.8, 60.0) cm\n" in text
    assert "\nEase: +1.7 (-0.1, +1.3, +1.8, +1.0) cm, wished +1.0\n" in text
    inches = sizes_to_text(written("bucket", unit="in"))
    assert "\nHead: 17.72 (19.29, 20.47, 22.05, 23.23) in\n" in inches


def test_a_caution_for_babies_names_the_small_sizes() -> None:
    text = sizes_to_text(written("bucket"))
    assert "Sizes A (B) only: For a baby or small child: off for sleep" in text
    assert "\nOpenwork lets sun through" in text


def test_short_names_are_used_as_they_are() -> None:
    pattern = written("garden")
    assert pattern.marks == ("S", "M", "L")
    assert "Sizes: S (M, L)\n\n" in sizes_to_text(pattern)


def test_sizes_come_smallest_first() -> None:
    plans, members = family("bucket")
    mixed = write_all_sizes(plans[::-1], members[::-1])
    assert mixed == write_all_sizes(plans, members)


def test_twenty_sizes_still_have_labels_of_one_line() -> None:
    rows = ", ".join(
        f'{{ name = "{44 + n} cm", head = {44 + n}, depth = {15 + n / 4} }}' for n in range(20)
    )
    text = CAP[: CAP.index("sizes =")] + f"sizes = [{rows}]\n" + CAP[CAP.index("[gauge]") :]
    plans, members = of_brief(read_brief(text.encode(), "cap"))
    pattern = write_all_sizes(plans, members)
    assert pattern.marks == tuple("ABCDEFGHIJKLMNOPQRST")
    assert_says(pattern, by_name(plans, members))
    shown = sizes_to_text(pattern)
    assert all(len(line) <= 80 for line in shown.splitlines())
    labels = [line for line in shown.splitlines() if re.match(r"Rnd|Size.*only - Rnd", line)]
    assert all(":" in label for label in labels)
    assert audit_pattern(read_pattern(shown, "us"), text=shown).agrees


@pytest.mark.parametrize(
    ("names", "called"),
    [
        (("S", "M", "L"), ("S", "M", "L")),
        (("2", "4", "6"), ("2", "4", "6")),
        (("baby", "child", "adult"), ("baby", "child", "adult")),
        (("6-12 months", "1-3 years"), ("A", "B")),
        (("S", "adult S/M"), ("A", "B")),
        (("extra large", "M"), ("A", "B")),
        (("only", "all"), ("A", "B")),
        (("hdc", "dc"), None),
    ],
)
def test_what_sizes_are_called(names: tuple[str, ...], called: tuple[str, ...] | None) -> None:
    assert marks(names) == called or called is None
    assert read_pattern(PROBE.format(sizes_line(marks(names))), "us").sizes == marks(names)


PROBE = "{}\n\nRnd 1: 6 sc in ring. (6 sc)\n"


def test_yarn_is_given_by_size_where_it_was_weighed() -> None:
    text = CAP[: CAP.rindex("[[sections]]")]
    text = text.replace("head = 50, depth = 16 },\n]", "head = 54, depth = 17 },\n]")
    text += '[swatch]\nsc = { grams = 6, area = "10cm x 10cm" }\n'
    pattern = write_all_sizes(*of_brief(read_brief(text.encode(), "cap")))
    grams = [own.yarn[0].split()[0] for own in pattern.patterns]
    assert grams[0] == grams[1] != grams[2]
    assert pattern.yarn[0].text.startswith(f"{grams[0]} ({grams[1]}, {grams[2]}) g, as weighed")


def test_abbreviations_are_those_of_all_sizes_and_no_more() -> None:
    pattern = written("garden")
    every = [dict(own.abbreviations) for own in pattern.patterns]
    assert dict(pattern.abbreviations) == {k: v for own in every for k, v in own.items()}


def test_json_has_each_sizes_own_rounds() -> None:
    pattern = written("garden")
    data = sizes_data(pattern)
    assert [size["size"] for size in data["sizes"]] == ["S", "M", "L"]
    for size, own in zip(data["sizes"], pattern.patterns, strict=True):
        assert {**size, "mark": None} == {**pattern_data(own), "mark": None}
    lines = [line for section in data["sections"] for line in section["lines"]]
    assert [line["text"] for line in lines] == [
        line for line in lines_of(pattern) if re.match(r"(?:Sizes? .* only - )?Rnds? \d", line)
    ]


def test_markdown_says_the_same_lines() -> None:
    pattern = written("garden")
    shown = sizes_to_markdown(pattern).replace("\\", "")
    for line in sizes_data(pattern)["sections"][2]["lines"]:
        assert f"- {line['text']}\n" in shown
    assert shown.startswith("# Oskerrow Bay, a garden hat\n\n## Sizes\n\n- Sizes: S (M, L)\n")


def test_one_size_of_a_family_is_its_member() -> None:
    plans, members = family("garden")
    every = write_all_sizes(plans, members, known_of(BRIEFS["garden"]()))
    alone = write_pattern(plans[1], members[1], known_of(BRIEFS["garden"]()))
    assert every.patterns[1] == alone


@pytest.mark.parametrize(
    ("was", "becomes", "why"),
    [
        ("hdc in next 11 (10, 11", "hdc in next 11 (11, 11", "size B, round 23 as read"),
        ("(91 (96, 104", "(91 (96, 105", "size C, round 25 prints 105, not 104"),
        ("Rnds 12-19 (12-20", "Rnds 12-19 (12-19", "size B, round 20 is numbered 21"),
        ("Rnd 20 (21, 23", "Rnd 20 (22, 23", "size B, round 21 is numbered 22"),
        ("Sizes D (E) only", "Sizes C (E) only", "size C, round 13 as read"),
        ("Sizes: A (B, C, D, E)", "Sizes: A (B, C, D, F)", "sizes read back"),
        ("hdc in next 19 (9", "frob in next 19 (9", "size A, round 11 cannot be read"),
        ("does not count as a st", "counts as a st", "opening chains counted"),
    ],
)
def test_a_tampered_text_raises(was: str, becomes: str, why: str) -> None:
    plans, members = family("bucket")
    tallies = [member.tally for member in members]
    pattern = write_all_sizes(plans, members)
    text = re.sub(r"\n    ", " ", rounds_text(pattern))
    prove_sizes(pattern, tallies, text)
    assert was in text
    with pytest.raises(InternalCheckError, match=why):
        prove_sizes(pattern, tallies, text.replace(was, becomes))


def test_a_missing_and_a_further_round_are_found() -> None:
    plans, members = family("bucket")
    pattern = write_all_sizes(plans, members)
    tallies = [member.tally for member in members]
    short = [replace(t, sections=t.sections[:-1]) for t in tallies]
    with pytest.raises(InternalCheckError, match="size A, round 29 is read, but the piece has 28"):
        prove_sizes(pattern, short)
    text = rounds_text(pattern)
    cut = text[: text.index("Rnd 29 (30")]
    with pytest.raises(InternalCheckError, match="size A, round 29 is not read"):
        prove_sizes(pattern, tallies, cut)


def test_a_writer_that_errs_is_found_out(monkeypatch: pytest.MonkeyPatch) -> None:
    from evenround.tables.pattern import sizes_lines

    right = sizes_lines.write_for_sizes
    monkeypatch.setattr(
        sizes_lines,
        "write_for_sizes",
        lambda *a, **k: right(*a, **k).replace("next 11 (10", "next 10 (11"),
    )
    with pytest.raises(InternalCheckError, match="size A, round 22"):
        written("bucket")
