"""From a brief to the solver's piece: the examples, the defaults, the sentences."""

from __future__ import annotations

import pytest

from evenround.solver.piece import Band, Brim, Crown, Edging, Even, Figure, Piece, Rhythm, Swatch
from evenround.tables.brief import BriefError, example_brief, plan, read_brief
from evenround.tables.plan import Plan

GAUGE = 'gauge = { hdc = "16 x 12 / 10cm" }\n'
CROWN = '[[sections]]\nkind = "crown"\n[[sections]]\nkind = "even"\n'


def planned(text: str, size: str | None = None) -> Plan:
    return plan(read_brief(text.encode(), "test"), size)


def band_of(piece: Piece) -> Band:
    return next(s for s in piece.sections if isinstance(s, Band))


def band(text: str, top: str = "") -> Band:
    section = f'[[sections]]\nkind = "band"\n{text}'
    return band_of(planned(f"{top}head = 56\n{GAUGE}{CROWN}{section}").piece)


def test_the_garden_hat() -> None:
    # demos.md, Oskerrow Bay
    made = plan(example_brief("garden"))
    crown, even, fan, brim, edging = made.piece.sections
    assert isinstance(crown, Crown) and isinstance(even, Even) and isinstance(fan, Band)
    assert isinstance(brim, Brim) and isinstance(edging, Edging)
    assert crown.gauge.flat_rate == pytest.approx(7.96, abs=0.005)
    assert brim.gauge.flat_rate == pytest.approx(5.43, abs=0.005)
    assert (made.piece.around_cm, made.piece.depth_cm) == (57.5, 19.5)
    assert round(57.5 / crown.gauge.width_cm) == 109
    assert fan.figure.at(1) == (9, 11, 9)
    assert tuple(12 * n for n in fan.figure.at(1)) == (108, 132, 108)
    assert (fan.rounds, fan.measured_height_cm, fan.repeat_wish_cm) == ((4, 4), 2.5, 5.2)
    assert fan.openwork and made.openwork
    assert (brim.width_cm, brim.flare_deg, brim.firm_rounds) == (8.5, 60, 2)
    assert round(8.5 / brim.gauge.height_cm) == 19
    assert brim.sector_range == (6, 24)
    assert {Rhythm(1, 2), Rhythm(1, 4), Rhythm(1, 5)} < set(brim.rhythms)
    assert edging.figure.counts == (3, 3)
    assert made.section_stitches == ("hdc", "hdc", "hdc", "sc", "sc")
    assert made.assumptions == () and made.notes == ()


def test_the_bucket_in_five_sizes() -> None:
    # demos.md, Tamsellick: naive counts 83, 90, 95, 103, 108
    brief = example_brief("bucket")
    plans = [plan(brief, size) for size in brief.sizes]
    width = plans[0].piece.sections[0].gauge.width_cm
    assert [round(p.piece.around_cm / width) for p in plans if p.piece.around_cm] == [
        83,
        90,
        95,
        103,
        108,
    ]
    assert [p.piece.depth_cm for p in plans] == [15.5, 16.5, 17.5, 19, 20]
    brims = [next(s for s in p.piece.sections if isinstance(s, Brim)) for p in plans]
    assert [b.width_cm for b in brims] == [5, 5, 5.5, 6, 6]
    assert {(b.flare_deg, b.firm_rounds, b.sector_range) for b in brims} == {(30, 0, (6, 16))}
    limits = plans[0].piece.limits
    assert (limits.around_cm, limits.flare_deg, limits.nudge_stitches) == (1.25, 6, 0)
    crown = plans[0].piece.sections[0]
    assert isinstance(crown, Crown)
    assert (crown.sector_range, crown.rates, crown.part_round) == ((8, 8), 1, True)
    assert plan(brief).notes == ("size 6-12 months: the first of 5; --size picks another",)
    assert plan(brief, "ADULT l").size == "adult L"
    with pytest.raises(BriefError, match="the sizes are: 6-12 months, 1-3 years"):
        plan(brief, "giant")


