"""Finished pages and pictures with numbers and days as a country writes them: what is read, nothing else.

Addresses, data and styles stay; what a field for numbers holds is written as its page reads it.
"""

from __future__ import annotations

import re
from dataclasses import replace
from html import escape, unescape

from evenhand.publish.picture import Picture
from evenhand.publish.written import Write

_TAG = re.compile(r"(<(?:!--.*?--|[^>]*)>)", flags=re.DOTALL)
_UNREAD = re.compile(r"<(/?)(script|style)\b", flags=re.IGNORECASE)
_SPOKEN = re.compile(r'((?<![\w-])(?:aria-label|aria-valuetext|alt|title|content)=")([^"]*)(?=")')
_HELD = re.compile(r'((?<![\w-])value=")([^"]*)(?=")')
_FIELD = 'inputmode="decimal"'


def in_page(html: str, write: Write) -> str:
    """A page, or an SVG, in which everything that is read or spoken is written so."""
    made, unread = [], False
    for piece in _TAG.split(html):
        block = _UNREAD.match(piece)
        if block is not None:
            unread = not block[1]
        made.append(piece if unread else _tag(piece, write) if piece.startswith("<") else _text(piece, write))
    return "".join(made)


def picture_written(picture: Picture, write: Write) -> Picture:
    """A picture, its title and its description."""
    return replace(
        picture,
        svg=in_page(picture.svg, write),
        title=write(picture.title),
        description=write(picture.description),
    )


def _text(text: str, write: Write) -> str:
    said = unescape(text)
    told = write(said)
    return text if told == said else escape(told, quote=False)


def _tag(tag: str, write: Write) -> str:
    def attribute(found: re.Match[str]) -> str:
        return found[1] + _attribute(found[2], write)

    spoken = _SPOKEN.sub(attribute, tag)
    return _HELD.sub(attribute, spoken) if _FIELD in tag else spoken


def _attribute(text: str, write: Write) -> str:
    said = unescape(text)
    told = write(said)
    return text if told == said else escape(told)
