"""Families in words: the table, what is shared, why there is none, JSON and CSV.

The families are combined by hand (families_by_hand), so that the words are tested whatever
searches. Our own scenarios; no outside numbers.
"""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from families_by_hand import bucket, flat, graded, with_rules

from evenround.solver.candidate import Yarn
from evenround.solver.family import Conflict, Family, Rules, Shared
from evenround.solver.piece import Rhythm
from evenround.tables.brief import example_brief, read_brief
from evenround.tables.export import candidate_record
from evenround.tables.facts import data_text
from evenround.tables.family import (
    Graded,
    beside,
    families_frame,
    family_page,
    family_rounds,
    markdown_page,
    to_csv,
    to_json,
)
from evenround.tables.family.words import family_shared, odd_words, score_line, shared_words


def with_yarn(grams: float | None, margin: float = 0.1) -> Graded:
    """The bucket's first family, every size taking so much."""
    first = bucket().grade.families[0]
    members = tuple(
        replace(m, measures=replace(m.measures, yarn=Yarn((), grams, None, margin)))
        for m in first.members
    )
    grade = replace(bucket().grade, families=(replace(first, members=members),))
    return replace(bucket(), grade=grade)


def row(page: str, label: str) -> str:
    """The first line of the page with that label, without it."""
    line = next(line for line in page.splitlines() if line.startswith(f"{label}  "))
    return flat(line.removeprefix(label))


def test_the_bucket_s_first_family() -> None:
    page = family_page(bucket())
    # demos.md: 84, 88, 96, 104, 108; part round in the first and the last; 7, 8, 8, 8, 9
    assert row(page, "stitches =") == "84 = 88 = 96 = 104 = 108 ="
    assert row(page, "around cm") == "46.7 48.9 53.3 57.8 60.0"
    assert row(page, "crown") == "8 x 10 + 4 8 x 11 8 x 12 8 x 13 8 x 13 + 4"
    assert row(page, "brim") == "7 sectors, 8 sectors, 8 sectors, 8 sectors, 9 sectors,"
    assert row(page, "ends on") == "112 = 120 = 128 = 136 = 144 ="
    words = flat(page)
    assert (
        "All sizes: 8 stitches to start with, 8 crown sectors, brick mesh of 2 rounds, brim "
        in (words)
    )
    assert "Differ: a part round in 6-12 months, adult L; brim sectors 7, 8 and 9." in words
    assert "5 sizes; heads 45.0 to 59.0 cm, ease +1.0, give or take 1.25; hdc 18 sts / 10" in words


def test_the_score_s_parts_add_up_in_words() -> None:
    first = bucket().grade.families[0]
    # two sizes with a part round (2 mm each), three numbers of brim sectors (1 mm each further)
    sizes = sum(m.measures.score_mm for m in first.members)
    assert first.score_mm == pytest.approx(sizes + 2 * 2.0 + 2 * 1.0)
    assert score_line(first).startswith(
        f"Family 1: score {sizes + 6:.1f} mm = the sizes {sizes:.1f} + odd crowns 4.0 + further "
        "sectors 2.0. Coherence costs 6.0 mm: each at its best alone, the sizes score "
        f"{sizes:.1f} in all."
    )
    free = replace(first, coherence_nm=0, parts={"sizes": first.cost_nm})
    assert score_line(free).endswith(" mm. Coherence costs nothing: each size is as good as alone.")


def test_scores_in_the_family_beside_scores_alone() -> None:
    page = family_page(bucket())
    first, alone = bucket().grade.families[0], bucket().grade.alone
    assert row(page, "score mm") == " ".join(f"{m.measures.score_mm:.1f}" for m in first.members)
    assert row(page, "alone mm") == " ".join(f"{a.measures.score_mm:.1f}" for a in alone if a)
    other = replace(bucket(), grade=replace(bucket().grade, alone=(None, *alone[1:])))
    assert row(family_page(other), "alone mm").startswith("- ")


def test_a_count_that_is_another_alone_is_named() -> None:
    alone = bucket().grade.alone
    other = replace(bucket().grade, alone=(alone[1], *alone[1:]))
    assert "at 88" in family_page(replace(bucket(), grade=other))
    assert "at 8" not in family_page(bucket())