def test_the_cowl() -> None:
    # demos.md, Hollin Quarn: the wish runs evenly: 60, 62.67, 65.33, 68
    made = plan(example_brief("cowl"))
    bands = [s for s in made.piece.sections if isinstance(s, Band)]
    assert [b.around_cm for b in bands] == pytest.approx([60, 62.6667, 65.3333, 68], abs=1e-4)
    assert [b.figure.counts[0] for b in bands] == [4, 3, 10, 6]
    assert (made.piece.start, made.piece.around_cm, made.piece.depth_cm) == ("chain", None, None)
    assert made.piece.nudges_shape
    assert made.piece.limits.nudge_stitches == 8
    assert made.piece.limits.nudge_share * 104 >= 8
    assert made.piece.limits.around_cm == 2


@pytest.mark.parametrize(
    ("text", "counts", "give"),
    [
        ("repeat = 6", (6, 6), (0, 0)),
        ('repeat = "6"', (6, 6), (0, 0)),
        ('repeat = "8+t"', (8, 8), (1, 1)),
        ("repeat = 6\nleaves = 5", (6, 5), (0, 0)),
        ('counts = ["8+t", "10 + t", 9]', (8, 10, 9), (1, 1, 0)),
        ('figure = "eyelet"', (3, 3, 3), (0, 0, 0)),
        ('figure = "open fan with give"', (8, 10, 8), (1, 1, 1)),
        ('figure = "chain net"\nrounds = 5', (4, 6, 6, 6, 6, 4), (0,) * 6),
        ('figure = "star"', (2, 1, 2), (0, 0, 0)),
    ],
)
def test_figures(text: str, counts: tuple[int, ...], give: tuple[int, ...]) -> None:
    assert band(text).figure == Figure(counts, give)


def test_whole_figures_only() -> None:
    assert band("counts = [4, 4, 4]\nrounds = [3, 7]").rounds == (4, 6)
    assert band("counts = [4, 4, 4]").rounds == (2, 2)
    assert band("repeat = 4\nrounds = 3").rounds == (3, 3)


def test_give_is_bounded_even_when_nothing_is_said() -> None:
    assert band('repeat = "8+t"').give_range == (0, 24)
    assert band('repeat = "8+t"\ngive = [1, 3]').give_range == (1, 3)
    assert band("repeat = 8").give_range == (0, 0)


def test_the_plus_one_of_flat_patterns() -> None:
    text = f'head = 56\n{GAUGE}{CROWN}[[sections]]\nkind = "band"\nrepeat = "6 + 1"\n'
    joined = planned(text)
    assert band_of(joined.piece).remainder == 0
    assert joined.notes == (
        "band: repeat 6+1: the + 1 of flat patterns falls away in joined rounds",
    )
    spiral = planned('rounds = "spiral"\n' + text)
    assert band_of(spiral.piece).remainder == 1
    assert spiral.notes == () and not spiral.joined
    assert band("repeat = 6\nremainder = 2").remainder == 2


def test_a_wished_repeat_is_judged_at_the_bodys_gauge() -> None:
    made = band('repeat = 6\nstitch = "dc"\nrepeat_width = "4cm"\nmeasured_repeat = 5')
    assert (made.repeat_wish_cm, made.wish_width_cm, made.measured_repeat_cm) == (4, 0.625, 5)


def test_openwork_as_said_or_by_its_figure() -> None:
    assert band('figure = "eyelet"').openwork
    assert not band('figure = "shell"').openwork
    assert not band("repeat = 4").openwork
    assert band("repeat = 4\nopenwork = true").openwork
    assert not band('figure = "eyelet"\nopenwork = false').openwork


def test_a_figures_height_comes_from_the_table_and_is_marked() -> None:
    text = f'head = 56\ndepth = 20\n{GAUGE}{CROWN}[[sections]]\nkind = "band"\nfigure = "eyelet"\n'
    made = planned(text)
    assert band_of(made.piece).measured_height_cm == pytest.approx(2 * 10 / 12)  # "2 hdc"
    assert band_of(made.piece).gauge.assumed
    assert made.assumptions == ("eyelet: its height was not measured; taken as 2 hdc, as is usual",)
    measured = planned(text + "measured_height = 1.5")
    assert band_of(measured.piece).measured_height_cm == 1.5
    assert measured.assumptions == ()


