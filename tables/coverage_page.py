"""The coverage of a pattern's sizes as text, Markdown, CSV and JSON."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

from .cautions import BABY, SUN
from .coverage import WIDE, Between, Coverage, Served, SizeHeads
from .facts import Row, table
from .layout import Column, lay_out, paragraph
from .plan import Unit
from .safe import in_markdown, records_csv
from .words import clean, in_unit, length, listed, shortly


def sources() -> tuple[str, ...]:
    """Where the shares come from, and whom they leave out."""
    adults = [
        f"{r['group']} {r['mean_cm']} cm (standard deviation {r['sd_cm']})" for r in _adults()
    ]
    memory = {r["source"].replace("memory: ", "") + ", from memory" for r in _adults()}
    return (
        CHILDREN,
        f"Adults: {listed(adults)}, taken as normal; {listed(sorted(memory))}.",
        NOT_COVERED,
    )


def _adults() -> Sequence[Row]:
    return table("adult_heads")


CHILDREN = (
    "Children: WHO growth standards, head circumference from birth to 5 years, all months alike, "
    "girls and boys half each. Half at: the first and the last age at which half of them or more "
    "are served."
)
NOT_COVERED = (
    "Not covered: 5 to 12 years, and older children. There is no standard for their heads here."
)
SERVES = (
    "Serves: from the head the hat is just its tolerance too large for, with the ease asked for, "
    "to the one it is as much too small for; a stretch in the brief adds to that end."
)
Cells = list[list[str]]


def to_text(found: Coverage, how: str, unit: Unit, title: str, notes: Sequence[str] = ()) -> str:
    """The whole answer, 80 columns wide. ``how`` says which hats were looked at."""
    blocks = [paragraph(f"{clean(title)}: heads served. {how}")]
    blocks.append(_laid(*_size_cells(found, unit)))
    if found.between:
        blocks.append("Between neighbouring sizes:\n" + _laid(*_between_cells(found, unit)))
    return "\n\n".join([*blocks, _below(notes)]) + "\n"


def to_markdown(
    found: Coverage, how: str, unit: Unit, title: str, notes: Sequence[str] = ()
) -> str:
    """The same with Markdown tables."""
    blocks = [
        f"{in_markdown(clean(title))}: heads served. {how}",
        _pipes(*_size_cells(found, unit)),
    ]
    if found.between:
        blocks.append(_pipes(*_between_cells(found, unit)))
    return (
        "\n\n".join(
            [*blocks, SERVES, *sources(), *(f"{_label(n)}: {in_markdown(clean(n))}" for n in notes)]
        )
        + "\n"
    )


def _label(note: str) -> str:
    """What stands before a sentence: a caution is called one, as everywhere."""
    return "Caution" if note in (BABY, SUN) else "Note"


def _below(notes: Sequence[str]) -> str:
    lines = [SERVES, *sources(), *(f"{_label(note)}: {clean(note)}" for note in notes)]
    return "\n".join(paragraph(line, indent="  ", first="") for line in lines)


def _size_cells(found: Coverage, unit: Unit) -> tuple[list[tuple[str, ...]], Cells]:
    heads: list[tuple[str, ...]] = [
        ("size",),
        ("head", unit),
        ("around", unit),
        ("serves", unit),
        ("children", "0-5 y"),
        ("half at",),
        ("women",),
        ("men",),
    ]
    rows = [
        [
            clean(size.size),
            length(size.head_cm, unit),
            length(size.around_cm, unit),
            _span(size, unit),
            *_shares(served),
        ]
        for size, served in zip(found.sizes, found.served, strict=True)
    ]
    if len(rows) > 1:
        rows.append([found.together.size, "", "", "", *_shares(found.together)])
    return heads, rows


def _span(size: SizeHeads, unit: Unit) -> str:
    heads = size.heads
    if not heads.any:
        return "none"
    return f"{length(heads.low_cm, unit)} to {length(heads.high_cm, unit)}"


def _shares(served: Served) -> list[str]:
    ages = "" if served.ages is None else age_words(*served.ages)
    return [_per_cent(served.children), ages, _per_cent(served.women), _per_cent(served.men)]


def age_words(first: int, last: int) -> str:
    """``12-24 m``; ``30-60 m``; one month alone ``0 m``."""
    return f"{first} m" if first == last else f"{first}-{last} m"


def _per_cent(share: float) -> str:
    """Whole per cent; "<1 %" where there is somebody, at least one in two thousand."""
    if 0.0005 <= share < 0.005:
        return "<1 %"
    return f"{round(100 * share)} %"


def _between_cells(found: Coverage, unit: Unit) -> tuple[list[tuple[str, ...]], Cells]:
    heads: list[tuple[str, ...]] = [("from",), ("to",), ("heads between them",)]
    return heads, [[clean(b.smaller), clean(b.larger), _words(b, unit)] for b in found.between]


def _words(between: Between, unit: Unit) -> str:
    """``gap of 2.5 cm, over 2``; ``overlap of 0.5 cm``; ``they meet``."""
    amount = length(abs(between.gap_cm), unit)
    if float(amount) == 0:
        return "they meet"
    if between.gap_cm < 0:
        return f"overlap of {amount} {unit}"
    over = f", over {shortly(WIDE, unit)}: left out" if between.wide else ""
    return f"gap of {amount} {unit}{over}"


def _laid(heads: Sequence[tuple[str, ...]], rows: Cells) -> str:
    cells = list(zip(*rows, strict=True))
    return lay_out(
        [Column(head, tuple((c,) for c in col)) for head, col in zip(heads, cells, strict=True)]
    )


def _pipes(heads: Sequence[tuple[str, ...]], rows: Cells) -> str:
    lines = [f"| {' | '.join(' '.join(head) for head in heads)} |", "|---" * len(heads) + "|"]
    lines += [f"| {' | '.join(in_markdown(cell) for cell in row)} |" for row in rows]
    return "\n".join(lines)


def to_json(found: Coverage, notes: Sequence[str] = ()) -> str:
    """One object: sizes, together, between, not_covered, sources; lengths in cm, shares of 1."""
    record = {
        "sizes": [
            _size_record(size, served)
            for size, served in zip(found.sizes, found.served, strict=True)
        ],
        "together": _served_record(found.together),
        "between": [
            {
                "smaller": b.smaller,
                "larger": b.larger,
                "gap_cm": round(b.gap_cm, 3),
                "over_2_cm": b.wide,
            }
            for b in found.between
        ],
        "not_covered": ["5 to 12 years"],
        "sources": list(sources()),
        "notes": list(notes),
    }
    return json.dumps(record, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def _size_record(size: SizeHeads, served: Served) -> dict[str, Any]:
    some = size.heads.any
    return {
        "size": size.size,
        "head_cm": round(size.head_cm, 3),
        "circumference_cm": round(size.around_cm, 3),
        "head_low_cm": round(size.heads.low_cm, 3) if some else None,
        "head_high_cm": round(size.heads.high_cm, 3) if some else None,
    } | _served_record(served)


def _served_record(served: Served) -> dict[str, Any]:
    first, last = served.ages or (None, None)
    return {
        "children_0_to_5": round(served.children, 4),
        "half_from_month": first,
        "half_to_month": last,
        "women": round(served.women, 4),
        "men": round(served.men, 4),
    }


def to_csv(found: Coverage, unit: Unit) -> str:
    """A row a size, with the gap (negative: overlap) to the next; shares of 1."""
    gaps = [b.gap_cm for b in found.between] + [None]
    rows = []
    for size, served, gap in zip(found.sizes, found.served, gaps, strict=True):
        row = _size_record(size, served) | {"gap_to_next_cm": gap}
        rows.append({_in(name, unit): _cell(name, v, unit) for name, v in row.items()})
    return records_csv(rows)


def _in(name: str, unit: Unit) -> str:
    return f"{name[:-3]}_{unit}" if name.endswith("_cm") else name


def _cell(name: str, value: object, unit: Unit) -> object:
    """Lengths in the unit."""
    if name.endswith("_cm") and isinstance(value, float):
        return round(in_unit(value, unit), 3) + 0.0
    return value
