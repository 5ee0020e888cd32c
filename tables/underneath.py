"""What stands under the table: near misses, the gauge's error, assumptions, warnings, yarn,
notes and cautions, each wrapped at 80 columns."""

from __future__ import annotations

from collections.abc import Sequence

from evenround.solver.candidate import Candidate, Fit, NearMiss, Yarn
from evenround.solver.piece import Band, Edging

from .cautions import cautions
from .comparison import EFFICIENT
from .layout import Column, lay_out, paragraph
from .plan import Plan, Unit
from .reasons import breach_words, giving_up_words, mend_words, notice_words, requirements_words
from .remarks import shared_notices
from .words import clean, crown_words, length, listed, number, over_words, signed


def underneath(plan: Plan, fit: Fit, unit: Unit, *, signs: bool = True) -> str:
    """Everything under the table, in the order a designer wants it; ``signs`` explains those of
    the terminal's table."""
    blocks = [
        legend(fit) if signs else "",
        near_miss_block(plan, fit, unit),
        "\n".join([gauge_error(plan, fit, unit), *_sentences("Assumed", plan.assumptions)]),
        "\n".join(_sentences("Warning", _warnings(fit))),
        "\n".join([*yarn_lines(plan, fit), *remarks_below(plan)]),
    ]
    return "\n\n".join(block for block in blocks if block)


def legend(fit: Fit) -> str:
    """The signs of the table, explained only where they are used."""
    lines = []
    if any(c.pareto for c in fit.candidates):
        lines.append(
            f"{EFFICIENT} efficient: no other here is at least as good in fit, shape and effort "
            "and better in one of them."
        )
    if words := _crown_legend(fit):
        lines.append(words)
    return "\n".join(paragraph(line, indent="  ", first="") for line in lines)


def _crown_legend(fit: Fit) -> str | None:
    """The first crown that is more than one rate, spelled out."""
    for c in fit.candidates:
        rates, words = c.tally.crown_rates, crown_words(c.tally)
        if not rates or len(rates) != 2 or c.tally.start != rates[0][0]:
            continue
        (adds, rounds), (then, more) = rates
        part = f"a part round of {then} more" if more == 1 else f"{then} more for {more} rounds"
        return f"{words}: {adds} more every round for {rounds + 1} rounds, then {part}."
    return None


def near_miss_block(plan: Plan, fit: Fit, unit: Unit) -> str:
    """The near misses as a small table; a line saying so where there are none."""
    if not fit.near_misses:
        return "Near misses: no other count is just outside a single requirement."
    misses = fit.near_misses
    columns = [
        Column(("sts",), tuple((str(m.side_count),) for m in misses)),
        Column(("around", unit), tuple((length(m.around_cm, unit),) for m in misses)),
        Column(("off", unit), tuple((signed(m.miss_cm, unit),) for m in misses)),
        Column(
            ("exact at", f"sts / {over_words(plan)}"),
            tuple((number(exact_gauge(plan, m), 2),) for m in misses),
        ),
        Column(("what it breaks",), tuple((breach_words(m.breach, unit),) for m in misses)),
        Column(("what would mend it",), tuple((mend_words(m, unit),) for m in misses)),
    ]
    return "Near misses, each just outside one requirement:\n" + lay_out(columns)


def exact_gauge(plan: Plan, miss: NearMiss) -> float:
    """Stitches over the brief's own measure at which the near miss would be exact."""
    return miss.exact_gauge * plan.over_cm / 10


def gauge_error(plan: Plan, fit: Fit, unit: Unit) -> str:
    """Half a stitch in 10 cm, an ordinary error: dC = C x 0.5 / g."""
    around = plan.piece.around_cm
    if around is None:
        around = fit.candidates[0].measures.around_cm if fit.candidates else None
    if around is None or plan.gauge_stitches <= 0:
        return ""
    per_10 = plan.gauge_stitches * 10 / plan.over_cm
    off = length(around * 0.5 / per_10, unit, 2 if unit == "in" else 1)
    return paragraph(
        f"Gauge: half a stitch off in {ten_words(unit)}, which is ordinary, moves "
        f"{length(around, unit)} "
        f"{unit} by {off} {unit}.",
        indent="  ",
        first="",
    )