def test_five_sizes_stand_in_one_block_and_nine_in_two() -> None:
    assert family_page(bucket()).count("score mm") == len(bucket().grade.families)
    g, first = bucket(), bucket().grade.families[0]
    order = (0, 1, 2, 3, 4, 0, 1, 2, 3)
    nine = Graded(
        tuple(replace(g.plans[i], size=f"size {k}") for k, i in enumerate(order, 1)),
        g.rules,
        replace(
            g.grade,
            families=(replace(first, members=tuple(first.members[i] for i in order)),),
            alone=tuple(g.grade.alone[i] for i in order),
        ),
        "cm",
    )
    page = family_page(nine)
    assert page.count("score mm") == 2
    heads = [line for line in page.splitlines() if flat(line).startswith("size ")]
    assert [flat(line) for line in heads] == [
        "size 1 size 2 size 3 size 4 size 5",
        "size 6 size 7 size 8 size 9",
    ]
    assert "9 sizes" in page


@pytest.mark.parametrize("unit", ["cm", "in"])
def test_eighty_columns_whatever_the_names(unit: str) -> None:
    long = "x" * 60
    text = data_text("bucket.toml").replace("6-12 months", long).replace("adult L", "a - b " * 10)
    text = text.replace("brick mesh", "y" * 60)
    made = graded(read_brief(text.encode(), "x"), "in" if unit == "in" else "cm")
    page = family_page(made) + family_rounds(made, made.grade.families[0])
    assert max(map(len, page.splitlines())) <= 80
    assert f"around {unit}" in page


def test_inches() -> None:
    page = family_page(replace(bucket(), unit="in"))
    assert row(page, "around in") == "18.37 19.25 21.00 22.75 23.62"
    assert "heads 17.72 to 23.23 in, ease +0.39, give or take 0.49" in flat(page)


def test_under_the_tables() -> None:
    page = flat(family_page(bucket()))
    # half a stitch in 18 over 10 cm: 46 x 0.5 / 18 = 1.28, 60 x 0.5 / 18 = 1.67
    assert "which is ordinary, moves 46.0 cm by 1.3 and 60.0 cm by 1.7 cm." in page.replace(
        "by 1.3 cm and", "by 1.3 and"
    )
    assert "Yarn: not weighed." in page
    assert page.count("off for sleep and when nobody watches") == 1
    assert page.count("Openwork lets sun through: it is no sun protection.") == 1
    assert "> crown may cup: fullness 0.91, under 0.95 (6-12 months, adult L; the worst shown)" in (
        page
    )


def test_a_grown_up_family_without_openwork_has_no_caution() -> None:
    text = 'sizes = ["S", "M"]\n[gauge]\nhdc = "16 x 12 / 10cm"\n' + (
        '[[sections]]\nkind = "crown"\nsectors = 8\n[[sections]]\nkind = "even"\n'
    )
    made = graded(read_brief(text.encode(), "x"))
    page = flat(family_page(made))
    assert "Caution" not in page
    assert "Assumed: depth: not said; 0.365 of the head, to the ear Yarn" in page
    assert "Note: size S: head 55.5 cm" in page
    assert page.count("(S)") == 0  # a note that names its size needs no brackets
    assert [line.split(":")[0] for line in beside(made)] == ["Assumed", "Note", "Note"]


def test_sentences_of_some_sizes_name_them() -> None:
    plans = [replace(p, assumptions=("shared",)) for p in bucket().plans]
    plans[0] = replace(plans[0], assumptions=("shared", "own"), notes=("one note",))
    plans[2] = replace(plans[2], assumptions=("shared", "own"))
    page = family_page(replace(bucket(), plans=tuple(plans)))
    assert "\nAssumed: shared\nAssumed: own (6-12 months, 4-8 years)\n" in page
    assert "\nNote: one note (6-12 months)\n" in page


def test_yarn_of_a_family_with_its_margin_and_what_is_at_hand() -> None:
    page = flat(family_page(with_yarn(50.0)))
    # five times 50 g, and a tenth more
    assert (
        "Yarn: family 1 50 + 50 + 50 + 50 + 50 = 250 g, with margins 275. The margin is 10%."
        in page
    )
    limited = with_yarn(50.0)
    limited = replace(limited, rules=replace(limited.rules, yarn_grams=300.0))
    assert "with margins 275; at hand 300 g." in flat(family_page(limited))
    assert "Yarn: not weighed." in family_page(with_yarn(None))


