"""The brief's [family] table: what it becomes, and what is refused. No outside numbers here."""

from __future__ import annotations

from pathlib import Path

import pytest

from evenround.solver.family import KEPT, USUALLY_KEPT, FamilyPrices, Rules
from evenround.tables.brief import BriefError, example_brief, family_of, plan, read_brief

TOP = 'sizes = [{ name = "S", head = 54 }, { name = "M", head = 57 }]\n'
GAUGE = 'gauge = { hdc = "16 x 12 / 10cm" }\n'
CROWN = '[[sections]]\nkind = "crown"\n[[sections]]\nkind = "even"\n'
BAND = '[[sections]]\nkind = "band"\nrepeat = 4\nmeasured_height = 1.5\n'
BRIM = '[[sections]]\nkind = "brim"\nwidth = 6\nflare = 30\n'
HAT = TOP + GAUGE + CROWN + BAND + BRIM


def rules(family: str, body: str = HAT) -> Rules:
    return family_of(read_brief((body + "[family]\n" + family).encode(), "x"))[1]


def complaint(family: str, body: str = HAT) -> str:
    with pytest.raises(BriefError) as caught:
        rules(family, body)
    lines = str(caught.value).splitlines()
    assert all(line.startswith("x: family") for line in lines)
    return str(caught.value)


def test_without_a_table_the_usual_things_are_kept() -> None:
    plans, found = family_of(example_brief("bucket"))
    assert found == Rules(counts={})
    assert found.kept == USUALLY_KEPT == {"start", "crown sectors", "band rounds", "brim rhythm"}
    assert [p.size for p in plans] == list(example_brief("bucket").sizes)
    assert plans[0] == plan(example_brief("bucket"), "6-12 months")


def test_one_size_is_a_family_too() -> None:
    plans, found = family_of(example_brief("garden"))
    assert [p.size for p in plans] == ["one size"]
    assert found.kept == USUALLY_KEPT


def test_every_key() -> None:
    weighed = 'swatch = { hdc = { grams = 8, area = "10cm x 10cm" } }\n'
    figure = '[[sections]]\nkind = "band"\nrepeat = 4\nmeasured_height = 1.5\n'
    own = '[sections.swatch]\ngrams = 7\narea = "10cm x 10cm"\n'
    text = (
        'keep = ["brim gaps", "crown gaps"]\nrising = true\nsides = "alike"\nyarn = "450 g"\n'
        "[family.counts]\nm = 92\n[family.prices]\nodd_crown = 3\nfurther_sectors = 0\n"
    )
    found = rules(text, TOP + weighed + GAUGE + CROWN + figure + own + BRIM)
    assert found == Rules(
        kept=frozenset(("crown gaps", "brim gaps")),
        rising=True,
        sides="alike",
        yarn_grams=450.0,
        counts={1: 92},
        prices=FamilyPrices(odd_crown=3.0, odd_nudge=2.0, further_sectors=0.0),
    )


@pytest.mark.parametrize("name", KEPT)
def test_everything_that_may_be_kept_has_its_name(name: str) -> None:
    assert rules(f'keep = ["{name}"]').kept == {name}


def test_nothing_kept() -> None:
    assert rules("keep = []").kept == frozenset()


@pytest.mark.parametrize(("text", "grams"), [("1.5", 1.5), ('"450"', 450), ('"0.6 kg"', 600)])
def test_grams_at_hand(text: str, grams: float) -> None:
    weighed = 'swatch = { hdc = { grams = 8, area = "10cm x 10cm" } }\n'
    assert rules(f"yarn = {text}", TOP + weighed + GAUGE + CROWN).yarn_grams == grams


@pytest.mark.parametrize("sides", ["odd", "even", "alike"])
def test_sides(sides: str) -> None:
    assert rules(f'sides = "{sides}"').sides == sides


