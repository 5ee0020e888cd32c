"""``evenround adapt`` as typed, for the tests of its pages."""

from __future__ import annotations

import json
from typing import Any

import pytest
import typer

from evenround.cli.adapt import adapt
from evenround.cli.errors import ending

app = typer.Typer(rich_markup_mode=None, pretty_exceptions_enable=False)
app.command()(adapt)


def typed(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    """The command by itself, whether or not it is registered: exit code, stdout, stderr."""

    def work() -> int:
        try:
            typer.main.get_command(app).main(args=list(words), prog_name="evenround adapt")
        except SystemExit as end:
            return end.code if isinstance(end.code, int) else 0
        return 0

    code = ending(work)
    caught = capsys.readouterr()
    return code, caught.out, caught.err


def as_json(capsys: pytest.CaptureFixture[str], *words: str) -> Any:
    code, out, err = typed(capsys, *words, "--format", "json")
    assert (code, err) == (0, "")
    return json.loads(out)
