"""A ranking as a page for people: who is best, then each listed yarn size by size."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from evenround.solver.candidate import BandMeasure, Candidate
from evenround.tables.cautions import cautions
from evenround.tables.layout import Column, lay_out, paragraph
from evenround.tables.plan import Unit
from evenround.tables.reasons import notice_words
from evenround.tables.words import (
    clean,
    in_unit,
    length,
    listed,
    number,
    plural,
    repeats_words,
    signed,
)

from .outcome import Made, RankedYarn, Ranking
from .words import (
    ball_words,
    counted,
    gauge_words,
    how_made,
    miss_words,
    own_assumptions,
    plans_of,
    shared_sentences,
    unweighed_sections,
    yarn_words,
)

Cell = Callable[[Made], list[str]]

WELL = (
    "well: no nudge, no warning, around within half its tolerance, every repeat within half of "
    "its own; fairly: within the tolerances. full: how wide the crown is for its reach, 1 lies "
    "flat. half a stitch: what half a stitch more or less in 10 cm (3.94 in) does to the "
    "circumference. "
    "yarn: grams + margin."
)


def page(ranking: Ranking, unit: Unit, terms: str) -> str:
    """The whole page, at most 80 columns."""
    blocks = [heading(ranking), overview(ranking, terms)]
    blocks += [yarn_block(each, ranking, unit, terms) for each in ranking.yarns]
    blocks += [paragraph(WELL) if ranking.yarns else "", "\n".join(below(ranking))]
    return "\n\n".join(block for block in blocks if block) + "\n"


def heading(ranking: Ranking) -> str:
    """What was compared, and what the order is worth."""
    sizes = plural(len(ranking.sizes), "size")
    words = f"{clean(ranking.title)}: {plural(ranking.compared, 'yarn')} compared, {sizes}."
    return "\n".join([paragraph(words), *map(paragraph, order_lines(ranking))])


def order_lines(ranking: Ranking) -> list[str]:
    """How yarns are ordered, what was proven, and which are not listed."""
    lines = ["Best first: yarns that make more sizes, then the lower mean score of those made."]
    if ranking.yarns and not any(m.candidate for each in ranking.yarns for m in each.made):
        lines.append("No size can be made in any of the yarns listed.")
    elif ranking.proven and ranking.yarns:
        lines.append("Every design listed is proven the best of its yarn and size.")
    elif ranking.yarns:
        lines.append(
            "NOT ALL PROVEN: time ran out; every design is the best by the exact search, but not "
            "all were proven by the integer model as well."
        )
    if ranking.left_out:
        weighed = f" ({ranking.unweighed} of them not weighed)" if ranking.unweighed else ""
        lines.append(f"Left out by --max-balls: {plural(ranking.left_out, 'yarn')}{weighed}.")
    if ranking.useless:
        lines.append(f"Of no use for any of these sizes: {plural(ranking.useless, 'yarn')}.")
    return lines


def overview(ranking: Ranking, terms: str) -> str:
    """A line for each listed yarn."""
    if not ranking.yarns:
        return "No yarn to list."
    rows = ranking.yarns
    shared = shared_sentences(ranking, "assumptions")
    gauges = [
        tuple(_gauges(each, terms, assumed=bool(own_assumptions(each, shared)))) for each in rows
    ]
    columns = [
        Column(("#",), tuple((str(each.place.rank),) for each in rows)),
        Column(("yarn",), tuple((clean(each.yarn.name),) for each in rows)),
        Column(("gauge",), tuple(gauges)),
        Column(("sizes made",), tuple((counted(each),) for each in rows)),
        Column(("score", "mm"), tuple((_score(each),) for each in rows)),
        Column(("balls",), tuple((balls_words(each),) for each in rows)),
    ]
    return lay_out(columns)


def _gauges(each: RankedYarn, terms: str, *, assumed: bool) -> list[str]:
    parts = gauge_words(each.yarn, terms).split(", ")
    lines = [part + "," for part in parts[:-1]] + parts[-1:]
    return [*lines, "(in part assumed)"] if assumed else lines


def _score(each: RankedYarn) -> str:
    score = each.place.score_mm
    return "-" if score is None else number(score, 1)


def balls_words(each: RankedYarn) -> str:
    """How many balls a size takes, from the least to the most; ``not weighed`` where unknown."""
    found = [m.balls for m in each.made if m.candidate is not None]
    known = [balls for balls in found if balls is not None]
    if not found:
        return "-"
    if len(known) < len(found):
        return "not weighed"
    low, high = min(known), max(known)
    return str(low) if low == high else f"{low} to {high}"


def yarn_block(each: RankedYarn, ranking: Ranking, unit: Unit, terms: str) -> str:
    """One yarn: what is known of it, its sizes, what is assumed and warned of."""
    yarn = each.yarn
    parts = [gauge_words(yarn, terms)]
    if yarn.hooks:
        parts.append(f"hook {', '.join(map(clean, yarn.hooks))}")
    if balls := ball_words(yarn):
        parts.append(balls)
    lines = [paragraph(f"{each.place.rank}. {clean(yarn.name)}: {'; '.join(parts)}.", indent="   ")]
    lines[0] = lines[0].lstrip()
    made = [m for m in each.made if m.candidate is not None]
    if made:
        lines.append(lay_out(_columns(made, unit)))
    for missing in (m for m in each.made if m.candidate is None):
        words = f"Not made: {clean(missing.plan.size)}: {miss_words(missing, unit)}."
        lines.append(paragraph(words, indent="  ", first=""))
    lines += _said_of(each, ranking)
    return "\n".join(lines)


def _said_of(each: RankedYarn, ranking: Ranking) -> list[str]:
    lines = []
    shared = shared_sentences(ranking, "assumptions")
    for sentence in own_assumptions(each, shared):
        lines.append(paragraph(f"Assumed: {clean(sentence)}", indent="  ", first=""))
    for words, sizes in warnings(each).items():
        where = "" if len(sizes) == len(each.made) else f" ({listed(sizes)})"
        lines.append(paragraph(f"Warning: {words}{where}", indent="  ", first=""))
    if why := unweighed_words(each):
        lines.append(paragraph(f"Yarn: no total, for {why}.", indent="  ", first=""))
    return lines


def unweighed_words(each: RankedYarn) -> str:
    """Which sections have no amount in a yarn some of which was weighed, and what row of its
    file would give them one; "" where all have."""
    swatched, assumed = (
        list(dict.fromkeys(n for made in each.made for n in unweighed_sections(made, assumed=way)))
        for way in (False, True)
    )
    parts = []
    if swatched:
        parts.append(
            f"nobody weighed: {listed(swatched)}; a row with that name for its stitch may hold "
            "its swatch"
        )
    if assumed:
        parts.append(
            f"the gauge is assumed of: {listed(assumed)}; a row for the stitch, with its rounds, "
            "comes before any swatch"
        )
    return "; and ".join(parts) if each.yarn.swatches else ""


def warnings(each: RankedYarn) -> dict[str, list[str]]:
    """Each warning of a yarn's designs with the sizes it is for."""
    found: dict[str, list[str]] = {}
    for made in each.made:
        for notice in made.candidate.measures.notices if made.candidate else ():
            found.setdefault(notice_words(notice), []).append(clean(made.plan.size))
    return found


