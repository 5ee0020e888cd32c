"""Trade tables; counts into words and tables, words into counts.

The front door: each name is loaded when it is first asked for, so that help and the starter
brief load neither pydantic nor pandas.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from .brief import (
        Brief,
        BriefError,
        Flags,
        brief_from_flags,
        example_brief,
        read_brief,
        starter_text,
        with_flags,
    )
    from .frame import candidates_frame
    from .notebook import Shown, shown
    from .plan import Plan

__all__ = [
    "Brief",
    "BriefError",
    "Flags",
    "Plan",
    "Shown",
    "brief_from_flags",
    "candidates_frame",
    "example_brief",
    "read_brief",
    "shown",
    "starter_text",
    "with_flags",
]

_HOMES = {
    "candidates_frame": "frame",
    "Plan": "plan",
    "Shown": "notebook",
    "shown": "notebook",
    "starter_text": "brief_starter",
}


def __getattr__(name: str) -> Any:
    """The public name, from the module it lives in (``brief`` unless listed)."""
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f".{_HOMES.get(name, 'brief')}", __name__), name)