@pytest.mark.parametrize(
    ("stitch", "low", "high"), [("sc", 5, 8), ("hdc", 7, 10), ("dc", 10, 16), ("tr", 14, 16)]
)
def test_start_counts_by_stitch(stitch: str, low: int, high: int) -> None:
    # trade.md, Defaults, Start (common practice, no source)
    crown = planned(f'head = 56\nstitch = "{stitch}"\n{GAUGE}{CROWN}').piece.sections[0]
    assert isinstance(crown, Crown)
    assert crown.start_range == (low, high)


def test_a_hole_leaves_room_for_a_larger_start() -> None:
    # trade.md, Geometry: N_k = f k + 2 pi r0 / w: a hole of 2 cm at 0.625 cm is ten more
    text = f"head = 56\n{GAUGE}{CROWN}".replace('"crown"\n', '"crown"\nhole = 2\n')
    crown = planned(text).piece.sections[0]
    assert isinstance(crown, Crown)
    assert crown.start_range == (7, 20)


@pytest.mark.parametrize(("head", "depth"), [(51.9, 20.76), (52, 18.98), (56, 20.44)])
def test_depth_when_nothing_is_said(head: float, depth: float) -> None:
    # worked_examples 10: thecountrywillows.com, hat sizing, 0.40; adults 0.35 to 0.38 (common)
    made = planned(f"head = {head}\n{GAUGE}{CROWN}")
    assert made.piece.depth_cm == pytest.approx(depth)
    assert "depth: not said" in made.assumptions[-1]


def test_no_depth_is_made_up_for_a_piece_without_sides() -> None:
    made = planned(f'head = 56\n{GAUGE}[[sections]]\nkind = "crown"\n')
    assert made.piece.depth_cm is None
    assert made.assumptions == ()


def test_bare_numbers_in_inches() -> None:
    made = planned(f'unit = "in"\nhead = 22\nease = -1\n{GAUGE}{CROWN}')
    assert made.piece.around_cm == pytest.approx(21 * 2.54)
    assert (made.unit, made.over_cm, made.gauge_stitches) == ("in", 10, 16)


def test_uk_terms_are_read_and_spoken() -> None:
    # terms.csv: Craft Yarn Council US/UK conversion: htr is hdc, tr is dc
    text = f'terms = "uk"\nstitch = "htr"\nhead = 56\n{GAUGE}{CROWN}'.replace("hdc =", "tr =")
    made = planned(text)
    assert made.section_stitches == ("hdc", "hdc")
    assert made.assumptions[0].startswith("htr: not swatched; taken as wide as tr and 8/12")


def test_a_yarn_class_alone() -> None:
    # yarn_weights.csv: Craft Yarn Council, Standard Yarn Weight System: class 4 is 11 to 14
    made = planned(f"head = 56\nyarn_class = 4\n{CROWN}")
    assert (made.gauge_stitches, made.over_cm, made.gauge_assumed) == (12.5, 10.16, True)
    assert "middle of yarn class 4" in made.assumptions[0]


def test_a_disc_as_gauge() -> None:
    # worked_examples 6: warmdetroit.org hat sheet c3
    disc = 'gauge = { hdc = { rounds = 4, stitches = 40, across = "5in", lies_flat = true } }\n'
    made = planned(f"head = 51\ndepth = 20\n{disc}{CROWN}")
    assert made.piece.sections[0].gauge.flat_rate == pytest.approx(10)
    (small,) = made.assumptions
    assert small.startswith("hdc: a disc of 4 rounds is too small to plan a hat by")
    asked = planned(f"head = 51\ndepth = 20\n{disc.replace(', lies_flat = true', '')}{CROWN}")
    assert "say lies_flat" in asked.assumptions[0]
    cupped = disc.replace(
        'across = "5in", lies_flat = true', "lies_flat = false, along = 12, edge = 36"
    )
    gauge = planned(f"head = 51\n{cupped}{CROWN}").piece.sections[0].gauge
    assert (gauge.width_cm, gauge.height_cm) == pytest.approx((0.9, 1.5))


