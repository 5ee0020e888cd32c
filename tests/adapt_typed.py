"""``evenround adapt`` as typed, for the tests of its pages."""

from __future__ import annotations

import json
from typing import Any

import pytest

from evenround.cli import main


def typed(capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    """Exit code, stdout, stderr."""
    code = main(["adapt", *words])
    caught = capsys.readouterr()
    return code, caught.out, caught.err


def as_json(capsys: pytest.CaptureFixture[str], *words: str) -> Any:
    code, out, err = typed(capsys, *words, "--format", "json")
    assert (code, err) == (0, "")
    return json.loads(out)