def test_one_size_has_one_head() -> None:
    g, first = bucket(), bucket().grade.families[0]
    lone = replace(g.grade, families=(replace(first, members=first.members[:1]),))
    page = flat(
        family_page(replace(g, plans=g.plans[:1], grade=replace(lone, alone=lone.alone[:1])))
    )
    assert "five sizes: 6-12 months; head 45.0 cm, ease +1.0, give or take 1.25" in page
    assert "(6-12 months)" not in page


def test_not_proven_is_said_first() -> None:
    made = replace(bucket(), grade=replace(bucket().grade, status="unproven"))
    assert "NOT PROVEN: time ran out" in family_page(made)
    assert "proven the best" in family_page(bucket())


def test_a_freed_rhythm_and_the_side_of_a_band_have_rows() -> None:
    rules = replace(bucket().rules, kept=frozenset({"start"}), sides="odd")
    page = family_page(replace(bucket(), rules=rules))
    assert "every 2nd rnd" in page
    assert "every 2nd rnd" not in family_page(bucket())
    assert row(page, "band from").startswith("rnd ")


def test_what_is_shared_in_words() -> None:
    shared = Shared(
        start=16,
        crown_sectors=8,
        band_rounds=(4, 1),
        brim_rhythm=Rhythm(2, 3),
    )
    assert shared_words(shared, ["fan", "rib"], brim=True) == [
        "16 stitches to start with",
        "8 crown sectors",
        "fan of 4 rounds",
        "rib of 1 round",
        "brim increases 2 of 3 rounds",
    ]
    gaps = Shared(crown_gaps=(1.0, 2.0, 3.0, 4.0, 5.0, 6.0), brim_gap=12.0)
    assert shared_words(gaps, [], brim=False) == [
        "the crown's increases 1, 2, 3, ... 6 stitches apart",
        "the brim's first increases 12 stitches apart",
    ]
    uneven = Shared(crown_gaps=(1.0, 2.0, 3.0, 4.0, 5.0, 12.5))
    assert "1, 2, 3, 4, 5, 12.5 stitches" in shared_words(uneven, [], brim=False)[0]
    part = Shared(crown_gaps=(1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 16.0))
    assert "increases 1, 2, 3, ... 7, 16 stitches" in shared_words(part, [], brim=False)[0]
    assert "increases 2 stitches" in shared_words(Shared(crown_gaps=(2.0,)), [], brim=False)[0]
    assert shared_words(Shared(), [], brim=True) == ["a straight brim"]
    nothing = replace(bucket(), rules=Rules(kept=frozenset()))
    first = replace(bucket().grade.families[0], shared=Shared())
    assert family_shared(nothing, first) == "Nothing has to be the same in all sizes."


def test_where_sizes_differ() -> None:
    first = bucket().grade.families[0]
    same = replace(first, members=(first.members[1],) * 5)
    assert odd_words(bucket(), same) == []
    lone = replace(first, members=(first.members[0], *(first.members[1],) * 4))
    assert odd_words(bucket(), lone) == [
        "a part round in 6-12 months",
        "brim sectors 7 and 8",
    ]
    plain = replace(first, members=(first.members[1], *(first.members[0],) * 4))
    assert odd_words(bucket(), plain)[0] == "no part round in 6-12 months"


def test_odd_nudges_say_what_they_come_before() -> None:
    text = 'sizes = ["1-3 years", "S", "L"]\n[gauge]\nhdc = "18 x 13.5 / 10cm"\n' + (
        '[[sections]]\nkind = "crown"\nsectors = 8\n[[sections]]\nkind = "even"\nname = "wall"\n'
    )
    made = graded(read_brief(text.encode(), "x"), best=1)
    nudged = [bool(m.measures.nudges) for m in made.grade.families[0].members]
    assert nudged == [False, False, True]
    assert "a nudge before wall in L" in odd_words(made, made.grade.families[0])
    second = made.grade.families[0].members
    turned = replace(made.grade.families[0], members=(second[2], second[2], second[0]))
    assert "no nudge in L" in odd_words(made, turned)


