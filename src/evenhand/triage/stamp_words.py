"""How stamps are read: under plain names, and alike where they say the same."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache


def same_words(one: str, other: str) -> bool:
    """Whether two stamps say the same: case, spaces and the multiplication sign do not matter.

    >>> same_words("2560 × 1440", "2560x1440"), same_words("1.4", "1.40")
    (True, False)
    """
    return folded(one) == folded(other)


@lru_cache(maxsize=4096)
def folded(text: str) -> str:
    """A stamp as it is compared: two are equal here exactly when they say the same."""
    return re.sub(r"\s+", "", text.casefold().replace("×", "x"))


def plain_stamps(stamps: Mapping[str, str]) -> dict[str, str]:
    """Stamps under plain names: `test_version` and `Test version` are one name, and so is `version`."""
    return {_name(key): value for key, value in stamps.items() if value.strip()}


@lru_cache(maxsize=4096)
def _name(key: str) -> str:
    words = re.sub(r"[\s_\-]+", " ", key.strip().casefold())
    return "version" if words == "test version" else words
