"""Tables whose name is a slip, read as what they are meant to be: so all that is wrong is told at once."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Collection, Iterator, Mapping
from contextlib import suppress
from typing import Any

from evenhand.errors import closest, nearest
from evenhand.folders.problems import Problem

_Document = Mapping[str, Any]
MOST_LINES = 3  # of the further ones on which a slip stands


def unknown_tables(text: str, document: _Document, known: Collection[str]) -> Iterator[Problem]:
    """Tables and keys at the top that nobody knows, each with every line on which it stands."""
    for name in document:
        if name not in known:
            lines = _lines(text, name)
            yield Problem(
                path=(name,),
                found=f"unknown table or key '{name}'{_also(lines[1:])}",
                todo=nearest(name, known),
                line=lines[0] if lines else None,
            )


def respelt(text: str, document: _Document, tables: Collection[str]) -> tuple[str, _Document]:
    """The text with its misspelt tables called what they most likely are, and what it says so.

    Lines stay where they are. A table is left as it was where it would be no TOML so.

    >>> respelt("[stdy]", {"stdy": {}}, ["study", "runs"])
    ('[study]', {'study': {}})
    """
    for name in [name for name in document if name not in tables]:
        meant = closest(name, tables)
        better = text if meant is None else _header(name).sub(rf"\g<1>{meant}", text)
        if better != text:
            with suppress(ValueError):
                text, document = better, tomllib.loads(better)
    return text, document


def _header(name: str) -> re.Pattern[str]:
    return re.compile(rf"^([ \t]*\[\[?[ \t]*){re.escape(name)}(?=[ \t]*[\].])", re.MULTILINE)


def _lines(text: str, name: str) -> list[int]:
    return [text.count("\n", 0, found.start()) + 1 for found in _header(name).finditer(text)]


def _also(lines: list[int]) -> str:
    if not lines:
        return ""
    more = f" and {len(lines) - MOST_LINES} more" if len(lines) > MOST_LINES else ""
    on = "line" if len(lines) == 1 else "lines"
    return f" (also on {on} {', '.join(map(str, lines[:MOST_LINES]))}{more})"
