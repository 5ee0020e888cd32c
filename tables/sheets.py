"""Tables as a workbook (XLSX): typed columns, a number as a number, a text as a text.

Knows nothing of hats: what stands on the sheets comes from sheets_fit, sheets_grade, sheets_rank
and sheets_adapt. Promises that a text is never a formula, whatever it begins with, and that the
same sheets give the same bytes: no date of today's is written. openpyxl is imported late.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from .export import PLACES
from .safe import looks_like_formula

if TYPE_CHECKING:
    from openpyxl import Workbook
    from openpyxl.cell import Cell, MergedCell
    from openpyxl.worksheet.worksheet import Worksheet
    from pandas import DataFrame

Value = str | int | float | bool | None
WIDEST, NARROWEST = 60, 6
LONGEST_NAME = 31  # characters of a sheet's name, and none of these:
_NOT_IN_NAMES = re.compile(r"[\[\]:*?/\\]")
_NOT_IN_XML = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\ud800-\udfff\ufffe\uffff]")
_TODAY = re.compile(rb"(<dcterms:\w+ [^>]*>)[^<]*")
EPOCH = (1980, 1, 1, 0, 0, 0)  # the first moment a ZIP can name
WHOLE, ANY = "0", "General"
FORMATS = {"change": "+0;-0;0", "change_sts": "0.0", "count_in": WHOLE, "chance": "0%"}
"""Columns whose format does not follow from the end of their name."""


@dataclass(frozen=True, slots=True)
class Column:
    """A heading, and the number format of what stands below it; None where that is text."""

    heading: str
    format: str | None = None


@dataclass(frozen=True, slots=True)
class Sheet:
    """A named table. ``frozen`` columns stay in sight when the others are scrolled."""

    name: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Value, ...], ...]
    frozen: int = 1


def number_format(name: str) -> str:
    """The number format of a column by its name, which ends in its unit: ``0.00``, signed where
    it is a miss, ``0`` where it is a count."""
    words = name.split("_")
    places = PLACES.get(words[-1])
    if name in FORMATS or places is None:
        return FORMATS.get(name, WHOLE)
    shown = "0." + "0" * places
    return f"+{shown};-{shown};{shown}" if "miss" in words else shown


def column(name: str) -> Column:
    """The column of numbers of that name, as CSV calls it."""
    return Column(name.replace("_", " "), number_format(name))


def text_column(name: str) -> Column:
    """The column of texts of that name."""
    return Column(name.replace("_", " "))


def frame_sheet(name: str, frame: DataFrame, frozen: int = 1) -> Sheet:
    """A frame as a sheet, its columns typed as the frame's; columns without a value left out."""
    columns: list[Column] = []
    cells: list[list[Value]] = []
    for label in frame.columns:
        missing = frame[label].isna()
        if missing.all():
            continue
        texts = str(frame[label].dtype) in ("string", "str", "boolean")
        columns.append(text_column(label) if texts else column(label))
        values = zip(frame[label].tolist(), missing, strict=True)
        cells.append([None if gone else value for value, gone in values])
    return Sheet(name, tuple(columns), tuple(zip(*cells, strict=True)), frozen)


def records_sheet(
    name: str, records: Sequence[dict[str, Any]], texts: Iterable[str], frozen: int = 1
) -> Sheet:
    """Records with the same keys as a sheet; ``texts`` are the keys of texts."""
    kept = [key for key in records[0] if any(r[key] not in (None, "") for r in records)]
    known = set(texts)
    columns = tuple(text_column(key) if key in known else column(key) for key in kept)
    return Sheet(name, columns, tuple(tuple(r[key] for key in kept) for r in records), frozen)


