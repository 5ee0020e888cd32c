"""The typer application: which commands there are. Each command's work is a module of its own."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from typing import Annotated, Any

import typer

from .adapt import adapt
from .arguments import spelled_out
from .audit import audit
from .coverage import coverage
from .draw import draw
from .errors import be_quiet, ending
from .figures import figures
from .files import show
from .fit import fit
from .gauge import gauge
from .grade import grade
from .page import page
from .rank import rank
from .sample import sample
from .spread import CONTEXT as SPREAD_CONTEXT
from .spread import spread
from .why import why
from .write import write

CONTEXT = {"help_option_names": ["-h", "--help"], "max_content_width": 80}

app = typer.Typer(
    name="evenround",
    add_completion=True,
    no_args_is_help=True,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings=CONTEXT,
)
app.command(context_settings=CONTEXT)(fit)
app.command(context_settings=CONTEXT)(sample)
app.command(context_settings=CONTEXT)(write)
app.command(context_settings=CONTEXT)(grade)
app.command(context_settings=CONTEXT)(why)
app.command(context_settings=CONTEXT)(adapt)
app.command(context_settings=CONTEXT)(draw)
app.command(context_settings=CONTEXT)(page)
app.command(context_settings=CONTEXT)(rank)
app.command(context_settings=CONTEXT)(audit)
app.command(context_settings=CONTEXT)(figures)
app.command(context_settings=CONTEXT)(gauge)
app.command(context_settings=CONTEXT)(coverage)
app.command(context_settings=CONTEXT | SPREAD_CONTEXT)(spread)


def _version(wanted: bool) -> None:
    if wanted:
        from importlib.metadata import version

        show(f"evenround {version('evenround')}\n")
        raise typer.Exit


def _quiet(wanted: bool) -> None:
    if wanted:
        be_quiet(True)


@app.callback()
def evenround(
    version: Annotated[
        bool,
        typer.Option("--version", callback=_version, is_eager=True, help="Show the version."),
    ] = False,
    quiet: Annotated[
        bool,
        typer.Option("--quiet", "-q", callback=_quiet, help="Nothing on stderr but errors."),
    ] = False,
) -> None:
    """Stitch counts that come out even, for crochet worked in the round.

    Exit codes: 0 done; 1 done in part; 2 bad input; 3 no proof in time; 4 impossible; 5 an
    internal check failed.
    """


def application() -> Any:
    """The application as typer makes it, every command with the ``--quiet`` of the whole."""
    group: Any = typer.main.get_command(app)
    quiet = next(each for each in group.params if "--quiet" in each.opts)
    quiet.expose_value = False  # its callback does the work; no command has to take it
    for command in group.commands.values():
        command.params.append(quiet)
    return group


def run(arguments: Sequence[str]) -> int:
    """Run the application; the exit code. Never a traceback."""

    be_quiet(False)

    def work() -> int:
        try:
            _dispatch(spelled_out(arguments))
        except SystemExit as end:
            return end.code if isinstance(end.code, int) else 0
        return 0

    code = ending(work)
    if sys.stdout is not None:  # it may have been closed before we began
        sys.stdout.flush()
    return code


def _dispatch(arguments: list[str]) -> None:
    """Hand over to typer, by the shortest way.

    Reading an option's value, typer loads pydantic, which takes longer than all that help or
    the sample brief need; so a command is called itself, not through the group, and a bare
    ``sample``, which has no values to read, not through typer at all.
    """
    if arguments == ["sample"]:
        sample()
        return
    group = application()
    command = group.commands.get(arguments[0]) if arguments else None
    if command is None:
        group.main(args=arguments, prog_name="evenround")
    else:
        command.main(args=arguments[1:], prog_name=f"evenround {arguments[0]}")
