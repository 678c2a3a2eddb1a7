"""Two setups as part of a file name."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

PairKeys = tuple[str, str]


def pair_word(pair: PairKeys, setups: Sequence[str]) -> str:
    """Two setups as part of a name that no other two of these have, with a number after it or without.

    >>> pair_word(("wren", "gull"), ("wren", "gull")), pair_word(("wren", "gull"), ("wren", "gull", "gull-2"))
    ('wren-gull', 'wren~gull~')
    """
    word = "-".join(pair)
    others = ["-".join(other) for other in combinations(setups, 2) if other != pair]
    alike = any(f"{word}-".startswith(f"{other}-") or f"{other}-".startswith(f"{word}-") for other in others)
    return f"{'~'.join(pair)}~" if alike else word
