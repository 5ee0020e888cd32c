"""What counts and stated measures say about each other: sizes, gauge, depth, discs; cautions.

Everything here is a remark or a question to the designer, never a verdict on a count: the
numbers of a pattern can agree with each other and still not fit the swatch.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import pi

from evenround.tables.cautions import BABY, BABY_HEAD_CM, SUN
from evenround.tables.plan import Unit
from evenround.tables.rounds.pattern import Pattern

from .compare import spaces
from .crown import about, crown_findings
from .findings import Finding
from .heads import too_small
from .piece import Piece, Stated, pieces, shown, stated_gauges, unit_of
from .rows import Sized
from .unprinted import stated_size
from .wording import several

ALIKE = 1.03
"""Widths of a stitch further apart than this cannot be of one gauge (trade.md: 3 %)."""
NOTED_CM = 0.5
"""A difference smaller than this between counts and a stated size is not worth a word."""
SMALL_CM = 44.0
"""A finished hat smaller than this is for a head under 52 cm, however snug it is worn."""


def measure_findings(pattern: Pattern, sized: Sequence[Sized]) -> tuple[Finding, ...]:
    """Everything the stated gauges and measures say about the counts, in a fixed order."""
    gauges, unit = stated_gauges(pattern), unit_of(pattern)
    every = pieces(sized)
    found = [Finding("gauge", f"{gauge.taken}.") for gauge in gauges if gauge.taken]
    for piece in every:
        found += [about(piece, finding) for finding in _size(pattern, piece, gauges, unit)]
        found += [about(piece, finding) for finding in too_small(piece, gauges, unit)]
    found += _one_gauge(pattern, every, gauges, unit)
    found += _discs(pattern, every, gauges, unit)
    found += crown_findings(pattern, every, gauges, unit)
    for piece in every:
        found += [about(piece, finding) for finding in _brim_depth(pattern, piece, gauges, unit)]
    return _merged(found)


def _merged(found: Sequence[Finding]) -> tuple[Finding, ...]:
    """What is true of several sizes said once, with all their names."""
    names: dict[Finding, tuple[str, ...]] = {}
    for finding in found:
        plain = replace(finding, of=())
        names[plain] = tuple(dict.fromkeys((*names.get(plain, ()), *finding.of)))
    return tuple(replace(plain, of=of) for plain, of in names.items())


def _size(
    pattern: Pattern, piece: Piece, gauges: Sequence[Stated], unit: Unit
) -> Iterator[Finding]:
    """How wide the body is at the gauge stated, and how far that is from what is stated."""
    if not gauges:
        return
    count = piece.body_count
    at = [f"{shown(count * g.width, unit)} around" for g in gauges]
    text = f"{count} sts are {several(at, 'or')} at {several([g.words for g in gauges], 'or')}"
    target = stated_size(pattern, piece.size)
    if target is None or piece.only_crown:
        end = "; the rounds end in the crown, so no size is made yet" * piece.only_crown
        yield Finding("size", f"{text}{end}.")
        return
    less = target.cm - count * gauges[-1].width
    if abs(less) < NOTED_CM:
        yield Finding("size", f"{text}, as {target.words} wants.")
        return
    more = "less" if less > 0 else "more"
    text += f", {shown(abs(less), unit)} {more} than {target.words}"
    if target.what == "around":
        text += (
            ". If the piece itself comes out otherwise, it and the swatch cannot both have "
            "been measured right: measure the width of the piece"
        )
    yield Finding("size", f"{text}.")


def _one_gauge(
    pattern: Pattern, every: Sequence[Piece], gauges: Sequence[Stated], unit: Unit
) -> Iterator[Finding]:
    """Sizes whose counts and circumferences want different gauges; and the gauge that one size
    wants where none is stated."""
    per_unit = 2.54 if unit == "in" else 1.0
    wanted = []
    for piece in every:
        target = stated_size(pattern, piece.size)
        if piece.only_crown or target is None:
            continue
        if target.what == "around" and target.cm > 0:
            wanted.append((piece, target.cm, piece.body_count / target.cm * per_unit))
    if not wanted:
        return
    rates = [f"{p.body_count} / {cm / per_unit:g} = {rate:.2f}" for p, cm, rate in wanted]
    if len(wanted) == 1 and not gauges:
        piece, _, rate = wanted[0]
        text = f"{rates[0]} sts per {unit} is what {piece.body_count} sts around want"
        most = piece.most_after_body
        if most > piece.body_count:
            text += (
                f"; the {most} sts made later would be {shown(most / rate * per_unit, unit)} of "
                f"that width, {most / piece.body_count:.1f} times as wide"
            )
        yield Finding("size", f"{text}.")
    low, high = min(w[2] for w in wanted), max(w[2] for w in wanted)
    if high / low <= ALIKE:
        return
    rate = per_unit / gauges[-1].width if gauges else wanted[-1][2]
    sizes = several([shown(p.body_count / rate * per_unit, unit) for p, _, _ in wanted])
    yield Finding(
        "gauge",
        f"one gauge cannot give all sizes: {several(rates)} sts per {unit}. At {rate:.2f} they "
        f"are {sizes}.",
        wrong=True,
    )


def _discs(
    pattern: Pattern, every: Sequence[Piece], gauges: Sequence[Stated], unit: Unit
) -> Iterator[Finding]:
    """Discs stated by their width: what they are around, and the gauge each gives. One that does
    not say after which round is the crown's."""
    discs = [m for m in pattern.measures if m.what == "across" and m.values_cm]
    if not discs or not every:
        return
    rows = every[-1].rows
    stop = rows[every[-1].body.start].given.number if every[-1].from_ring else 0
    counts = {row.given.number: row.after.count for row in reversed(rows) if row.after is not None}
    known = []
    for disc in discs:
        after, across = disc.after_round or stop, disc.values_cm[0]
        if count := counts.get(after):
            known.append((after, across, count, pi * across / count))
    known = sorted(set(known))
    if not known:
        return
    around = [f"{shown(pi * across, unit)} around after round {n}" for n, across, _, _ in known]
    text = f"the disc{'s' * (len(known) > 1)} stated {'are' if len(known) > 1 else 'is'} "
    text += several(around)
    stated = [v for m in pattern.measures if m.what in ("around", "head") for v in m.values_cm]
    if stated:
        text += f" (stated: {several([shown(v, unit) for v in stated])})"
    if len(known) == 1 and gauges:
        count, width = known[0][2], gauges[-1].width
        text += (
            f": {known[0][3] / _per(unit):.3f} {unit} a stitch, where the gauge has "
            f"{width / _per(unit):.3f} {unit} and {count} sts would be "
            f"{shown(count * width, unit)} around"
        )
    if len(known) > 1:
        first, last = known[0], known[-1]
        spread = abs(last[3] / first[3] - 1) * 100
        worked = several([shown(n * first[3], unit) for _, _, n, _ in known])
        text += (
            f". A stitch is {first[3] / _per(unit):.3f} {unit} wide by the first disc and "
            f"{last[3] / _per(unit):.3f} {unit} by the last, {spread:.0f} % apart: by the first "
            f"the counts would be {worked} around. Take the gauge from the largest disc at hand"
        )
    yield Finding("disc", f"{text}.")


