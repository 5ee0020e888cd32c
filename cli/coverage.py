"""``evenround coverage``: which heads the sizes of a pattern serve."""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum
from typing import TYPE_CHECKING, Annotated

import typer

from .briefs import check_source, loaded
from .errors import Exit, RefusalError, note
from .files import check_out, hand_over
from .options import BriefName, Force, Format, OutFile, Units

if TYPE_CHECKING:
    from evenround.tables.brief import Brief
    from evenround.tables.coverage import Coverage, SizeHeads
    from evenround.tables.plan import Plan, Unit


class Hats(StrEnum):
    """Which hats are looked at."""

    FITTED = "fitted"
    FAMILY = "family"
    WISHED = "wished"


HOW = {
    Hats.FITTED: "Each size's best hat, as `evenround fit` finds it.",
    Hats.FAMILY: "The sizes of the best family, as `evenround grade` finds it.",
    Hats.WISHED: "Hats just as wide as the brief wishes.",
}


def coverage(
    brief: BriefName = None,
    example: Annotated[
        str | None,
        typer.Option(
            metavar="[garden|bucket]",
            help="A built-in brief instead; bare: garden.",
            show_default=False,
        ),
    ] = None,
    hats: Annotated[
        Hats, typer.Option(help="Hats as fit or grade finds them, or as wished.")
    ] = Hats.FITTED,
    format: Annotated[Format, typer.Option(help="What to write.")] = Format.TABLE,
    units: Annotated[
        Units | None, typer.Option(help="Show lengths in these.", show_default=False)
    ] = None,
    out: OutFile = None,
    force: Force = False,
) -> None:
    """Which heads each size serves, and the gaps between sizes."""
    check_out(out, force=force)
    check_source(brief, example, flags=False)
    found = loaded(brief, example)
    plans = _plans(found)
    sizes, notes = _heads(found, plans, hats)
    if not sizes:
        raise RefusalError(
            f"{found.source}: no size has a hat; `evenround coverage ... --hats wished` looks at "
            "the sizes as wished"
        )
    from evenround.tables.cautions import cautions
    from evenround.tables.coverage import coverage as covered
    from evenround.tables.coverage_page import sources

    notes += dict.fromkeys(each for plan in plans for each in cautions(plan))
    unit: Unit = plans[0].unit if units is None else units.value
    text = _written(covered(sizes), HOW[hats], format.value, unit, plans[0].title, notes)
    hand_over(text, out, force=force, format="text" if format is Format.TABLE else format.value)
    if format is Format.CSV:
        for sentence in (*notes, *sources()):
            note(f"evenround: {sentence}")
    raise typer.Exit(Exit.IN_PART if len(sizes) < len(plans) else Exit.DONE)


def _plans(found: Brief) -> list[Plan]:
    """A plan a size; a refusal where the sizes are of no heads."""
    from evenround.tables.brief import plan

    plans = [plan(found, size) for size in found.sizes]
    for each in plans:
        if each.head_cm is None:
            raise RefusalError(
                f"{found.source}: size {each.size}: found a circumference and no head; coverage is "
                "about heads, so sizes with head and ease would be right"
            )
    return plans


def _heads(found: Brief, plans: Sequence[Plan], hats: Hats) -> tuple[list[SizeHeads], list[str]]:
    """The heads of every size that has a hat, and a sentence for each that has none."""
    from evenround.solver.sure import heads_served
    from evenround.tables.coverage import SizeHeads

    arounds, notes = _arounds(found, plans, hats)
    sizes = []
    for plan, around in zip(plans, arounds, strict=True):
        if around is not None:
            head, ease = plan.head_cm or 0.0, plan.ease_cm or 0.0
            heads = heads_served(around, ease, plan.piece.limits.around_cm, plan.stretch)
            sizes.append(SizeHeads(plan.size, head, around, heads))
    return sizes, notes


def _arounds(
    found: Brief, plans: Sequence[Plan], hats: Hats
) -> tuple[Sequence[float | None], list[str]]:
    """Every size's finished circumference, None where it has no hat, and what is to be said."""
    if hats is Hats.WISHED:
        return [plan.piece.around_cm for plan in plans], []
    if hats is Hats.FAMILY:
        return _of_family(found)
    arounds, notes = [], []
    for plan in plans:
        around, why = _fitted(plan)
        arounds.append(around)
        if around is None:
            notes.append(f"{plan.size}: {why}, so it is left out")
    return arounds, notes


def _fitted(plan: Plan) -> tuple[float | None, str]:
    """The finished circumference of a size's best hat; None where there is none, and why."""
    from evenround.solver import fit

    found = fit(plan.piece, best=1, near=False)
    if found.candidates:
        return found.candidates[0].measures.around_cm, ""
    late = found.status == "unproven"
    return None, "no hat was found in time" if late else "no hat meets the brief"


def _of_family(found: Brief) -> tuple[list[float | None], list[str]]:
    """The circumferences of the best family's sizes; a refusal (exit 4) where there is none."""
    from evenround.solver.grade import grade
    from evenround.tables.brief import BriefError, family_of

    try:
        plans, rules = family_of(found)
    except BriefError as error:
        raise RefusalError(str(error)) from None
    graded = grade([plan.piece for plan in plans], rules, best=1)
    if not graded.families:
        impossible = graded.status == "impossible"
        why = "no family meets the brief" if impossible else "no family was found in time"
        code = Exit.IMPOSSIBLE if impossible else Exit.NO_PROOF
        raise RefusalError(f"{found.source}: {why}; `evenround grade` says more", code)
    members = graded.families[0].members
    notes = [] if graded.status == "proven" else ["the family is not proven the best"]
    return [member.measures.around_cm for member in members], notes


def _written(
    found: Coverage, how: str, format: str, unit: Unit, title: str, notes: Sequence[str]
) -> str:
    from evenround.tables import coverage_page as page

    if format == "json":
        return page.to_json(found, notes)
    if format == "csv":
        return page.to_csv(found, unit)
    if format == "markdown":
        return page.to_markdown(found, how, unit, title, notes)
    return page.to_text(found, how, unit, title, notes)
