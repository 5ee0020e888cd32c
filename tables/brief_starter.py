"""The starter brief's text, by itself so that writing it out loads nothing else."""

from __future__ import annotations

from importlib.resources import files


def starter_text() -> str:
    """A commented brief to begin from (data/starter.toml)."""
    return (files("evenround.tables") / "data" / "starter.toml").read_text(encoding="utf-8")
