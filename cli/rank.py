"""``evenround rank``: which yarns suit a design, size by size."""

from __future__ import annotations

import sys
from collections.abc import Callable
from contextlib import AbstractContextManager, nullcontext
from time import monotonic
from types import TracebackType
from typing import TYPE_CHECKING, Annotated, Any

import typer

from .briefs import check_source, loaded
from .errors import Exit, RefusalError, note, quiet, say
from .files import check_out, hand_over, read_file
from .options import (
    MACHINE,
    MOST,
    BriefName,
    ExampleName,
    Force,
    OutFile,
    SheetFormat,
    ShownIn,
    check_seconds,
    flag,
)
from .sheets import check_sheet

if TYPE_CHECKING:
    from evenround.tables.brief import Brief
    from evenround.tables.plan import Unit
    from evenround.tables.rank.outcome import Ranking
    from evenround.tables.yarns import Yarns

LARGEST_FILE = 20_000_000
MOST_FAULTS = 40
PATIENCE = 1.0  # seconds before a progress bar is worth a look


def rank(
    brief: BriefName = None,
    yarns: Annotated[
        str | None, flag("Yarns: CSV, TSV or XLSX, a row a yarn and stitch.", "FILE")
    ] = None,
    example: ExampleName = None,
    size: Annotated[list[str] | None, flag("Only this size; may be repeated.", "NAME")] = None,
    max_balls: Annotated[
        int | None, flag("Only yarns of which every size made takes no more.", "N")
    ] = None,
    best: Annotated[int, typer.Option(metavar="K", help="How many yarns to list.")] = 5,
    time_limit: Annotated[float, typer.Option(metavar="S", help="Seconds for the proofs.")] = 10.0,
    format: Annotated[SheetFormat, typer.Option(help="What to write.")] = SheetFormat.TABLE,
    units: ShownIn = None,
    out: OutFile = None,
    force: Force = False,
) -> None:
    """Rank the yarns of a file for a design, in all its sizes.

    The design is BRIEF or --example. FILE has the columns name, stitch, stitches, rounds, over;
    hook, ball_grams, ball_metres, swatch_grams, swatch_area where known. Bad rows are named and
    the others go on (exit 1).
    """
    _check_numbers(best, time_limit, max_balls)
    check_out(out, force=force)
    check_sheet(format.value, out)
    if brief is None and example is None:
        raise RefusalError(
            "BRIEF: nothing to work on; name a brief (a TOML file), or try --example bucket; "
            "`evenround sample` writes a brief to start from"
        )
    check_source(brief, example, flags=False)
    if yarns is None:
        raise RefusalError("--yarns: found nothing; a CSV, TSV or XLSX file of yarns is needed")
    found = loaded(brief, example)
    sizes = _sizes(found, size or [])
    rows = _yarns(yarns, found)
    for fault in rows.faults[:MOST_FAULTS]:
        say(f"evenround: {fault}")
    if len(rows.faults) > MOST_FAULTS:
        say(f"evenround: {yarns}: and {len(rows.faults) - MOST_FAULTS:,} more bad rows")
    for sentence in rows.notes:
        note(f"Note: {yarns}: {sentence}")
    ranking = _ranked(found, sizes, rows, best, time_limit, max_balls)
    unit: Unit = found.fields.unit if units is None else units.value
    _hand_over(ranking, found, format, unit, out, force=force)
    raise typer.Exit(_exit(ranking, rows))


def _check_numbers(best: int, time_limit: float, max_balls: int | None) -> None:
    if not 1 <= best <= MOST:
        raise RefusalError(f"--best: {best} is not between 1 and {MOST}")
    check_seconds(time_limit)
    if max_balls is not None and not 1 <= max_balls <= 1000:
        raise RefusalError(f"--max-balls: {max_balls} is not between 1 and 1000")


def _sizes(brief: Brief, said: list[str]) -> list[str]:
    """The sizes asked for in the brief's order, each once; all where none was named."""
    if not said:
        return list(brief.sizes)
    from evenround.tables.brief import BriefError
    from evenround.tables.brief_flags import pick_size

    try:
        picked = {pick_size(brief.fields, name) for name in said}
    except BriefError as error:
        raise RefusalError(str(error)) from None
    return [name for name in brief.sizes if name in picked]


def _yarns(name: str, brief: Brief) -> Yarns:
    from evenround.tables.brief import plan
    from evenround.tables.yarns import YarnsError, read_yarns

    sections = [section.name for section in plan(brief, brief.sizes[0]).piece.sections]
    try:
        data = read_file(name, "--yarns", "a CSV, TSV or XLSX file", LARGEST_FILE)
        return read_yarns(data, name, brief.fields.terms, sections)
    except YarnsError as error:
        raise RefusalError(str(error)) from None


def _ranked(
    brief: Brief, sizes: list[str], rows: Yarns, best: int, time_limit: float, balls: int | None
) -> Ranking:
    from evenround.tables.rank.outcome import ranking

    with Progress(len(sizes) * len(rows.yarns)) as progress:
        return ranking(
            brief,
            sizes,
            rows.yarns,
            best=best,
            time_limit=time_limit,
            most_balls=balls,
            progress=progress.step,
        )


class Progress:
    """A bar on stderr for work that lasts; nothing in pipes, nothing for a short while."""

    def __init__(self, length: int, clock: Callable[[], float] = monotonic) -> None:
        self.length, self.clock = length, clock
        self.began, self.done = clock(), 0
        self._bar: AbstractContextManager[Any] = nullcontext()
        self._shown: Any = None

    def __enter__(self) -> Progress:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        if self._shown is not None:
            self._bar.__exit__(kind, error, trace)

    def step(self, done: int) -> None:
        """So many pairs more are done."""
        self.done += done
        if self._shown is not None:
            self._shown.update(done)
        elif self.clock() - self.began > PATIENCE and sys.stderr.isatty() and not quiet():
            bar = typer.progressbar(length=self.length, label="scoring", file=sys.stderr)
            self._bar, self._shown = bar, bar.__enter__()
            self._shown.update(self.done)


def _hand_over(
    ranking: Ranking, brief: Brief, format: SheetFormat, unit: Unit, out: str | None, *, force: bool
) -> None:
    from evenround.tables.rank import export
    from evenround.tables.rank.page import below, order_lines, page

    terms = brief.fields.terms
    text: str | bytes
    if format is SheetFormat.XLSX:
        from evenround.tables.sheets_rank import rank_workbook

        text = rank_workbook(ranking, unit, terms)
    elif format is SheetFormat.JSON:
        text = export.to_json(ranking, terms)
    elif format is SheetFormat.CSV:
        text = export.to_csv(ranking, unit)
    elif format is SheetFormat.MARKDOWN:
        text = export.to_markdown(ranking, unit, terms)
    else:
        text = page(ranking, unit, terms)
    hand_over(text, out, force=force, format=format.value)
    if format.value in MACHINE:
        for line in [*order_lines(ranking), *below(ranking)]:
            note(line)


def _exit(ranking: Ranking, rows: Yarns) -> Exit:
    if ranking.useless == ranking.compared:
        return Exit.IMPOSSIBLE
    if not ranking.proven:
        return Exit.NO_PROOF
    return Exit.IN_PART if rows.faults else Exit.DONE
