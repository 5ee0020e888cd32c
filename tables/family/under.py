"""What stands under the families: the gauge's error, assumptions, yarn, notes and cautions.

A sentence that holds for some sizes names them.
"""

from __future__ import annotations

from collections.abc import Iterable
from math import fsum

from evenround.solver.candidate import Notice
from evenround.solver.family import Family
from evenround.tables.cautions import cautions
from evenround.tables.layout import paragraph
from evenround.tables.plan import Plan
from evenround.tables.reasons import notice_words
from evenround.tables.underneath import ten_words, unweighed_words
from evenround.tables.words import clean, length, listed

from .graded import Graded


def under(graded: Graded) -> list[str]:
    """The blocks under the tables, in the order of fit's."""
    blocks = [
        [gauge_line(graded), *_labelled("Assumed", _assumed(graded))],
        [yarn_line(graded)],
        [*_labelled("Note", _notes(graded)), *_labelled("Caution", _cautions(graded))],
    ]
    return ["\n".join(filter(None, block)) for block in blocks if any(block)]


def beside(graded: Graded) -> list[str]:
    """What a person must still be told when the output is for a program, a line each."""
    said = (("Assumed", _assumed), ("Note", _notes), ("Caution", _cautions))
    return [f"{label}: {text}" for label, find in said for text in find(graded)]


def _labelled(label: str, sentences: Iterable[str]) -> list[str]:
    return [paragraph(f"{label}: {text}", indent="  ", first="") for text in sentences]


def _assumed(graded: Graded) -> list[str]:
    return _by_size(graded, [plan.assumptions for plan in graded.plans])


def _notes(graded: Graded) -> list[str]:
    if len(graded.plans) == 1:
        alone = "the brief has one size; a family wants several (sizes)"
        return [alone, *map(clean, graded.plans[0].notes)]
    return _by_size(graded, [plan.notes for plan in graded.plans])


def _cautions(graded: Graded) -> list[str]:
    return list(dict.fromkeys(text for plan in graded.plans for text in cautions(plan)))


def _by_size(graded: Graded, said: list[tuple[str, ...]]) -> list[str]:
    """Sentences in the order they first come, with the sizes they hold for unless that is all."""
    sizes: dict[str, list[int]] = {}
    for i, sentences in enumerate(said):
        for text in dict.fromkeys(sentences):
            sizes.setdefault(clean(text), []).append(i)
    return [_held(graded, text, places) for text, places in sizes.items()]


def _held(graded: Graded, text: str, places: list[int]) -> str:
    said_already = len(places) == 1 and text.startswith(f"size {graded.names[places[0]]}:")
    if len(places) == len(graded.plans) or said_already:
        return text
    return f"{text} ({graded.named(places)})"


def gauge_line(graded: Graded) -> str:
    """Half a stitch in 10 cm, an ordinary error, for the first size and the last."""
    plans, unit = graded.plans, graded.unit
    ends = dict.fromkeys((plans[0].size, plans[-1].size))
    chosen = [next(plan for plan in plans if plan.size == size) for size in ends]
    moved = [f"{length(c, unit)} {unit} by {length(_off(p, c), unit)}" for p, c in _wide(chosen)]
    if not moved:
        return ""
    return paragraph(
        f"Gauge: half a stitch off in {ten_words(unit)}, which is ordinary, moves "
        f"{' and '.join(moved)} {unit}.",
        indent="  ",
        first="",
    )


def _wide(plans: list[Plan]) -> list[tuple[Plan, float]]:
    wished = [(plan, plan.piece.around_cm) for plan in plans if plan.gauge_stitches > 0]
    return [(plan, around) for plan, around in wished if around is not None]


def _off(plan: Plan, around: float) -> float:
    return around * 0.5 / (plan.gauge_stitches * 10 / plan.over_cm)


def yarn_line(graded: Graded) -> str:
    """What each family takes, size by size and together; or that nobody weighed it."""
    families = [f for f in graded.grade.families if _grams(f) is not None]
    if not families:
        return _in_part(graded)
    told = []
    for family in families:
        each = _grams(family) or []
        total = f" = {fsum(each):.0f} g" if len(each) > 1 else ""
        margins = [g * m.measures.yarn.margin for g, m in zip(each, family.members, strict=True)]
        words = " + ".join(f"{grams:.0f}" for grams in each) + (total or " g")
        told.append(f"family {family.rank} {words}, with margins {fsum(each) + fsum(margins):.0f}")
    hand = graded.rules.yarn_grams
    limit = "" if hand is None else f"; at hand {hand:g} g"
    margin = families[0].members[0].measures.yarn.margin
    text = f"Yarn: {'; '.join(told)}{limit}. The margin is {margin:.0%}."
    return paragraph(text, indent="  ", first="")


def _in_part(graded: Graded) -> str:
    """What was weighed where not everything was: the grams of those sections, and why no more."""
    told, names = [], dict[str, None]()
    for family in graded.grade.families:
        parts = [[p for p in m.measures.yarn.parts if p.grams is not None] for m in family.members]
        each = [fsum(p.grams or 0.0 for p in known) for known in parts]
        names.update(dict.fromkeys(clean(p.section) for known in parts for p in known))
        if any(each):
            total = f" = {fsum(each):.0f} g" if len(each) > 1 else " g"
            told.append(f"family {family.rank} {' + '.join(f'{g:.0f}' for g in each)}{total}")
    members = [m for family in graded.grade.families for m in family.members]
    gone = [p.section for m in members for p in m.measures.yarn.parts if p.grams is None]
    why = unweighed_words(graded.plans[0], gone)
    if not told and "weighed, but" not in why:
        return "Yarn: not weighed."
    have = f"{listed(list(names))}: {'; '.join(told)}; " if told else ""
    return paragraph(f"Yarn: {have}{why}, so no total.", indent="  ", first="")


def _grams(family: Family) -> list[float] | None:
    grams = [member.measures.yarn.grams for member in family.members]
    known = [g for g in grams if g is not None]
    return known if len(known) == len(grams) else None


def warning_lines(graded: Graded, family: Family) -> list[str]:
    """A family's warnings, one of a kind with the sizes it holds for; the worst gives the words."""
    kinds: dict[tuple[str, str, bool], list[tuple[int, Notice]]] = {}
    for i, member in enumerate(family.members):
        for notice in member.measures.notices:
            side = notice.found > notice.limit
            kinds.setdefault((notice.what, notice.section, side), []).append((i, notice))
    lines = []
    for found in kinds.values():
        places = list(dict.fromkeys(i for i, _ in found))
        worst = max((n for _, n in found), key=lambda n: abs(n.found - n.limit))
        several = len({notice_words(n) for _, n in found}) > 1
        sizes = graded.named(places) + ("; the worst shown" if several else "")
        where = f" ({sizes})" if len(graded.plans) > 1 else ""
        lines.append(paragraph(f"{notice_words(worst)}{where}", indent="  ", first="> "))
    return lines