def test_json_has_candidates_as_fit_gives_them() -> None:
    records = json.loads(to_json(bucket()))
    assert [r["rank"] for r in records] == [1, 2]
    first, family = records[0], bucket().grade.families[0]
    assert list(first)[:5] == ["rank", "score_mm", "coherence_mm", "shared", "sizes"]
    assert first["score_mm"] == pytest.approx(family.score_mm, abs=1e-6)
    assert first["coherence_mm"] == pytest.approx(6.0)
    assert first["shared"] == {
        "start": 8,
        "crown_sectors": 8,
        "crown_gaps": None,
        "band_rounds": [2],
        "brim_rhythm": family.shared.brim_rhythm and "every 2nd round",
        "brim_gap": None,
    }
    pairs = zip(bucket().plans, family.members, strict=True)
    assert first["sizes"] == [candidate_record(plan, member) for plan, member in pairs]
    assert [s["size"] for s in first["sizes"]] == list(bucket().names)
    parts = first["score_parts"]
    assert sum(parts.values()) == pytest.approx(first["score_mm"], abs=1e-5)
    assert sum(first["alone_mm"]) == pytest.approx(first["score_mm"] - 6.0, abs=1e-5)


def test_csv_has_a_row_a_family_and_size() -> None:
    frame = families_frame(bucket())
    assert list(frame["family"]) == [1] * 5 + [2] * 5
    assert list(frame["size"])[:5] == bucket().names
    assert list(frame["side_count"])[:5] == [84, 88, 96, 104, 108]
    alone = [a.measures.score_mm for a in bucket().grade.alone if a]
    assert list(frame["alone_mm"])[:5] == pytest.approx(alone)
    assert "circumference_cm" in frame.columns
    assert not {"rank", "pareto", "remark"} & set(frame.columns)
    lines = to_csv(replace(bucket(), unit="in")).splitlines()
    assert len(lines) == 11
    assert lines[0].startswith("family,family_score_mm,coherence_mm,size,circumference_in,")


def test_csv_keeps_formulas_out_of_spreadsheets() -> None:
    plans = (replace(bucket().plans[0], size="=1+1"), *bucket().plans[1:])
    assert ",'=1+1," in to_csv(replace(bucket(), plans=plans))


def test_no_family_is_an_empty_frame_and_list() -> None:
    none = with_rules(bucket().rules, Conflict((0,), ()))
    assert json.loads(to_json(none)) == []
    assert len(families_frame(none)) == 0


def test_markdown_has_a_table_a_family() -> None:
    plans = (replace(bucket().plans[0], size="a | b"), *bucket().plans[1:])
    page = markdown_page(replace(bucket(), plans=plans), "rounds")
    tables = [line for line in page.splitlines() if line.startswith("|:")]
    assert len(tables) == 2
    assert all(line.count("|") == 7 for line in tables)
    assert "a \\| b" in page
    assert "84 = 21 x 4" in page
    assert page.endswith("```text\nrounds\n```\n")
    assert "Family 1:\n> crown may cup" in page


def test_round_by_round() -> None:
    first = bucket().grade.families[0]
    text = family_rounds(bucket(), first)
    assert text.startswith("Family 1, round by round:\n\n6-12 months:\nrnd")
    assert [line for line in text.splitlines() if line in {f"{n}:" for n in bucket().names}] == [
        f"{name}:" for name in bucket().names
    ]
    assert text.count("-- brick mesh, hdc") == 5
    assert max(map(len, text.splitlines())) <= 80


def test_the_cowl_has_a_row_a_band_with_its_own_wish() -> None:
    made = graded(example_brief("cowl"), best=1)
    family: Family = made.grade.families[0]
    page = family_page(made)
    bands = family.members[0].measures.bands
    assert row(page, "rib") == f"{bands[0].repeats} x 4"
    assert f"{bands[0].around_cm:.1f} (60.0)" in page
    assert f"{bands[3].around_cm:.1f} (68.0)" in page
    assert "All sizes: rib of 4 rounds, V-stitch of 6 rounds, wheel of 4 rounds, shell" in page
    assert "Note: the brief has one size; a family wants several (sizes)" in page
    assert "one size; give or take 2; dc 17 sts / 10 cm." in page