def _columns(rows: Sequence[Made], unit: Unit) -> list[Column]:
    places = 1 if unit == "cm" else 2
    columns = [
        _column(("size",), rows, lambda m: [clean(m.plan.size)]),
        _column(("made",), rows, lambda m: [how_made(m)]),
        _column(("around", unit), rows, lambda m: _around(m, unit)),
        _column(("stitches", "= repeats"), rows, lambda m: _stitches(m, unit)),
        _column(("full",), rows, _full),
        _column(("flare", "(wish)"), rows, lambda m: _flare(m, unit)),
        _column(
            ("half a", "stitch"),
            rows,
            lambda m: [_or_nothing(m.gauge_effect_cm, unit, places)],
        ),
        _column(("score", "mm"), rows, lambda m: [number(_best(m).measures.score_mm, 1)]),
        _column(("yarn",), rows, lambda m: yarn_words(m).replace(", ", ",\n").split("\n")),
    ]
    return [column for column in columns if any(any(cell) for cell in column.cells)]


def _best(made: Made) -> Candidate:
    """The design of a size that is made."""
    assert made.candidate is not None
    return made.candidate


def _column(heading: tuple[str, ...], rows: Sequence[Made], cell: Cell) -> Column:
    return Column(heading, tuple(tuple(cell(made)) for made in rows))


def _around(made: Made, unit: Unit) -> list[str]:
    m = _best(made).measures
    off = m.around_miss_cm
    return [length(m.around_cm, unit), *([] if off is None else [signed(off, unit)])]


def _stitches(made: Made, unit: Unit) -> list[str]:
    """The count, then each band as repeats and the width of one against the wish."""
    m = _best(made).measures
    if len(m.bands) != 1:
        return [str(m.side_count), *(line for b in m.bands for line in _band(b, unit, True))]
    band = m.bands[0]
    # even rounds beside the band may have another count, and then decide the fit
    count = band.repeat * band.repeats + band.remainder
    here = (
        [f"sides {m.side_count},", f"band {count} ="] if count != m.side_count else [f"{count} ="]
    )
    return [*here, *_band(band, unit, False)]


def _band(band: BandMeasure, unit: Unit, named: bool) -> list[str]:
    width = number(in_unit(band.repeat_cm, unit), 2)
    if band.wish_cm is not None:
        width += f" ({number(in_unit(band.wish_cm, unit), 2)})"
    else:
        width += f" {unit} each"
    return [repeats_words(band, named=named), width]


def _full(made: Made) -> list[str]:
    full = _best(made).measures.fullness
    return ["" if full is None else number(full, 2)]


def _flare(made: Made, unit: Unit) -> list[str]:
    """Degrees against the wish; where the wish is a wide edge, the edge against it."""
    m = _best(made).measures
    if m.edge_cm is not None and m.edge_wish_cm is not None:
        return [f"edge {length(m.edge_cm, unit)}", f"({length(m.edge_wish_cm, unit)})"]
    if m.flare_deg is None:
        return [""]
    wish = "" if m.flare_wish_deg is None else f" ({m.flare_wish_deg:.0f})"
    return [f"{m.flare_deg:.0f}{wish}"]


def _or_nothing(cm: float | None, unit: Unit, places: int) -> str:
    return "" if cm is None else f"{length(cm, unit, places)} {unit}"


def below(ranking: Ranking) -> list[str]:
    """What is assumed of all, notes and cautions."""
    lines = [
        paragraph(f"Assumed: {clean(sentence)}", indent="  ", first="")
        for sentence in shared_sentences(ranking, "assumptions")
    ]
    lines += [
        paragraph(f"Note: {clean(sentence)}", indent="  ", first="")
        for sentence in shared_sentences(ranking, "notes")
    ]
    found = dict.fromkeys(words for plan in plans_of(ranking) for words in cautions(plan))
    return lines + [paragraph(f"Caution: {words}", indent="  ", first="") for words in found]
