"""Columns of whole numbers into decimal text, all rows at once."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

Whole = npt.NDArray[np.int64]
Text = npt.NDArray[np.uint8]

_GONE = 0  # marks a place that holds no character


def decimals(values: Whole, places: int, *, mark: bytes = b".", width: int = 0) -> Text:
    r"""Non-negative whole numbers as text, the last `places` digits after the mark; shape (n, characters).

    With a `width`, numbers are set to the right in it by spaces.

    >>> joined(decimals(np.array([5, 12345]), 3), b" ms\n")
    b'0.005 ms\n12.345 ms\n'
    """
    digits = max(len(str(int(values.max(initial=0)))), places + 1)
    columns = [_digit(values, power, shown_from=places) for power in range(digits - 1, -1, -1)]
    if places:
        columns.insert(digits - places, np.full(values.shape, mark[0], np.uint8))
    text = np.stack(columns, axis=1)
    if not width:
        return text
    text = np.where(text == _GONE, np.uint8(ord(" ")), text)
    return np.pad(text, ((0, 0), (max(0, width - text.shape[1]), 0)), constant_values=ord(" "))


def _digit(values: Whole, power: int, *, shown_from: int) -> Text:
    """One digit of every number; a leading zero is gone, unless it stands before the mark or after it."""
    left = values // 10**power
    digit = (left % 10 + ord("0")).astype(np.uint8)
    return digit if power <= shown_from else np.where(left > 0, digit, np.uint8(_GONE))


def joined(*pieces: Text | bytes) -> bytes:
    """Columns and fixed text side by side, row after row."""
    rows = next(len(piece) for piece in pieces if not isinstance(piece, bytes))
    blocks = [
        np.broadcast_to(np.frombuffer(p, np.uint8), (rows, len(p))) if isinstance(p, bytes) else p
        for p in pieces
    ]
    flat = np.concatenate(blocks, axis=1).ravel()
    return bytes(flat[flat != _GONE].tobytes())
