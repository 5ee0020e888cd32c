"""Templates into one file that asks for nothing from anywhere.

Every text is escaped by the templates; only the drawings are markup, and they escape their own.
A policy in the page forbids requests, and every script but the page's own.
"""

from __future__ import annotations

from base64 import b64encode
from functools import cache
from hashlib import sha256
from importlib.resources import files
from typing import TYPE_CHECKING

from .answers import Answers
from .whole import page_of

if TYPE_CHECKING:
    from jinja2 import Environment


def page(answers: Answers) -> str:
    """The page as HTML text."""
    from markupsafe import Markup

    script = _file("page.js")
    digest = b64encode(sha256(script.encode()).digest()).decode()
    template = _environment().get_template("page.html.jinja")
    return template.render(
        page=page_of(answers),
        style=Markup(_file("page.css")),
        script=Markup(script),
        digest=digest,
    )


@cache
def _environment() -> Environment:
    from jinja2 import Environment, PackageLoader, StrictUndefined

    return Environment(
        loader=PackageLoader("evenround.tables.page"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
    )


def _file(name: str) -> str:
    return files("evenround.tables.page").joinpath("templates", name).read_text("utf-8")
