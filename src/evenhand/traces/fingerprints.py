"""A short, stable name for a header line, so that a layout confirmed once is known again."""

from __future__ import annotations

import hashlib
import unicodedata
from collections.abc import Sequence


def normalised(header: str) -> str:
    """One column header without what a program varies by accident: outer and doubled spaces, quotes.

    >>> normalised('  frame   [ms] ')
    'frame [ms]'
    """
    return " ".join(unicodedata.normalize("NFC", header).strip().strip('"').split())


def fingerprint(header: Sequence[str]) -> str:
    """Sixteen hexadecimal digits that stand for this header, in this order.

    >>> fingerprint(["t [s]", "frame [ms]"]) == fingerprint([" t [s]", "frame [ms] "])
    True
    >>> fingerprint(["t [s]", "frame [ms]"]) == fingerprint(["frame [ms]", "t [s]"])
    False
    """
    joined = "\x1f".join(normalised(h) for h in header)
    return hashlib.sha256(joined.encode("utf-8", "surrogatepass")).hexdigest()[:16]
