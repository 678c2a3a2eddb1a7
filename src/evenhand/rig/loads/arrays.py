"""Arrays that every machine makes alike, and what stands for an array's bits."""

from __future__ import annotations

import hashlib
from typing import Any

import numpy as np

SPAN = 2**20  # whole numbers lie between −SPAN and SPAN


def whole_numbers(name: str, count: int) -> Any:
    """Whole numbers as doubles, by chance but always the same; shape (count,)."""
    drawn = np.frombuffer(hashlib.shake_128(name.encode()).digest(4 * count), dtype="<u4")
    return (drawn % (2 * SPAN)).astype("<f8") - SPAN


def bits_of(array: Any) -> bytes:
    """The exclusive or and the sum of all words of an array: a single bit changes the first for certain."""
    words = array.reshape(-1).view("<u8")
    return bytes(np.bitwise_xor.reduce(words).tobytes() + np.add.reduce(words, dtype="<u8").tobytes())


def seen(array: Any) -> memoryview:
    """The bytes of an array."""
    return memoryview(array.reshape(-1).view("u1"))
