"""An adapted design as a page: what it does, before and after by section, the ways there are."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from evenround.solver.adapt import PRICES, main_sections
from evenround.solver.adapt_search import side_count
from evenround.solver.tally import SectionTally, Tally
from evenround.tables.cautions import BABY, BABY_HEAD_CM, SUN, cautions
from evenround.tables.layout import Column, lay_out, paragraph
from evenround.tables.plan import Unit
from evenround.tables.words import clean, crown_words, length, number, signed

from .answer import Answer, Option, wide
from .original import Original

CHANGED = "~"
LONG = 24
"""A crown in more letters than this is named in the table by its stop round."""


def to_text(answer: Answer, unit: Unit) -> str:
    """The whole page at 80 columns."""
    blocks = [heading(answer), "\n".join(_facts(answer))]
    shown = answer.options or answer.near
    if not answer.options:
        blocks.append(paragraph("Nothing near satisfies all of this. What comes nearest:"))
    elif answer.options:
        first = answer.options[0]
        blocks.append(
            f"Before and after, number 1 ({CHANGED} changed):\n" + before_after(answer, first, unit)
        )
    if shown:
        lead = "All the ways found, the nearest first:\n" if answer.options else ""
        blocks.append(lead + ways(answer, shown, unit))
    blocks.append("\n".join(paragraph(line, "  ", "") for line in below(answer, unit)))
    return "\n\n".join(block for block in blocks if block) + "\n"


def heading(answer: Answer) -> str:
    """``A plain cap, size M, to repeat 6``."""
    original = answer.original
    size = f", {clean(original.size)}" if original.size else ""
    only = ", only from the band on" if answer.request.asked.band_only else ""
    return paragraph(f"{clean(original.title)}{size}: to {', '.join(answer.request.words)}{only}")


def _facts(answer: Answer) -> Iterator[str]:
    original = answer.original
    yield "As it is:"
    for line in original.inferred:
        yield paragraph(line, "    ", "  ")
    if original.gauge_words:
        yield paragraph(f"gauge: {original.gauge_words}", "    ", "  ")
    for line in original.unsaid:
        yield paragraph(f"Not said: {line}.", "  ", "")
    for line in original.unread:
        yield paragraph(f"Not understood: {line}.", "  ", "")


# --- before and after ---------------------------------------------------------------------


def table_rows(answer: Answer, option: Option, unit: Unit) -> list[tuple[str, ...]]:
    """Before beside after, a row a section and nudge: the sign, the section, then for each the
    counts, rounds, repeats, and with a gauge the width."""
    before, after = answer.original.design.tally, option.tally
    rows: list[tuple[str, ...]] = []
    was, now = wide(answer.widths(), before), wide(answer.widths(after), after)
    for old, new in _paired(before, after):
        left = _cells(before, old, was, unit)
        right = _cells(after, new, now, unit)
        sign = CHANGED if left != right else ""
        name = clean((new or old or SectionTally("nudge", "", 0, ())).name)
        rows.append((sign, name, *left, *right))
    return rows


def _paired(
    before: Tally, after: Tally
) -> Iterator[tuple[SectionTally | None, SectionTally | None]]:
    """Sections in order with the nudges before them, on either side or both."""
    old_nudges, new_nudges = _nudge_sections(before), _nudge_sections(after)
    pairs = zip(main_sections(before), main_sections(after), strict=True)
    for place, (old, new) in enumerate(pairs):
        was, now = old_nudges.get(place), new_nudges.get(place)
        if was is not None or now is not None:
            yield was, now
        yield old, new


def _nudge_sections(tally: Tally) -> dict[int, SectionTally]:
    found, at = dict[int, SectionTally](), 0
    for section in tally.sections:
        if section.section == "nudge":
            found[at] = section
        else:
            at += 1
    return found


def _cells(
    tally: Tally, section: SectionTally | None, widths: Sequence[float | None], unit: Unit
) -> tuple[str, str, str, str]:
    if section is None:
        return "-", "", "", ""
    counts = f"{section.count_in}-{section.count_out}"
    if section.count_in == section.count_out:
        counts = str(section.count_in)
    repeats = ""
    if section.section == "crown":
        repeats = crown_words(tally) or ""
        if len(repeats) > LONG:
            repeats = f"stops rnd {tally.stop_round}"
    elif section.repeat:
        repeats = f"{section.repeats} x {section.repeat}"
    elif section.section == "brim":
        adds = [abs(change) for change in section.changes if change]
        repeats = f"{len(adds)} x {adds[0]}" if len(set(adds)) == 1 else ""
    elif section.section == "nudge":
        repeats = f"{sum(section.changes):+d}"
    at = next(i for i, each in enumerate(tally.sections) if each is section)
    width = widths[at]
    around = "" if width is None else length(section.count_out * width, unit)
    return counts, str(section.rounds), repeats, around


HEADS = ("sts in-out", "rnds", "repeats", "around")


def before_after(answer: Answer, option: Option, unit: Unit) -> str:
    """The table at 80 columns."""
    rows = table_rows(answer, option, unit)
    heads = [("", ""), ("", "section")]
    for side in ("before", "after"):
        heads += [
            (side if i == 0 else "", f"{head} {unit}" if i == 3 else head)
            for i, head in enumerate(HEADS)
        ]
    columns = [
        Column(head, tuple((row[i],) for row in rows))
        for i, head in enumerate(heads)
        if i < 2 or any(row[i] for row in rows)
    ]
    return lay_out(columns)


# --- the ways -----------------------------------------------------------------------------


def ways(answer: Answer, options: Sequence[Option], unit: Unit) -> str:
    """A row for every way: how much changes, the side count, the width, what changes."""
    gauge = answer.request.gauge
    amount = "mm" if gauge is not None else "sts"
    side = [side_count(o.tally) for o in options]
    columns = [
        Column(("#",), tuple((str(o.rank) if o.rank else "-",) for o in options)),
        Column(("changes", amount), tuple((_amount(o),) for o in options)),
    ]
    if any(o.score_mm is not None for o in options):
        columns.append(Column(("fit", "mm"), tuple((number(o.score_mm or 0, 1),) for o in options)))
    columns.append(Column(("side", "sts"), tuple((_side(answer, n),) for n in side)))
    if gauge is not None:
        cells = tuple((_around(answer, n, unit),) for n in side)
        columns.append(Column(("around", unit), cells))
    what = tuple((*o.changes, *(f"> {note}" for note in o.notes)) or ("nothing",) for o in options)
    columns.append(Column(("what changes",), what))
    return lay_out(columns)


def _side(answer: Answer, count: int) -> str:
    """The side count; without a gauge by how much of what it was it differs."""
    was = side_count(answer.original.design.tally)
    if answer.request.gauge is not None or count == was:
        return str(count)
    return f"{count} ({100 * (count - was) / was:+.1f} %)"


def _amount(option: Option) -> str:
    value = option.change_stitches if option.change_mm is None else option.change_mm
    return number(value, 1)


def _around(answer: Answer, count: int, unit: Unit) -> str:
    gauge = answer.request.gauge
    assert gauge is not None
    words = length(count * gauge.width_cm, unit)
    wish = answer.request.around_cm
    return words if wish is None else f"{words} ({signed(count * gauge.width_cm - wish, unit)})"


def below(answer: Answer, unit: Unit) -> Iterator[str]:
    """Notes, the prices of a change, cautions."""
    for note in answer.request.notes:
        yield f"Note: {note}."
    if answer.request.gauge is not None:
        shown = [answer.widths(), *(answer.widths(o.tally) for o in answer.options[:1])]
        empty = any(width is None for widths in shown for width in widths)
        yield "Widths are at each section's own gauge" + (
            "; none where that was not said (a figure of several stitches has its own)."
            if empty
            else "."
        )
    in_mm = "; a stitch is as many mm as it is wide" if answer.request.gauge else ""
    yield (
        f"Changes, in stitches: {PRICES.stitch:g} for each stitch a count below the crown "
        "differs, where it first does and where that changes further down, the edging aside "
        "(of the sides: from a circumference that is wished), "
        f"{PRICES.crown_round:g} for a crown round, {PRICES.uneven:g} more where its gaps differ "
        f"by one, {PRICES.nudge:g} for a new or other nudge and a third of that for one that "
        f"goes, {PRICES.round:g} for a round more or fewer, {PRICES.sector:g} for a brim sector "
        "or a brim round that does another thing, "
        f"{PRICES.growth:g} for each stitch a brim grows more or fewer{in_mm}."
    )
    for caution in cautions_of(answer):
        yield f"Caution: {caution}"


def cautions_of(answer: Answer) -> tuple[str, ...]:
    """What the maker must be told of the piece."""
    if answer.plan is not None:
        return cautions(answer.plan)
    original = answer.original
    heads = [answer.request.head_cm]
    if heads == [None]:  # nobody says a head: how large the piece is must do
        heads = [original.around_cm, answer.request.around_cm]
    small = any(cm is not None and cm < BABY_HEAD_CM for cm in heads)
    return (BABY,) * small + (SUN,) * _opens(original, answer)


def _opens(original: Original, answer: Answer) -> bool:
    figure = answer.request.figure
    return original.openwork or (figure is not None and figure.open)
