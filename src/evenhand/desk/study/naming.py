"""Keys made of names, so that nobody need think of one."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Container
from itertools import count

LONGEST = 32


def key_for(name: str, taken: Container[str], *, otherwise: str) -> str:
    """A key that reads like the name and that nothing else has; `otherwise` where no letter of it is left.

    >>> key_for("Wren, mild tune", {"wren-mild-tune"}, otherwise="setup")
    'wren-mild-tune-2'
    >>> key_for("Café ½", (), otherwise="build"), key_for("潮", (), otherwise="build")
    ('cafe-12', 'build')
    """
    base = _plain(name) or otherwise
    tried = (base if at == 1 else f"{base}-{at}" for at in count(1))
    return next(key for key in tried if key not in taken)


def _plain(name: str) -> str:
    letters = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    key = ""
    for word in re.findall(r"[a-z0-9]+", letters):
        longer = f"{key}-{word}" if key else word[:LONGEST]
        if len(longer) > LONGEST:
            break
        key = longer
    return key
