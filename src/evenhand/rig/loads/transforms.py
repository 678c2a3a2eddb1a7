"""Fourier transforms in two directions, there and back again, each begun from what the one before gave.

Rounding makes its answers the machine's and the library's own: they are worked out at stock.
"""

from __future__ import annotations

import hashlib

import numpy as np

from evenhand.rig.loads.arrays import bits_of, seen, whole_numbers
from evenhand.rig.loads.known import Touch, Work

SIDE = 512
LINKS = 8  # times there and back
CASES = 4


def begin(_size: int) -> Work:
    """Makes the pictures that are transformed, one for each case."""
    pictures = [
        np.ascontiguousarray(
            whole_numbers(f"transforms {case}", 2 * SIDE * SIDE).view("c16").reshape(SIDE, SIDE)
        )
        for case in range(CASES)
    ]

    def digest(case: int, touch: Touch) -> str:
        moving = pictures[case]
        told = hashlib.sha256(bits_of(moving))
        for _ in range(LINKS):
            there = np.ascontiguousarray(np.fft.fft2(moving))
            touch(seen(there))
            told.update(bits_of(there))
            moving = np.ascontiguousarray(np.fft.ifft2(there))
            touch(seen(moving))
            told.update(bits_of(moving))
        return told.hexdigest()

    return digest
