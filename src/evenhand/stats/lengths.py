"""Lengths that a discrete Fourier transform is quick for."""

from __future__ import annotations

from functools import lru_cache


@lru_cache(maxsize=1024)
def quick_length(least: int) -> int:
    """The smallest length of `least` or more that has no prime factor above five; `least` is 1 or more.

    >>> quick_length(7), quick_length(1019), quick_length(1025)
    (8, 1024, 1080)
    """
    best = 1 << (least - 1).bit_length()
    five = 1
    while five < best:
        odd = five
        while odd < best:
            best = min(best, odd << (-(-least // odd) - 1).bit_length())
            odd *= 3
        five *= 5
    return best
