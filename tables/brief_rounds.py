"""A section's own rounds in a brief: a list of texts, read and counted as it is validated.

Apart from the other types because it needs the reader, which is loaded only when a brief writes
rounds.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated, Any

from pydantic import PlainValidator, ValidationInfo

from .brief_faults import Fault, FaultsError, fault
from .brief_types import terms_of

if TYPE_CHECKING:
    from .rounds.figures import FigureRounds

_RIGHT = 'a list of rounds, such as ["*dc in next st, ch 1, sk next st; rep from * around"]'


def _read_rounds(value: object, info: ValidationInfo) -> FigureRounds:
    from .rounds.figures_own import LONGEST, MOST, OwnRoundsError, own_rounds

    if not isinstance(value, list) or not value:
        raise ValueError(_RIGHT)
    if len(value) > MOST:
        raise ValueError(f"a figure has at most {MOST} rounds")
    for place, each in enumerate(value):
        if not isinstance(each, str) or not each.strip():
            raise FaultsError([fault((place,), each, "a round in words would be right")])
        if len(each) > LONGEST:
            right = f"a round has at most {LONGEST:,} characters"
            raise FaultsError([fault((place,), each, right)])
    try:
        return own_rounds(value, "uk" if terms_of(info) == "uk" else "us")
    except OwnRoundsError as error:
        found = fault((error.round,), value[error.round], str(error))
        raise FaultsError([Fault(found.path, found.text)]) from None


OwnRounds = Annotated[Any, PlainValidator(_read_rounds)]
"""Validates to FigureRounds; Any, so that the reader is not loaded for every brief."""
