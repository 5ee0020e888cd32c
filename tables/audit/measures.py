"""What counts and stated measures say about each other: sizes, gauge, depth, discs; cautions.

Everything here is a remark or a question to the designer, never a verdict on a count: the
numbers of a pattern can agree with each other and still not fit the swatch.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from evenround.tables.cautions import BABY, BABY_HEAD_CM, SUN
from evenround.tables.plan import Unit
from evenround.tables.rounds.pattern import MeasureText, Pattern

from .compare import spaces
from .crown import about, crown_findings
from .discs import disc_findings
from .findings import Finding
from .heads import too_small
from .piece import NOTED_CM, Piece, Stated, gauges_of, pieces, shown, stated_gauges
from .rows import Sized
from .units import unit_of
from .unprinted import Target, stated_size, value_of
from .wording import several

ALIKE = 1.03
"""Widths of a stitch further apart than this cannot be of one gauge (trade.md: 3 %)."""
SMALL_CM = 44.0
"""A finished hat smaller than this is for a head under 52 cm, however snug it is worn."""


def measure_findings(
    pattern: Pattern, sized: Sequence[Sized], unit: Unit | None = None, text: str = ""
) -> tuple[Finding, ...]:
    """Everything the stated gauges and measures say about the counts, in a fixed order. ``text``
    is the pattern's own."""
    unit = unit or unit_of(pattern, text)
    gauges = stated_gauges(pattern, unit)
    every = pieces(sized)
    found = [Finding("gauge", f"{gauge.taken}.") for gauge in gauges if gauge.taken]
    for piece in every:
        own = gauges_of(gauges, piece.body_stitch)
        found += [about(piece, finding) for finding in _size(pattern, piece, own, unit)]
        found += [about(piece, finding) for finding in too_small(piece, own, unit)]
    found += _one_gauge(pattern, every, gauges, unit)
    found += disc_findings(pattern, every, gauges, unit, text)
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
    target = stated_size(pattern, piece.size, unit)
    count = _measured_count(piece, target, gauges[-1].width)
    at = [f"{shown(count * g.width, unit)} around" for g in gauges]
    text = f"{count} sts are {several(at, 'or')} at {several([g.words for g in gauges], 'or')}"
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


def _measured_count(piece: Piece, target: Target | None, width: float) -> int:
    """The count a stated size is of: the body's; of a tube that widens or narrows (a cowl, say)
    another steady one where that one fits."""
    if target is None or piece.from_ring:
        return piece.body_count
    fits = [n for n in piece.steady if abs(target.cm - n * width) < NOTED_CM]
    return piece.body_count if piece.body_count in fits or not fits else fits[0]


def _one_gauge(
    pattern: Pattern, every: Sequence[Piece], gauges: Sequence[Stated], unit: Unit
) -> Iterator[Finding]:
    """Sizes whose counts and circumferences want different gauges; and the gauge that one size
    wants where none is stated."""
    per_unit = 2.54 if unit == "in" else 1.0
    wanted = []
    for piece in every:
        target = stated_size(pattern, piece.size, unit)
        if piece.only_crown or target is None:
            continue
        if target.what == "around" and target.cm > 0:
            wanted.append((piece, target.cm, piece.body_count / target.cm * per_unit))
    if not wanted or len({piece.body_section for piece, _, _ in wanted}) > 1:
        return  # of another part in every size: not to be compared
    rates = [f"{p.body_count} / {cm / per_unit:.4g} = {rate:.2f}" for p, cm, rate in wanted]
    gauges = gauges_of(gauges, wanted[-1][0].body_stitch)
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


def _brim_depth(
    pattern: Pattern, piece: Piece, gauges: Sequence[Stated], unit: Unit
) -> Iterator[Finding]:
    """How many rounds a stated brim takes, against those that are written."""
    brims = [cm for m in pattern.measures if m.what == "brim" and (cm := _of(pattern, m, piece))]
    own = gauges_of(gauges, piece.most_usual(piece.brim))
    heights = [g.height for g in own if g.height is not None]
    written = len(piece.brim)
    to_length = any(piece.rows[at].given.source.until for at in piece.brim)
    if not brims or not heights or not written or to_length:
        return
    cm = brims[0]
    wanted = cm / heights[-1]
    text = f"a brim of {shown(cm, unit)} is {wanted:.1f} rounds"
    if abs(wanted - written) > 2:
        missing = round(wanted) - written
        more = f"{missing} more" if missing > 0 else f"{-missing} fewer"
        text += f"; {written} are written, so {more} would be wanted"
    yield Finding("brim", f"{text}.")


def _of(pattern: Pattern, measure: MeasureText, piece: Piece) -> float | None:
    """A measure for the size of a piece; the first where the values are of no sizes."""
    if len(measure.values_cm) > 1 and len(measure.values_cm) != len(pattern.sizes):
        return measure.values_cm[0]
    return value_of(pattern, measure, piece.size)


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
