"""Ready sizes: heads a brief may call by name, each with its source (data/ready_sizes.csv).

A head is all such a size says; its depth follows the trade's rule unless the brief says one.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from .facts import table


@dataclass(frozen=True, slots=True)
class ReadySize:
    """One row: the name as it is shown, the head in cm, what that head is and who says so.

    ``us`` has the US hat numbers of a lettered size, empty for the others.
    """

    name: str
    head_cm: float
    head_is: str
    us: str
    source: str


@cache
def ready_sizes() -> tuple[ReadySize, ...]:
    """Every ready size, smallest wearers first, then the lettered ones."""
    return tuple(
        ReadySize(r["name"], float(r["head_cm"]), r["head_is"], r["us"], r["source"])
        for r in table("ready_sizes")
    )


def ready_size(name: str) -> ReadySize | None:
    """The ready size of that name, whatever its case; None where there is none."""
    wanted = " ".join(name.split()).casefold()
    return next((size for size in ready_sizes() if size.name.casefold() == wanted), None)


def ready_names() -> str:
    """All names in one phrase, for messages."""
    return ", ".join(size.name for size in ready_sizes())