def test_swatches_tolerances_prices_and_nudges_arrive() -> None:
    top = (
        'swatch = { hdc = { grams = 6, area = "10cm x 4in", metres_per_gram = 2 } }\n'
        'tolerances = { circumference = "1 in", repeat_width = "20%", depth = 1, '
        "brim = 2, edge = 4 }\n"
        "prices = { nudge = 9 }\nnudge = { share = 0.1, stitches = 4, apart = 1, shape = true }\n"
    )
    piece = planned(f"{top}head = 56\n{GAUGE}{CROWN}").piece
    assert piece.sections[0].swatch == Swatch(6, 10 * 4 * 2.54, 2)
    limits = piece.limits
    assert (limits.around_cm, limits.repeat_share, limits.depth_cm) == (2.54, 0.2, 1)
    assert (limits.brim_cm, limits.edge_cm) == (2, 4)
    assert (limits.nudge_share, limits.nudge_stitches, limits.nudge_apart) == (0.1, 4, 1)
    assert piece.nudges_shape
    assert (piece.prices.nudge, piece.prices.part_round) == (9, 3)


def test_sections_without_a_name_are_told_apart() -> None:
    two = '[[sections]]\nkind = "band"\nrepeat = 4\n'
    made = planned(f"head = 56\n{GAUGE}{CROWN}{two}{two}")
    assert [s.name for s in made.piece.sections] == ["crown", "even rounds", "band", "band 2"]


def test_sizes_take_from_the_top_what_they_do_not_say() -> None:
    sizes = 'sizes = [{ name = "s", head = 52 }, { name = "l", head = 58, ease = 2 }]\n'
    text = f"ease = 1\ndepth = 19\n{sizes}{GAUGE}{CROWN}"
    assert [planned(text, s).piece.around_cm for s in "sl"] == [53, 60]
    assert planned(text, "l").piece.depth_cm == 19


def test_a_figure_has_no_yarn_without_a_swatch_of_its_own() -> None:
    weighed = '{ grams = 6.5, area = "10cm x 10cm" }'
    text = (
        'head = 56\n[gauge]\nhdc = "16 x 12 / 10cm"\n[swatch]\nhdc = ' + weighed + "\n"
        '[[sections]]\nkind = "crown"\n[[sections]]\nkind = "even"\n'
        '[[sections]]\nkind = "band"\nrepeat = 3\n'
    )
    crown, even, band = plan(read_brief(text.encode(), "t.toml")).piece.sections
    assert (crown.swatch, even.swatch) == (Swatch(6.5, 100.0), Swatch(6.5, 100.0))
    assert band.swatch is None
    own = text + 'swatch = { grams = 4.1, area = "10cm x 10cm" }\n'
    assert plan(read_brief(own.encode(), "t.toml")).piece.sections[2].swatch == Swatch(4.1, 100.0)


def test_a_bare_swatch_area_is_in_the_briefs_own_unit() -> None:
    text = (
        'unit = "in"\nhead = 22\n[gauge]\nhdc = "16 x 12 / 4in"\n[swatch]\n'
        'hdc = { grams = 6.5, area = 16 }\n[[sections]]\nkind = "crown"\n'
    )
    (crown,) = plan(read_brief(text.encode(), "t.toml")).piece.sections
    assert crown.swatch is not None
    assert crown.swatch.area_cm2 == pytest.approx(4 * 2.54 * 4 * 2.54)


@pytest.mark.parametrize("head", ["22", "56in", "90"])
def test_a_head_of_the_wrong_unit_is_refused(head: str) -> None:
    with pytest.raises(BriefError, match="a head is between 25 and 80 cm"):
        planned(f'head = "{head}"\n{GAUGE}{CROWN}')
