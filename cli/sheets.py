"""``--format xlsx``: what has to be there before any work is done for a workbook."""

from __future__ import annotations

import sys
from importlib.util import find_spec

from .errors import RefusalError
from .files import STDOUT


def check_sheet(format: str, out: str | None) -> None:
    """Refuse a workbook for the terminal, or without the package that makes one.

    Raises RefusalError (exit 2).
    """
    if format != "xlsx":
        return
    if out is None or (out == STDOUT and sys.stdout.isatty()):
        raise RefusalError(
            "--format: xlsx is a workbook and no text for a terminal; with --out FILE.xlsx it "
            "would be right"
        )
    if find_spec("openpyxl") is None:
        raise RefusalError(
            "--format: xlsx needs the Python package openpyxl, which is not installed; `pip "
            "install openpyxl` would do, or evenround with its extra xlsx"
        )
