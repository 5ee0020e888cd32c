"""What the command line means before typer sees it: a bare ``--example`` is the garden hat."""

from __future__ import annotations

from collections.abc import Sequence

EXAMPLES = ("garden", "bucket", "cowl")


def spelled_out(arguments: Sequence[str]) -> list[str]:
    """The arguments with ``--example`` alone made ``--example=garden``.

    The word after it belongs to it unless it is another option or there is none.
    """
    out: list[str] = []
    for place, word in enumerate(arguments):
        if word == "--":
            return [*out, *arguments[place:]]
        following = arguments[place + 1] if place + 1 < len(arguments) else "-"
        if word == "--example" and following.startswith("-"):
            word = "--example=garden"
        out.append(word)
    return out
