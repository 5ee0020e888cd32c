"""``evenround adapt``: a design to another repeat, figure, head, gauge or number of sectors."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from .audit import Vocabulary, read_pattern_text
from .errors import Exit, RefusalError, say
from .files import check_out, hand_over
from .options import MOST, Force, OutFile, SheetFormat, Units, check_pick, check_seconds, flag
from .sheets import check_sheet

if TYPE_CHECKING:
    from evenround.solver.candidate import Fit
    from evenround.tables.adapt.answer import Answer, Option
    from evenround.tables.adapt.ask import Changes
    from evenround.tables.adapt.original import Original
    from evenround.tables.brief import Brief
    from evenround.tables.plan import Plan, Unit


def adapt(
    source: Annotated[
        str,
        typer.Argument(metavar="SOURCE", help="A brief (.toml) or a written pattern; - reads it."),
    ],
    repeat: Annotated[str | None, flag("The band's new multiple.", "M")] = None,
    figure: Annotated[str | None, flag("The band's new figure, by name.", "NAME")] = None,
    head: Annotated[str | None, flag("Another head circumference.", "LENGTH")] = None,
    ease: Annotated[str | None, flag("Finished size minus head.", "LENGTH")] = None,
    gauge: Annotated[str | None, flag("Another gauge, as '19 x 15 / 10cm'.", "GAUGE")] = None,
    sectors: Annotated[str | None, flag("Other sectors of the crown.", "N")] = None,
    band_only: Annotated[
        bool, typer.Option("--band-only", help="Keep all above the band; a nudge before it.")
    ] = False,
    best: Annotated[int, typer.Option(metavar="K", help="How many to list.")] = 5,
    pick: Annotated[int, typer.Option(metavar="N", help="Which candidate of a brief.")] = 1,
    size: Annotated[str | None, flag("Which size of the source.", "NAME")] = None,
    terms: Annotated[
        Vocabulary, typer.Option(help="Terms of a pattern; auto: guessed, and said.")
    ] = Vocabulary.AUTO,
    write: Annotated[int | None, flag("Also write the new rounds of that way.", "N")] = None,
    format: Annotated[SheetFormat, typer.Option(help="What to write.")] = SheetFormat.TABLE,
    units: Annotated[
        Units | None,
        typer.Option(help="Show lengths in these; bare numbers too.", show_default=False),
    ] = None,
    time_limit: Annotated[float, typer.Option(metavar="S", help="Seconds for a brief.")] = 10.0,
    out: OutFile = None,
    force: Force = False,
) -> None:
    """Adapt a design: the nearest ones that satisfy a change.

    Those that change least come first.

    Exit codes: 0 done; 1 part of the pattern was not understood; 2 nothing was; 4 no near design
    satisfies the change, and what comes nearest is shown.
    """
    check_out(out, force=force)
    check_sheet(format.value, out)
    _check_numbers(best, pick, write, time_limit, format)
    from evenround.tables.adapt.ask import Changes

    changes = Changes(repeat, figure, head, ease, gauge, sectors, band_only)
    if not changes.given:
        raise RefusalError(
            "SOURCE: nothing is to change; say --repeat, --figure, --head, --ease, --gauge or "
            "--sectors"
        )
    text = _text(source)
    wanted: Unit | None = None if units is None else units.value
    if _is_brief(source, text):
        made = _from_brief(source, text, changes, size, pick, best, time_limit, wanted)
        if isinstance(made, tuple):
            _data_of_none(made[0], changes, format, out, force=force)
            raise typer.Exit(_no_design(*made, wanted))
        answer = made
    else:
        if pick != 1:
            raise RefusalError("--pick: a written pattern is one design; it goes with a brief")
        answer = _from_pattern(source, text, terms, changes, size, wanted, best)
    unit: Unit = wanted or (answer.plan.unit if answer.plan is not None else _unit_of(changes))
    content = _written(answer, _chosen(answer, write), format, unit)
    hand_over(content, out, force=force, format=format.value)
    raise typer.Exit(_ending(answer, time_limit))


def _text(source: str) -> str:
    """The source's text; what is wrong with the file is told of SOURCE."""
    try:
        return read_pattern_text(source)
    except RefusalError as error:
        raise RefusalError(str(error).replace("FILE:", "SOURCE:", 1), error.code) from None


def _check_numbers(
    best: int, pick: int, write: int | None, time_limit: float, format: SheetFormat
) -> None:
    if not 1 <= best <= MOST:
        raise RefusalError(f"--best: {best} is not between 1 and {MOST}")
    check_pick(pick)
    check_seconds(time_limit)
    if write is None:
        return
    if not 1 <= write <= best:
        raise RefusalError(f"--write: {write} is not a number of the list; 1 to {best} would be")
    if format in (SheetFormat.CSV, SheetFormat.XLSX):
        raise RefusalError(
            f"--write: words do not go with --format {format.value}; another would be right"
        )


def _is_brief(source: str, text: str) -> bool:
    """A brief by its name, or a text that is TOML with the tables of one."""
    if source.lower().endswith(".toml"):
        return True
    import tomllib

    try:
        return "sections" in tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError):
        return False


