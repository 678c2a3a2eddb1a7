"""Names that are written from right to left, kept from turning round what stands beside them.

Without a word of where such a name ends, whoever sets the line takes the figures after it for a part of it:
"טרן 7" or "طائر: 998" come out in another order (Unicode Standard Annex 9, §2.4 and §3.3.2).
"""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

FIRST_STRONG, POP = "\u2068", "\u2069"  # what is between them is laid out by itself
# Letters and digits written from right to left, and signs that turn what follows.
_TURNS = frozenset(("R", "AL", "AN", "RLE", "RLO", "LRE", "LRO", "PDF", "RLI", "LRI", "FSI", "PDI"))
_ISOLATES = re.compile("[\u2066-\u2069]")
_TAG = re.compile(r"(<(?:!--.*?--|[^>]*)>)", flags=re.DOTALL)
_PLAIN = re.compile(r"<(/?)(script|style|svg|title|textarea|option)\b", flags=re.IGNORECASE)


@lru_cache(maxsize=4096)
def isolated(name: str) -> str:
    r"""A name as it may stand in a sentence: by itself where it turns, else as it is.

    >>> isolated("Plover"), isolated("טרן 7")
    ('Plover', '\u2068טרן 7\u2069')
    """
    if name.isascii() or _TURNS.isdisjoint(map(unicodedata.bidirectional, name)):
        return name
    return f"{FIRST_STRONG}{_ISOLATES.sub('', name)}{POP}"


def in_elements(html: str) -> str:
    r"""A page with such names in elements of their own, where elements may stand; escaped text stays so.

    >>> in_elements('<p title="\u2068א\u2069">\u2068א\u2069: 3</p>').count("bdi")
    2
    """
    if FIRST_STRONG not in html:
        return html
    said, inside = [], 0  # how many elements deep it stands that hold no further ones, as pictures do
    for piece in _TAG.split(html):
        tag = _PLAIN.match(piece)
        if tag is not None:
            inside += -1 if tag[1] else 0 if piece.endswith("/>") else 1
        text = tag is None and not inside and not piece.startswith("<")
        said.append(piece.replace(FIRST_STRONG, "<bdi>").replace(POP, "</bdi>") if text else piece)
    return "".join(said)
