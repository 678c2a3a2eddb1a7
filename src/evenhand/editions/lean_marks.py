"""Marks that a page draws again and again, written once: a page with pictures of many runs stays small."""

from __future__ import annotations

import re
from collections import Counter

OFTEN = 3  # from so many times on a mark is written once
_MARK = re.compile(r'<path (?P<before>[^>]*?)\s*transform="(?P<at>[^"]*)"(?P<after>[^>]*?)\s*/>')
_PLACED = re.compile(r"translate\((?P<x>[-\d.]+) (?P<y>[-\d.]+)\) (?P<size>scale\([\d.]+\))")
_TWO = re.compile(r'<use href="#(k\d+)"( x="[^"]*" y="[^"]*")/><use href="#(k\d+)"\2/>')


def lean_marks(page: str) -> str:
    """The page with each mark that it draws often defined once, at its end, and used where it stood.

    One with a class stays: what a sheet says of it may hang on where it stands. Two that always lie on each
    other, as a sign and its rim do, are used as one.

    >>> dot = '<path d="M0 0Z" transform="scale({})" fill="red"/>'
    >>> drawn = f"<body><svg>{''.join(map(dot.format, range(3)))}</svg></body>"
    >>> lean_marks(drawn).count('<use href="#k1" '), lean_marks(drawn).count("<path")
    (3, 1)
    >>> dot = '<path d="M0 0Z" transform="translate({} 4.5) scale(0.5)" fill="red"/>'
    >>> drawn = f"<body><svg>{''.join(map(dot.format, range(3)))}</svg></body>"
    >>> lean_marks(drawn).partition("</svg>")[0]
    '<body><svg><use href="#k1" x="0" y="4.5"/><use href="#k1" x="1" y="4.5"/><use href="#k1" x="2" y="4.5"/>'
    """
    times = Counter(mark for mark in map(_of, _MARK.finditer(page)) if "class=" not in mark)
    often = {mark: f"k{n}" for n, mark in enumerate((m for m, k in times.items() if k >= OFTEN), start=1)}
    if not often or page.count("</body>") != 1:
        return page

    def used(found: re.Match[str]) -> str:
        name = often.get(_of(found))
        return found[0] if name is None else f'<use href="#{name}" {_at(found["at"])}/>'

    told, pairs = _as_one(_MARK.sub(used, page), len(often))
    defined = "".join(f'<path id="{name}" {mark}/>' for mark, name in often.items()) + pairs
    kept = f'<svg width="0" height="0" aria-hidden="true" focusable="false"><defs>{defined}</defs></svg>'
    return told.replace("</body>", f"{kept}\n</body>")


def _of(found: re.Match[str]) -> str:
    """A mark without its place: what it is, and how large where it is placed."""
    placed = _PLACED.fullmatch(found["at"])
    size = "" if placed is None else f'transform="{placed["size"]}"'
    return " ".join(filter(None, (found["before"].strip(), size, found["after"].strip())))


def _at(transform: str) -> str:
    placed = _PLACED.fullmatch(transform)
    return f'transform="{transform}"' if placed is None else f'x="{placed["x"]}" y="{placed["y"]}"'


def _as_one(page: str, many: int) -> tuple[str, str]:
    """The page with marks that lie on each other used as one, and what defines these; `many` are known."""
    times = Counter((found[1], found[3]) for found in _TWO.finditer(page))
    often = {
        pair: f"k{many + n}" for n, pair in enumerate((p for p, k in times.items() if k >= OFTEN), start=1)
    }

    def used(found: re.Match[str]) -> str:
        name = often.get((found[1], found[3]))
        return found[0] if name is None else f'<use href="#{name}"{found[2]}/>'

    defined = (f'<g id="{name}"><use href="#{a}"/><use href="#{b}"/></g>' for (a, b), name in often.items())
    return _TWO.sub(used, page), "".join(defined)
