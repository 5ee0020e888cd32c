"""What the reader refuses, and where in the text."""

from __future__ import annotations


class ReadError(ValueError):
    """A text that cannot be read as rounds; ``column`` counts from 1 within what was read."""

    def __init__(self, message: str, column: int = 1) -> None:
        super().__init__(message)
        self.column = column