def sheet_names(names: Sequence[str], taken: Sequence[str] = ()) -> list[str]:
    """Names a workbook can bear, each another, for anybody's names of sizes; ``taken`` stand on
    other sheets."""
    used = {name.casefold() for name in taken} | {"history"}  # which spreadsheets keep
    found = []
    for name in names:
        plain = _NOT_IN_NAMES.sub("-", _NOT_IN_XML.sub("", name)).strip("' ") or "size"
        made, number = plain[:LONGEST_NAME].rstrip("' "), 1
        while made.casefold() in used:
            number += 1
            ending = f" ({number})"
            made = plain[: LONGEST_NAME - len(ending)] + ending
        used.add(made.casefold())
        found.append(made)
    return found


def workbook(sheets: Sequence[Sheet], title: str) -> bytes:
    """The whole file. ``title`` is what the document calls itself."""
    from openpyxl import Workbook

    book = Workbook()
    book.remove(book.worksheets[0])
    book.properties.title = _NOT_IN_XML.sub("", title)
    book.properties.creator = "evenround"
    for sheet in sheets:
        _fill(book.create_sheet(sheet.name), sheet)
    return _bytes_of(book)


def _bytes_of(book: Workbook) -> bytes:
    """The workbook packed again without the time of day, which openpyxl writes into it."""
    packed, out = io.BytesIO(), io.BytesIO()
    book.save(packed)
    with zipfile.ZipFile(packed) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for entry in old.infolist():
            data = old.read(entry)
            if entry.filename == "docProps/core.xml":
                data = _TODAY.sub(rb"\g<1>1980-01-01T00:00:00Z", data)
            info = zipfile.ZipInfo(entry.filename, EPOCH)
            info.compress_type = zipfile.ZIP_DEFLATED
            new.writestr(info, data)
    return out.getvalue()


def _fill(page: Worksheet, sheet: Sheet) -> None:
    from openpyxl.styles import Alignment, Font
    from openpyxl.utils import get_column_letter

    bold, top = Font(bold=True), Alignment(vertical="top")
    wrapped = Alignment(wrap_text=True, vertical="top")
    for place, each in enumerate(sheet.columns, 1):
        head = page.cell(1, place)
        _put(head, each.heading)
        head.font, head.alignment = bold, wrapped
        width = _width(each, [row[place - 1] for row in sheet.rows])
        page.column_dimensions[get_column_letter(place)].width = width
    for number, row in enumerate(sheet.rows, 2):
        tall = any(isinstance(value, str) and len(value) > WIDEST for value in row)
        for place, (value, each) in enumerate(zip(row, sheet.columns, strict=True), 1):
            if value is None:
                continue
            cell = page.cell(number, place)
            _put(cell, value)
            if each.format is not None:
                cell.number_format = each.format
            if tall:  # set only where it shows: a style a cell takes its time
                cell.alignment = wrapped if isinstance(value, str) else top
    page.freeze_panes = f"{get_column_letter(sheet.frozen + 1)}2"
    if sheet.rows:
        page.auto_filter.ref = page.dimensions


def _put(cell: Cell | MergedCell, value: str | int | float | bool) -> None:
    """A value as what it is: a text that looks like a formula, or like an error, is a text."""
    if not isinstance(value, str):
        cell.value = value
        return
    text = _NOT_IN_XML.sub("", value)
    cell.value = text
    cell.data_type = "s"
    if looks_like_formula(text):
        cell.quotePrefix = True  # so that it stays one when somebody edits it


def _width(each: Column, values: Iterable[Value]) -> int:
    """How wide a column has to be, in characters; longer texts and headings are wrapped."""
    longest = max((len(_shown(each, value)) for value in values if value is not None), default=0)
    heading = max(len(word) for word in (*each.heading.split(), ""))
    return min(max(longest, heading + 2, NARROWEST), WIDEST) + 2  # + 2: the sign of a filter


def _shown(each: Column, value: str | int | float | bool) -> str:
    if isinstance(value, str) or each.format is None:
        return str(value)
    if each.format == ANY:
        return f"{value:+.6g}"
    places = len(each.format.split(";")[0].partition(".")[2])
    return f"{value:+.{places}f}"