@pytest.mark.parametrize(
    ("family", "words"),
    [
        ('keep = "start"', "family.keep: found 'start'; keep is a list of: start, crown sectors"),
        ('keep = ["brim"]', "family.keep.1: found 'brim'; one of start, crown sectors, crown gaps"),
        ("keep = [3]", "family.keep.1: found 3; one of start, crown sectors"),
        ('keep = ["crown gaps", "start"]', "crown gaps beside start: together they force one "),
        ('keep = ["crown sectors", "crown gaps"]', "crown gaps beside crown sectors: together"),
        ('rising = "yes"', "family.rising: found 'yes'; true or false would be right"),
        ('sides = "both"', "family.sides: found 'both'; sides is one of odd, even, alike"),
        ('yarn = "a lot"', "family.yarn: found 'a lot'; yarn is the grams at hand, such as"),
        ("yarn = -3", "family.yarn: found -3; yarn is the grams at hand"),
        ("yarn = nan", "family.yarn: found nan; yarn is the grams at hand"),
        ("yarn = true", "family.yarn: found true; yarn is the grams at hand"),
        ("counts = 3", "family.counts: found 3; counts are a table: a size's name = the count"),
        ("counts = { S = 9 }", "family.counts.S: found 9; a count is a whole number from 10 to 20"),
        ("counts = { S = 92.5 }", "family.counts.S: found 92.5; a count is a whole number"),
        ("counts = { XL = 92 }", "family.counts.XL: unknown size; the sizes are: S, M"),
        ("counts = { S = 92, s = 88 }", "family.counts.s: found 88; each size has one count"),
        ("prices = 3", "family.prices: found 3; prices are a table, such as odd_crown = 3"),
        ("prices = { odd_crwn = 3 }", "family.prices.odd_crwn: unknown key; did you mean odd_cro"),
        ("prices = { odd_crown = -1 }", "family.prices.odd_crown: found -1; a price is a number"),
        ("risng = true", "family.risng: unknown key; did you mean rising?"),
    ],
)
def test_what_is_refused(family: str, words: str) -> None:
    message = complaint(family)
    assert words in message
    assert "\n" not in message


def test_every_fault_is_told_at_once() -> None:
    message = complaint('keep = ["brim"]\nsides = "both"\ncounts = { S = 1 }')
    assert len(message.splitlines()) == 3


def test_what_the_piece_does_not_have() -> None:
    plain = TOP + GAUGE + CROWN
    assert "found 'odd'; the piece has no band whose side" in complaint('sides = "odd"', plain)
    assert "found 'brim gaps'; the piece has no brim" in complaint('keep = ["brim gaps"]', plain)
    cowl = 'circumference = 60\nsizes = [{ name = "S" }]\n' + GAUGE + BAND
    assert "found 'crown gaps'; the piece has no crown" in complaint('keep = ["crown gaps"]', cowl)
    assert rules("rising = true", plain).kept == USUALLY_KEPT  # the usual things are not named


def test_yarn_wants_every_section_weighed_and_measured() -> None:
    message = complaint("yarn = 450")
    assert message.splitlines() == [
        f"x: family.yarn: found '450 g'; section {i} ({kind}) was not weighed; give it a swatch, "
        "or leave yarn out"
        for i, kind in enumerate(("crown", "even", "band", "brim"), 1)
    ]
    weighed = 'swatch = { hdc = { grams = 8, area = "10cm x 10cm" } }\n'
    flat = TOP + weighed + 'gauge = { hdc = "16 / 10cm" }\n' + CROWN
    assert "the gauge of section 1 (crown) was not measured" in complaint("yarn = 450", flat)


def test_a_family_is_a_table() -> None:
    with pytest.raises(BriefError, match=r"^x: family: found 4; a table would be right"):
        read_brief(("family = 4\n" + HAT).encode(), "x")


def test_fit_does_not_mind_the_table(tmp_path: Path) -> None:
    from evenround.cli.app import run

    brief = tmp_path / "b.toml"
    brief.write_text(TOP + GAUGE + CROWN + "[family]\nrising = true\n")
    assert run(["fit", str(brief), "--best", "1", "--size", "M"]) == 0
