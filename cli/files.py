"""Reading briefs and writing results: whole files or none, never over an existing one unasked."""

from __future__ import annotations

import contextlib
import os
import stat
import sys
import tempfile
from pathlib import Path

from . import colour
from .errors import Exit, RefusalError, note

LARGEST_BRIEF = 1_000_000
"""Bytes; a brief of a hundred sizes takes twenty thousand."""


STDOUT = "-"
"""What ``--out`` calls standard output, and a pattern's name standard input."""

_opened = os.fdopen  # by a name of its own, so that a test can fill the disk
DATA = ("csv", "json", "toml", "html", "svg")
"""Formats that other programs read."""


def read_input(name: str) -> bytes:
    """All bytes of a brief, as ``read_file``."""
    start = f"; `evenround sample --out {name}` would start one"
    return read_file(name, "BRIEF", "a TOML file", LARGEST_BRIEF, missing=start)


def read_file(
    name: str, what: str, right: str, largest: int, *, missing: str = "", stdin: bool = False
) -> bytes:
    """All bytes of a file, or of standard input for ``-`` where that may be.

    Raises RefusalError (exit 2), naming ``what`` and the kind of file that would be ``right``, for
    a missing file (``missing``: what is said more of it), a directory, one larger than so many
    bytes, or unreadable.
    """
    if not name:
        raise RefusalError(f"{what}: found an empty name; the name of {right} would be right")
    try:
        if stdin and name == STDOUT:
            data = sys.stdin.buffer.read(largest + 1)
        elif Path(name).is_dir():
            raise RefusalError(f"{what}: {name} is a directory; {right} would be right")
        else:
            with Path(name).open("rb") as file:
                data = file.read(largest + 1)
    except FileNotFoundError:
        raise RefusalError(f"{what}: there is no file {name}{missing}") from None
    except (OSError, ValueError) as error:
        raise RefusalError(f"{what}: {name} cannot be read: {_reason(error)}") from None
    if len(data) > largest:
        size = 0 if name == STDOUT else Path(name).stat().st_size
        has = f"{size:,}" if size > largest else f"more than {largest:,}"
        raise RefusalError(f"{what}: {name} has {has} bytes; at most {largest:,} would be right")
    return data


def check_out(out: str | None, *, force: bool) -> None:
    """Refuse a place that could not be written to, before any work is done."""
    if out is None or out == STDOUT:
        if force:
            raise RefusalError("--force: there is nothing to write over without --out FILE")
        return
    if not out:
        raise RefusalError("--out: found an empty name; the name of a new file would be right")
    path = Path(out)
    try:
        if path.is_dir() or out.endswith(("/", os.sep)):
            raise RefusalError(f"--out: {out} is a directory; a file name would be right")
        if os.path.lexists(path):
            _check_existing(path, force=force)
        elif not path.parent.is_dir():
            raise RefusalError(f"--out: there is no folder {path.parent} to write {path.name} in")
    except (OSError, ValueError) as error:
        raise RefusalError(f"--out: {out} cannot be written: {_reason(error)}") from None


def _check_existing(path: Path, *, force: bool) -> None:
    if not force:
        raise RefusalError(f"--out: {path} is there already; --force would write over it")
    if path.exists() and not path.is_file():
        raise RefusalError(f"--out: {path} is no ordinary file; another name would be right")


def hand_over(content: str | bytes, out: str | None, *, force: bool, format: str = "text") -> None:
    """A result where it is wanted: the file ``out``, and a word about it; or standard output.

    There what other programs read is UTF-8 whatever the terminal's encoding, and the headings of a
    ``table`` are bold where a terminal shows them.
    """
    if out is None or out == STDOUT:
        if format == "table" and isinstance(content, str) and colour.wanted():
            content = colour.embolden(content)
        show(content, "utf-8" if format in DATA else None)
        return
    write_out(out, content, force=force)
    note(f"evenround: wrote {out}")


def write_out(out: str, content: str | bytes, *, force: bool) -> None:
    """Write all of it under the name or nothing: a temporary file beside it, then renamed. A text
    is written as UTF-8."""
    check_out(out, force=force)
    data = content if isinstance(content, bytes) else content.encode("utf-8", "replace")
    path = Path(out).resolve() if force else Path(out)
    try:
        handle, name = tempfile.mkstemp(prefix=f".{path.name[:40]}.", dir=path.parent)
    except (OSError, ValueError) as error:
        raise RefusalError(f"--out: {out} cannot be written: {_reason(error)}") from None
    temporary = Path(name)
    try:
        with _opened(handle, "wb") as file:
            file.write(data)
        temporary.chmod(_mode(path))
        _put(temporary, path, force=force)
    except FileExistsError:
        raise RefusalError(f"--out: {out} is there already; --force would write over it") from None
    except OSError as error:
        raise RefusalError(f"--out: {out} cannot be written: {_reason(error)}") from None
    finally:
        with contextlib.suppress(OSError):
            temporary.unlink(missing_ok=True)


def _reason(error: Exception) -> str:
    return str(getattr(error, "strerror", None) or error)


def _mode(path: Path) -> int:
    """The mode an ordinary new file would get, or the old file's."""
    if path.is_file():
        return stat.S_IMODE(path.stat().st_mode)
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask


def _put(temporary: Path, path: Path, *, force: bool) -> None:
    """Give the finished file its name; without force only where nothing bears it yet."""
    if force:
        temporary.replace(path)
        return
    try:
        path.hardlink_to(temporary)  # unlike a rename, never over another file
    except FileExistsError:
        raise
    except OSError:  # a file system without links
        if os.path.lexists(path):
            raise FileExistsError(path) from None
        temporary.rename(path)


def show(content: str | bytes, encoding: str | None = None) -> None:
    """A text, or bytes as they are, on stdout; a reader who has seen enough (a closed pipe) is no
    error."""
    stream = sys.stdout
    if stream is None:  # closed before we began
        raise RefusalError("standard output is closed; --out FILE would do", Exit.IN_PART)
    if isinstance(content, bytes):
        data = content
    else:
        data = content.encode(encoding or stream.encoding or "utf-8", "replace")
    try:
        stream.flush()
        stream.buffer.write(data)
        stream.flush()
    except BrokenPipeError:
        # Else Python flushes once more at its end and complains.
        os.dup2(os.open(os.devnull, os.O_WRONLY), stream.fileno())
    except OSError as error:
        message = f"the output could not be written in full: {_reason(error)}"
        raise RefusalError(message, Exit.IN_PART) from None
