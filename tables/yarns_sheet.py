"""A file of yarns as lines of cells: CSV, TSV or XLSX, told apart by what is in it.

Promises lists of text with the number of the line each began on, or a YarnsError. Text is read
with the csv module; its separator is the one with which the heading names the columns.
"""

from __future__ import annotations

import csv
import io
import warnings
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass

LARGEST_BYTES = 20_000_000
LARGEST_UNPACKED = 300_000_000
SEPARATORS = {",": "a comma", ";": "a semicolon", "\t": "a tab"}
ZIP, OLD_SHEET = b"PK\x03\x04", b"\xd0\xcf\x11\xe0"


class YarnsError(ValueError):
    """A file of yarns that cannot be used at all; the text is for the person who made it."""


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a file: its number (from 1), its cells as text without spaces around them, and
    what is wrong where it could not be read to its end."""

    number: int
    cells: tuple[str, ...]
    fault: str | None = None

    @property
    def empty(self) -> bool:
        """Whether nothing stands in it."""
        return not any(self.cells) and self.fault is None


def lines_of(data: bytes, source: str, is_heading: Callable[[tuple[str, ...]], bool]) -> list[Line]:
    """Every line that is not empty, the heading first.

    ``is_heading`` says whether cells are the heading that is looked for; it decides the
    separator. YarnsError for a file that is empty, too large, or no table.
    """
    if len(data) > LARGEST_BYTES:
        raise YarnsError(
            f"{source}: found {len(data):,} bytes; a file of yarns has at most {LARGEST_BYTES:,}"
        )
    if data.startswith(OLD_SHEET):
        raise YarnsError(f"{source}: found an old spreadsheet; save it as XLSX, CSV or TSV")
    if data.startswith(ZIP):
        lines = [line for line in _sheet_lines(data, source) if not line.empty]
    else:
        lines = _text_lines(_text(data, source), is_heading)
    if not lines:
        right = "a heading and a row for each yarn would be right"
        raise YarnsError(f"{source}: found nothing; {right}")
    return lines


def _text(data: bytes, source: str) -> str:
    wide = data.startswith((b"\xff\xfe", b"\xfe\xff"))
    try:
        return data.decode("utf-16" if wide else "utf-8-sig")
    except UnicodeDecodeError as error:
        raise YarnsError(
            f"{source}: found a byte that is not UTF-8 (byte {error.start + 1}); save the file as "
            "UTF-8 text"
        ) from None


def _text_lines(text: str, is_heading: Callable[[tuple[str, ...]], bool]) -> list[Line]:
    """The lines, cut by the first separator that makes the heading; a comma where none does."""
    for separator in SEPARATORS:
        first = next((line for line in _cut(text, separator) if not line.empty), None)
        if first is not None and is_heading(first.cells):
            break
    else:
        separator = ","
    return [line for line in _cut(text, separator) if not line.empty]


def _cut(text: str, separator: str) -> Iterator[Line]:
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    while True:
        number = reader.line_num + 1
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error:
            fault = "a quotation mark is not closed, or stands inside a cell; nothing after is read"
            yield Line(number, (), fault)
            return
        yield Line(number, tuple(cell.strip() for cell in cells))


def _sheet_lines(data: bytes, source: str) -> Iterator[Line]:
    """The first sheet of an XLSX file; numbers as they would be typed."""
    try:
        from openpyxl import load_workbook
    except ImportError:
        raise YarnsError(
            f"{source}: to read XLSX the package openpyxl is needed (pip install openpyxl); CSV or "
            "TSV is read without"
        ) from None
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            unpacked = sum(each.file_size for each in packed.infolist())
        if unpacked > LARGEST_UNPACKED:
            what = f"{unpacked:,} bytes unpacked"
            raise YarnsError(f"{source}: found {what}; a file of yarns is smaller")
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # about styles and the like, which nobody needs here
            book = load_workbook(io.BytesIO(data), read_only=True, data_only=True)
            sheet = book.worksheets[0]
            sheet.reset_dimensions()
            rows = [tuple(row) for row in sheet.iter_rows(values_only=True)]
            book.close()
    except YarnsError:
        raise
    except Exception:  # whatever is wrong inside somebody's file, it is no sheet
        right = "save it as XLSX or CSV"
        raise YarnsError(f"{source}: found no sheet that can be read; {right}") from None
    for number, row in enumerate(rows, 1):
        yield Line(number, tuple(_typed(value) for value in row))


def _typed(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, float) and value == int(value):
        return str(int(value))
    return str(value).strip()
