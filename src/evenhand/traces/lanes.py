"""One array of a trace as few bytes as it takes, bit for bit.

A log writes decimals, so most values are whole numbers of a power-of-ten tick. A lane keeps those
ticks (as differences where that is shorter), byte-shuffled so that zstd finds the quiet high bytes
side by side. Where a reader has changed the unit, a value may lie a few floating-point steps away
from its tick: those steps are kept too. Values that are no ticks at all (NaN, infinities, -0.0) are
listed apart with their bits. What fits none of this is kept as plain float64.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Prediction = Callable[[int], Ints | None]

MOST_DECIMALS = 9  # nanoseconds written in seconds
MOST_STEPS = 2**15 - 1  # floating-point steps between a value and its tick: what two bytes hold
MOST_ODD = 0.05  # share of values listed apart before the lane is kept plain
_SAMPLE = 64
_LOOK = 1024  # how many numbers decide between numbers and differences
_CHANCE = 2.0**46  # a random float64 comes within steps × ticks of this at one tick in 32
_EXACT = 2.0**53  # whole numbers up to here are exact in float64
_WIDTHS = (np.dtype(np.uint8), np.dtype(np.uint16), np.dtype(np.uint32), np.dtype(np.uint64))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Ticks:
    """Values as ticks of 10^-`decimals`, shape (n,).

    `steps`: shape (n,), floating-point steps from tick to value, None where all are 0. `odd`: shape
    (m,), the positions of values listed apart.
    """

    decimals: int
    ticks: Ints
    steps: npt.NDArray[np.int16] | None
    odd: Ints


def ticks_of(values: Floats) -> Ticks | None:
    """The coarsest decimal ticks that give the values back exactly, or None.

    >>> ticks_of(np.array([16.67, 16.7])).ticks.tolist()
    [1667, 1670]
    >>> ticks_of(np.sqrt(np.arange(9.0))) is None
    True
    """
    sample = np.ascontiguousarray(values[:: max(1, len(values) // _SAMPLE)])
    with np.errstate(invalid="ignore", over="ignore"):  # odd values are found by comparing, not by warning
        for decimals in range(MOST_DECIMALS + 1):
            # A sample is cheap and settles nearly every wrong tick.
            if np.count_nonzero(_at(sample, decimals).usable) < (1 - 2 * MOST_ODD) * len(sample):
                continue
            tried = _at(values, decimals)
            if np.count_nonzero(tried.usable) >= (1 - MOST_ODD) * len(values):
                return _ticks(tried, decimals)
    return None


class _Tried(NamedTuple):
    ticks: Ints
    steps: Ints
    usable: npt.NDArray[np.bool_]


def _at(values: Floats, decimals: int) -> _Tried:
    power = 10.0**decimals
    scaled = np.rint(values * power)
    usable = np.abs(scaled) < _EXACT  # False for NaN too
    if not usable.all():
        scaled = np.where(usable, scaled, 0.0)
    # Division of two exact numbers rounds correctly: it is the float64 that reading the decimal gives.
    scaled += 0.0  # makes -0.0 plain 0
    steps = values.view(np.int64) - (scaled / power).view(np.int64)
    if steps.any():
        # Both bounds by hand: the lowest int64, which parts 0.0 from -0.0, is its own absolute value.
        # Any number is near some tick if ticks are fine enough; the last bound tells that from a decimal.
        usable &= (steps <= MOST_STEPS) & (steps >= -MOST_STEPS) & (np.abs(steps * scaled) < _CHANCE)
    return _Tried(scaled.astype(np.int64), steps, usable)


def _ticks(tried: _Tried, decimals: int) -> Ticks:
    odd = np.flatnonzero(~tried.usable)
    steps = np.where(tried.usable, tried.steps, 0) if len(odd) else tried.steps
    return Ticks(
        decimals=decimals,
        ticks=_bridged(tried.ticks, tried.usable) if len(odd) else tried.ticks,
        steps=steps.astype(np.int16) if steps.any() else None,
        odd=odd,
    )


def _bridged(ticks: Ints, usable: npt.NDArray[np.bool_]) -> Ints:
    """Odd places take the tick before them, so that differences stay small."""
    last = np.maximum.accumulate(np.where(usable, np.arange(len(ticks)), 0))
    return ticks[last]


def encoded(
    values: Floats, *, prediction: Ints | None = None, ticks: Ticks | None
) -> tuple[dict[str, Any], bytes]:
    """A lane: what `decode` must know of it, and its bytes before compression.

    `values` has shape (n,); `ticks` are those of `ticks_of(values)`; `prediction`, shape (n,), is
    subtracted from the ticks and must be given to `decode` again.
    """
    if ticks is None:
        return {"n": len(values), "plain": True}, _shuffled(values.view(np.uint64))
    wanted = ticks.ticks if prediction is None else ticks.ticks - prediction
    numbers, differences = _shorter(wanted)
    del wanted
    folded = _folded(numbers)
    del numbers
    width = _width(folded)
    about: dict[str, Any] = {"n": len(values), "decimals": ticks.decimals, "width": width.itemsize}
    about |= {"differences": differences, "steps": ticks.steps is not None, "odd": len(ticks.odd)}
    parts = [_shuffled(folded.astype(width))]
    if ticks.steps is not None:
        parts.append(_shuffled(ticks.steps.view(np.uint16)))
    if len(ticks.odd):
        parts += [ticks.odd.astype("<i8").tobytes(), values[ticks.odd].astype("<f8").tobytes()]
    return about, b"".join(parts)


def _folded(numbers: Ints) -> npt.NDArray[np.uint64]:
    """Small numbers for those that are small either side of zero."""
    folded = numbers << 1
    folded ^= numbers >> 63
    return folded.view(np.uint64)


def _shorter(numbers: Ints) -> tuple[Ints, bool]:
    """The numbers themselves or their differences, whichever are the smaller."""
    size = float(np.abs(numbers[1:_LOOK].astype(np.float64)).sum())
    return (np.diff(numbers, prepend=np.int64(0)), True) if unrest(numbers) < size else (numbers, False)


def unrest(numbers: Ints, less: Ints | None = None) -> float:
    """The sum of the sizes of the first differences; as floats, since large whole numbers may overflow.

    `less` is taken from the numbers before.
    """
    first = numbers[:_LOOK] if less is None else numbers[:_LOOK] - less[:_LOOK]
    few = first.astype(np.float64)
    return float(np.abs(few[1:] - few[:-1]).sum())


def _width(folded: npt.NDArray[np.uint64]) -> np.dtype[Any]:
    top = int(folded.max()) if len(folded) else 0
    return next(width for width in _WIDTHS if top <= np.iinfo(width).max)


def _shuffled(numbers: npt.NDArray[Any]) -> bytes:
    little = numbers.astype(numbers.dtype.newbyteorder("<"), copy=False)
    return little.view(np.uint8).reshape(len(numbers), little.itemsize).T.tobytes()


def decoded(
    about: Mapping[str, Any], reader: Reader, *, prediction: Prediction
) -> tuple[Floats, Ticks | None]:
    """The inverse of `encoded`: the values, and their ticks where the lane has some.

    `prediction` is asked for the predicted ticks once the decimals are known.
    Raises ValueError, KeyError or TypeError where `about` and the bytes do not belong together.
    """
    count = about["n"]
    if about.get("plain"):
        return reader.take_shuffled(count, 8).view("<f8").astype(np.float64), None
    ticks = _unfolded(reader.take_shuffled(count, about["width"]).astype(np.uint64))
    if about["differences"]:
        np.cumsum(ticks, out=ticks)
    predicted = prediction(about["decimals"])
    if predicted is not None:
        ticks += predicted
    del predicted
    values = ticks / 10.0 ** about["decimals"]
    steps = reader.take_shuffled(count, 2).view("<i2") if about["steps"] else None
    if steps is not None:
        values = (values.view(np.int64) + steps).view(np.float64)
    odd = reader.take(about["odd"], "<i8").astype(np.int64)
    values[odd] = reader.take(about["odd"], "<f8")
    return values, Ticks(decimals=about["decimals"], ticks=ticks, steps=steps, odd=odd)


def _unfolded(folded: npt.NDArray[np.uint64]) -> Ints:
    signs = (folded & np.uint64(1)).view(np.int64)
    np.negative(signs, out=signs)
    folded >>= np.uint64(1)
    numbers = folded.view(np.int64)
    numbers ^= signs
    return numbers


class Reader:
    """Hands out the bytes of lanes in the order in which they were written."""

    def __init__(self, body: memoryview) -> None:
        self._body = body
        self._at = 0

    def take(self, count: int, dtype: str) -> npt.NDArray[Any]:
        """The next `count` numbers. Raises ValueError where the bytes end before."""
        found = np.frombuffer(self._body, dtype=dtype, count=count, offset=self._at)
        self._at += found.nbytes
        return found

    def take_shuffled(self, count: int, width: int) -> npt.NDArray[Any]:
        """The next `count` byte-shuffled numbers of `width` bytes, as unsigned."""
        planes = self.take(count * width, "u1").reshape(width, count)
        return np.ascontiguousarray(planes.T).reshape(-1).view(f"<u{width}")
