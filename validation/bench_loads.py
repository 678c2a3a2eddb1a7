"""Workloads of general libraries for a bench day: each prints how many passes a second it made.

Run with the name of one: `python validation/bench_loads.py packing`. The time that the program takes to start
is not counted. Everything is made from fixed seeds, so that every pass does the same work.
"""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Callable

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # one core's work, whatever the machine has

import bz2
import json
import lzma
import zlib

import numpy as np

SECONDS = 1.6
RNG = np.random.default_rng(7)


def packing() -> None:
    """Packs a text three ways and unpacks it again."""
    words = RNG.choice([b"tide ", b"quay ", b"salt ", b"wind ", b"mole ", b"1931 "], 12_000)
    text = b"".join(words.tolist())
    for room in (zlib, bz2, lzma):
        assert room.decompress(room.compress(text)) == text


def matrices() -> None:
    """Multiplies matrices, and goes to frequencies and back."""
    a = RNG.normal(size=(256, 256))
    for _ in range(4):
        a = a @ a.T / 256
    there = np.fft.rfft2(RNG.normal(size=(384, 384)))
    np.fft.irfft2(there)


def pictures() -> None:
    """Blurs a picture, finds its edges and its middle greys."""
    from scipy import ndimage

    picture = RNG.normal(size=(320, 320))
    blurred = ndimage.gaussian_filter(picture, 2.0)
    ndimage.sobel(blurred)
    ndimage.median_filter(blurred, size=3)


def sorting() -> None:
    """Sorts records and writes and reads them as text."""
    rows = [{"key": int(key), "name": f"buoy {key}"} for key in RNG.integers(0, 10**6, 12_000)]
    rows.sort(key=lambda row: (row["name"], row["key"]))
    assert json.loads(json.dumps(rows)) == rows


LOADS: dict[str, Callable[[], None]] = {
    each.__name__: each for each in (packing, matrices, pictures, sorting)
}


def main() -> None:
    """Passes until the time is over, one before it that does not count."""
    load = LOADS[sys.argv[1]]
    load()
    begin, passes = time.perf_counter(), 0
    while (took := time.perf_counter() - begin) < SECONDS:
        load()
        passes += 1
    print(f"passes a second: {passes / took:.5f}")


if __name__ == "__main__":
    main()