def ten_words(unit: Unit) -> str:
    """Ten centimetres in the unit shown: 3.94 in, never 4."""
    return "10 cm" if unit == "cm" else "3.94 in (10 cm)"


def _sentences(label: str, sentences: tuple[str, ...] | list[str]) -> list[str]:
    return [paragraph(f"{label}: {clean(s)}", indent="  ", first="") for s in sentences]


def _warnings(fit: Fit) -> list[str]:
    """Warnings that all candidates share; the others stand in the table's remarks."""
    return [notice_words(n) for n in shared_notices(fit.candidates)]


def unweighed_words(plan: Plan, names: Sequence[str]) -> str:
    """``not weighed: brim; rib: weighed, but its height was not measured``: why sections have no
    amount of yarn."""
    no_gauge = [s for s in plan.piece.sections if s.swatch is not None and s.gauge.assumed]
    weighed = {s.name: "height" if isinstance(s, Band | Edging) else "gauge" for s in no_gauge}
    told = dict.fromkeys(names)
    never = [clean(name) for name in told if name not in weighed]
    parts = [f"not weighed: {listed(never)}"] if never else []
    parts += [
        f"{clean(name)}: weighed, but its {weighed[name]} was not measured"
        for name in told
        if name in weighed
    ]
    return "; ".join(parts)


def yarn_lines(plan: Plan, fit: Fit) -> list[str]:
    """Each candidate's yarn, or that nobody weighed it."""
    weighed = [c for c in fit.candidates if c.measures.yarn.grams is not None]
    if weighed:
        return [_yarn_line(weighed)]
    parts = fit.candidates[0].measures.yarn.parts if fit.candidates else ()
    known = [part.section for part in parts if part.grams is not None]
    if known:
        unknown = unweighed_words(plan, [part.section for part in parts if part.grams is None])
        each = ", ".join(f"#{c.rank} {_weighed_part(c):.0f} g" for c in fit.candidates)
        return _sentences(
            "Yarn", [f"{listed(list(dict.fromkeys(known)))} {each}; {unknown}, so no total."]
        )
    why = unweighed_words(plan, [part.section for part in parts])
    if "weighed, but" in why:
        return _sentences("Yarn", [f"{why}."])
    return ["Yarn: not weighed."]


def _yarn_line(weighed: list[Candidate]) -> str:
    margin = weighed[0].measures.yarn.margin
    each = ", ".join(f"#{c.rank} {_yarn_words(c.measures.yarn)}" for c in weighed)
    return paragraph(f"Yarn: {each}; with no margin, add {margin:.0%}.", indent="  ", first="")


def _weighed_part(candidate: Candidate) -> float:
    return sum(part.grams or 0.0 for part in candidate.measures.yarn.parts)


def _yarn_words(yarn: Yarn) -> str:
    metres = "" if yarn.metres is None else f" ({yarn.metres:.0f} m)"
    return f"{yarn.grams or 0.0:.0f} g{metres}"


def remarks_below(plan: Plan) -> list[str]:
    """Notes on how the brief was read, then the cautions."""
    return [*_sentences("Note", plan.notes), *_sentences("Caution", list(cautions(plan)))]


def beside_lines(plan: Plan) -> list[str]:
    """What a person must still be told when the output is for a program, a line each."""
    lines = [f"Assumed: {clean(s)}" for s in plan.assumptions]
    lines += [f"Note: {clean(s)}" for s in plan.notes]
    return lines + [f"Caution: {s}" for s in cautions(plan)]


WHY = "`evenround why` tells more, and writes the brief with a way out in it."


def impossible_words(plan: Plan, fit: Fit, unit: Unit) -> str:
    """What conflicts and the first ways out, or else what to give up; and what comes near."""
    from .why.short import short_words  # which itself stands on this module

    where = f", {clean(plan.size)}" if len(plan.sizes) > 1 else ""
    lines = [paragraph(f"{clean(plan.title)}{where}: no design meets every requirement.")]
    told = short_words(plan, fit.near_misses, unit) or [
        giving_up_words(requirements_words(fit.mends))
    ]
    lines += [paragraph(line) for line in told]
    lines.append(WHY)
    if block := near_miss_block(plan, fit, unit):
        lines += ["", block]
    lines += ["", *_sentences("Assumed", plan.assumptions), *remarks_below(plan)]
    while not lines[-1]:
        lines.pop()
    return "\n".join(lines)
