"""Marks that a page draws again and again, written once: a page with pictures of many runs stays small."""

from __future__ import annotations

import re
from collections import Counter

OFTEN = 3  # from so many times on a mark is written once
_MARK = re.compile(r'<path (?P<before>[^>]*?)\s*transform="(?P<at>[^"]*)"(?P<after>[^>]*?)\s*/>')


def lean_marks(page: str) -> str:
    """The page with each mark that it draws often defined once, at its end, and used where it stood.

    One with a class stays: what a sheet says of it may hang on where it stands.

    >>> dot = '<path d="M0 0Z" transform="scale({})" fill="red"/>'
    >>> drawn = f"<body><svg>{''.join(map(dot.format, range(3)))}</svg></body>"
    >>> lean_marks(drawn).count('<use href="#k1" '), lean_marks(drawn).count("<path")
    (3, 1)
    """
    times = Counter(mark for mark in map(_of, _MARK.finditer(page)) if "class=" not in mark)
    often = {mark: f"k{n}" for n, mark in enumerate((m for m, k in times.items() if k >= OFTEN), start=1)}
    if not often or page.count("</body>") != 1:
        return page

    def used(found: re.Match[str]) -> str:
        name = often.get(_of(found))
        return found[0] if name is None else f'<use href="#{name}" transform="{found["at"]}"/>'

    defined = "".join(f'<path id="{name}" {mark}/>' for mark, name in often.items())
    kept = f'<svg width="0" height="0" aria-hidden="true" focusable="false"><defs>{defined}</defs></svg>'
    return _MARK.sub(used, page).replace("</body>", f"{kept}\n</body>")


def _of(found: re.Match[str]) -> str:
    return " ".join(filter(None, (found["before"].strip(), found["after"].strip())))
