"""Colour as an aid only: headings in bold on a terminal, never in a pipe or with NO_COLOR."""

from __future__ import annotations

import os
import re
import sys

BOLD, PLAIN = "\x1b[1m", "\x1b[0m"
_HEADING = re.compile(r"^(?:[A-Z][^\n]*:$|(?:Warning|Caution):)", re.MULTILINE)


def wanted() -> bool:
    """Whether stdout is a terminal that may be given colour."""
    if os.environ.get("NO_COLOR") or os.environ.get("TERM") == "dumb":
        return False
    return sys.stdout.isatty()


def embolden(text: str) -> str:
    """Headings, warnings and cautions in bold; the text stays the same."""
    return _HEADING.sub(lambda match: f"{BOLD}{match[0]}{PLAIN}", text)
