"""Matrix products of whole numbers: 512 terms below 2^40 each stay below 2^53, where every double is exact.

So the answer is the same in whatever order a machine adds, and known.
"""

from __future__ import annotations

import hashlib
from typing import Any

import numpy as np

from evenhand.rig.loads.arrays import SPAN, bits_of, seen, whole_numbers
from evenhand.rig.loads.known import Touch, Work

SIDE = 512
LINKS = 24  # products of a round, each with what the one before has left
CASES = 8


def begin(_size: int) -> Work:
    """Makes the matrices, one for each case."""
    matrices = [whole_numbers(f"products {case}", SIDE * SIDE).reshape(SIDE, SIDE) for case in range(CASES)]

    def digest(case: int, touch: Touch) -> str:
        fixed, moving = matrices[case], matrices[(case + 1) % CASES]
        told = hashlib.sha256(bits_of(fixed) + bits_of(moving))
        for _ in range(LINKS):
            product = fixed @ moving
            product += 0.0  # no zero keeps a sign
            touch(seen(product))
            told.update(bits_of(product))
            moving = left_over(product)
        return told.hexdigest()

    return digest


def left_over(product: Any) -> Any:
    """What is left of each number after the nearest multiple of SPAN was taken away; exact."""
    return product - np.rint(product / SPAN) * SPAN