def _per(unit: Unit) -> float:
    return 2.54 if unit == "in" else 1.0


def _brim_depth(
    pattern: Pattern, piece: Piece, gauges: Sequence[Stated], unit: Unit
) -> Iterator[Finding]:
    """How many rounds a stated brim takes, against those that are written."""
    brims = [m for m in pattern.measures if m.what == "brim" and m.values_cm]
    heights = [g.height for g in gauges if g.height is not None]
    written = len(piece.brim)
    if not brims or not heights or not written:
        return
    cm = brims[0].values_cm[0]
    wanted = cm / heights[-1]
    text = f"a brim of {shown(cm, unit)} is {wanted:.1f} rounds"
    if abs(wanted - written) > 2:
        missing = round(wanted) - written
        more = f"{missing} more" if missing > 0 else f"{-missing} fewer"
        text += f"; {written} are written, so {more} would be wanted"
    yield Finding("brim", f"{text}.")


# --- cautions --------------------------------------------------------------------------------

_BABY_WORDS = re.compile(
    r"\b(?:bab(?:y|ies)|infants?|newborns?|toddlers?|preemies?|child(?:ren)?(?:'s)?|kids?|"
    r"boys?|girls?|months?|\d+\s*mos?)\b",
    re.I,
)
_HATS = re.compile(r"\b(?:hats?|beanies?|caps?|cloches?|bonnets?|brims?|crowns?)\b", re.I)
_BIG_SPACE = 8
"""Chains that are handles or straps, no eyelets."""


def cautions_for(pattern: Pattern, sized: Sequence[Sized], text: str) -> tuple[str, ...]:
    """The cautions that apply: small heads or words for babies and children, open bands. What is
    said to be no hat (a basket, a bag) gets none."""
    words = " ".join([text, *pattern.sizes, *(r.section for r in pattern.rounds)])
    hat = _HATS.search(words) is not None or any(m.what == "head" for m in pattern.measures)
    if not hat:
        return ()
    limits = {"head": BABY_HEAD_CM, "around": SMALL_CM}
    small = _BABY_WORDS.search(words) is not None or any(
        0 < value < limits[m.what]
        for m in pattern.measures
        if m.what in limits
        for value in m.values_cm
    )
    return (BABY,) * small + (SUN,) * any(_open_band(one) for one in sized)


def _open_band(one: Sized) -> bool:
    """Whether some round has three eyelets or more, chains over skipped stitches."""
    for row in one.rows:
        if row.judged is None:
            continue
        made = row.judged.worked.made
        if sum(spaces(made, n) for n in range(1, _BIG_SPACE)) >= 3:
            return True
    return False
