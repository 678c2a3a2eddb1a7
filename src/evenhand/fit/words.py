"""Words as they are compared: by what they say, not by how they are written."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import lru_cache


@lru_cache(maxsize=4096)
def word(text: str) -> str:
    """A word as it is compared.

    >>> word("Micro-ATX") == word("micro atx")
    True
    """
    return re.sub(r"[\s_-]+", "", text).casefold()


def is_in(text: str, words: Iterable[str]) -> bool:
    """Whether a word is in a list."""
    return word(text) in map(word, words)