def _from_brief(
    source: str,
    text: str,
    changes: Changes,
    size: str | None,
    pick: int,
    best: int,
    time_limit: float,
    unit: Unit | None,
) -> Answer | tuple[Plan, Fit]:
    from evenround.tables.adapt.ask import AskError
    from evenround.tables.adapt.from_brief import adapted_brief
    from evenround.tables.brief import BriefError

    try:
        brief = _brief(source, text)
        return adapted_brief(brief, changes, size, pick, best, time_limit, unit)
    except (BriefError, AskError) as error:
        raise RefusalError(str(error)) from None


def _brief(source: str, text: str) -> Brief:
    from evenround.tables.brief import read_brief

    return read_brief(text.encode(), source)


def _from_pattern(
    source: str,
    text: str,
    terms: Vocabulary,
    changes: Changes,
    size: str | None,
    wanted: Unit | None,
    best: int,
) -> Answer:
    from evenround.tables.adapt.answer import adapted
    from evenround.tables.adapt.ask import AskError

    original = _read(source, text, terms, size)
    try:
        return adapted(original, changes, wanted or _unit_of(changes), best, wanted or "cm")
    except AskError as error:
        raise RefusalError(str(error)) from None


def _read(source: str, text: str, terms: Vocabulary, size: str | None) -> Original:
    from evenround.tables.adapt.infer import NothingReadError, original_of
    from evenround.tables.rounds.reader import ReadError, read_pattern

    try:
        title = "standard input" if source == "-" else source
        return original_of(read_pattern(text, terms.value), title, size)
    except (ReadError, NothingReadError) as error:
        raise RefusalError(f"SOURCE: {source}: {error}") from None
    except ValueError as error:
        raise RefusalError(f"--size: {error}") from None


def _unit_of(changes: Changes) -> Unit:
    """Inches where the lengths asked for are in inches."""
    said = " ".join(filter(None, (changes.head, changes.ease, changes.gauge))).lower()
    return "in" if "in" in said or '"' in said else "cm"


def _chosen(answer: Answer, write: int | None) -> Option | None:
    if write is None or not answer.options:
        return None
    if write > len(answer.options):
        raise RefusalError(f"--write: there is no number {write}; there are {len(answer.options)}")
    return answer.options[write - 1]


def _written(answer: Answer, chosen: Option | None, format: SheetFormat, unit: Unit) -> str | bytes:
    from evenround.tables.adapt import export, page
    from evenround.tables.safe import fenced

    if format is SheetFormat.XLSX:
        from evenround.tables.sheets_adapt import adapt_workbook

        return adapt_workbook(answer, unit)
    if format is SheetFormat.CSV:
        return export.to_csv(answer)
    if format is SheetFormat.JSON:
        return _json(answer, chosen)
    if format is SheetFormat.MARKDOWN:
        text = export.to_markdown(answer, unit)
        return text if chosen is None else f"{text}\n{fenced(_rounds(answer, chosen, unit))}\n"
    text = page.to_text(answer, unit)
    return text if chosen is None else f"{text}\n{_rounds(answer, chosen, unit)}"


def _json(answer: Answer, chosen: Option | None) -> str:
    from evenround.tables.adapt import export, rewrite

    if chosen is None:
        return export.to_json(answer)
    if answer.plan is not None:
        raise RefusalError(
            "--write: a brief's rounds in JSON are `evenround write`'s; table or markdown would be "
            "right here"
        )
    return export.to_json(answer, rewrite.new_rounds(answer, chosen))


def _rounds(answer: Answer, chosen: Option, unit: Unit) -> str:
    """The new rounds: of a brief the whole pattern, of a pattern from the first change on."""
    from evenround.tables.adapt import rewrite

    if answer.plan is None:
        return rewrite.text(answer, chosen)
    from evenround.solver.candidate import Candidate
    from evenround.tables.pattern import to_text, write_pattern

    assert chosen.measures is not None
    candidate = Candidate(chosen.rank, chosen.tally, chosen.measures, pareto=False)
    return to_text(write_pattern(answer.plan, candidate, unit=unit))


def _ending(answer: Answer, time_limit: float) -> Exit:
    if not answer.options:
        return Exit.IMPOSSIBLE
    if answer.unproven:
        say(f"evenround: no proof within {time_limit:g} s; what is listed is the best found so far")
        return Exit.NO_PROOF
    return Exit.DONE if answer.original.complete else Exit.IN_PART


def _data_of_none(
    made: Plan, changes: Changes, format: SheetFormat, out: str | None, *, force: bool
) -> None:
    """For a program, that there is no candidate; people are told on stderr."""
    from evenround.tables.adapt.export import CSV_HEAD, none_json

    if format is SheetFormat.JSON:
        hand_over(none_json(made, changes), out, force=force, format=format.value)
    elif format is SheetFormat.CSV:
        hand_over(CSV_HEAD, out, force=force, format=format.value)


def _no_design(made: Plan, found: Fit, unit: Unit | None) -> Exit:
    """The brief, or the changed brief, has no design: why, and what comes near."""
    if found.status == "unproven":
        say("evenround: nothing found in the time, and nothing proven impossible")
        return Exit.NO_PROOF
    from evenround.tables.underneath import impossible_words

    say(impossible_words(made, found, unit or made.unit))
    return Exit.IMPOSSIBLE
