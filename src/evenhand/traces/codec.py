"""A trace as a few bytes, and back, bit for bit.

The bytes: a head (magic, version, checksum, length), then one zstd frame that holds a JSON note
(flaws, and how each lane was coded) and the lanes of `evenhand.traces.lanes` one after the other.
Elapsed time is kept as its distance from the running sum of frame times, which is next to nothing.
"""

from __future__ import annotations

import json
import struct
import zlib
from collections.abc import Mapping
from dataclasses import asdict
from functools import partial
from typing import Any

import numpy as np
import pyarrow as pa

from evenhand.errors import StoreProblem
from evenhand.traces.lanes import Floats, Ints, Reader, Ticks, decoded, encoded, ticks_of, unrest
from evenhand.traces.trace import Flaw, Trace

ZSTD_LEVEL = 3
VERSION = 1
_MAGIC = b"EvT"
_HEAD = struct.Struct("<3sBI")  # magic, version, CRC-32 of all that follows
_LENGTH = struct.Struct("<Q")  # of the zstd frame once unpacked
_NOTE = struct.Struct("<I")  # length of the JSON note
_ROOM = 2.0**60  # running sums stay below, so that no difference overflows int64


def pack(trace: Trace) -> bytes:
    """The trace as bytes: lossless, and the same bytes for the same trace.

    >>> trace = Trace(frame_times_ms=np.array([16.67, 16.7, float("nan")]))
    >>> unpack(pack(trace)).frame_times_ms.tolist()
    [16.67, 16.7, nan]
    """
    frames = _floats(trace.frame_times_ms)
    ticks = ticks_of(frames)
    lanes = {"frames": encoded(frames, ticks=ticks)}
    if trace.elapsed_s is not None:
        lanes["elapsed"] = _elapsed(_floats(trace.elapsed_s), ticks)
    for name, shares in (("processor", trace.processor_ms), ("graphics", trace.graphics_ms)):
        if shares is not None:
            lanes[name] = encoded(_floats(shares), ticks=ticks_of(_floats(shares)))
    about = {
        "derived": trace.derived,
        "flaws": [asdict(flaw) for flaw in trace.flaws],
        "lanes": {name: lane for name, (lane, _) in lanes.items()},
    }
    note = json.dumps(about, separators=(",", ":")).encode()
    return _sealed(b"".join([_NOTE.pack(len(note)), note, *(body for _, body in lanes.values())]))


def unpack(data: bytes) -> Trace:
    """The trace that `pack` was given.

    Raises StoreProblem where the bytes are damaged or written by a newer version.
    """
    body = _opened(data)
    try:
        (length,) = _NOTE.unpack_from(body)
        about = json.loads(bytes(body[_NOTE.size : _NOTE.size + length]))
        return _trace(about, Reader(body[_NOTE.size + length :]))
    except (struct.error, ValueError, KeyError, TypeError, IndexError, OverflowError) as error:
        raise _damaged("its parts do not fit together") from error


def _trace(about: Mapping[str, Any], reader: Reader) -> Trace:
    lanes = about["lanes"]
    frames, ticks = decoded(lanes["frames"], reader, prediction=lambda _: None)
    read: dict[str, Floats] = {}
    for name in [name for name in ("elapsed", "processor", "graphics") if name in lanes]:
        predict = partial(_running_sum, ticks, lag=lanes[name].get("lag"))
        read[name], _ = decoded(lanes[name], reader, prediction=predict)
    return Trace(
        frame_times_ms=frames,
        elapsed_s=read.get("elapsed"),
        processor_ms=read.get("processor"),
        graphics_ms=read.get("graphics"),
        derived=about["derived"],
        flaws=tuple(Flaw(**flaw) for flaw in about["flaws"]),
    )


def _elapsed(elapsed: Floats, frames: Ticks | None) -> tuple[dict[str, Any], bytes]:
    """The lane of elapsed time: against the running sum at the end or the start of each frame, or alone."""
    ticks = ticks_of(elapsed)
    if ticks is None:
        return encoded(elapsed, ticks=None)
    # A way of predicting the ticks: its unrest and its lag. One prediction at a time is held.
    ways: list[tuple[float, int | None]] = [(unrest(ticks.ticks), None)]
    for lag in (0, 1):
        predicted = _running_sum(frames, ticks.decimals, lag=lag)
        if predicted is not None and len(predicted) == len(elapsed):
            ways.append((unrest(ticks.ticks, predicted), lag))
        del predicted
    _, chosen = min(ways, key=lambda way: way[0])
    prediction = _running_sum(frames, ticks.decimals, lag=chosen)
    about, body = encoded(elapsed, prediction=prediction, ticks=ticks)
    return about | {"lag": chosen}, body


def _running_sum(frames: Ticks | None, decimals: int, *, lag: int | None) -> Ints | None:
    """Elapsed time in ticks of 10^-`decimals` s as the frame times would have it, or None.

    `lag` 0 reads the clock at the end of each frame, 1 at its start. Whole numbers throughout, so
    that every machine gets the same sum.
    """
    if frames is None or lag is None:
        return None
    power = decimals - 3 - frames.decimals
    sizes = frames.ticks.astype(np.float64)
    if np.abs(sizes, out=sizes).sum() * max(1.0, 10.0**power) >= _ROOM:
        return None
    del sizes
    sums = np.zeros(len(frames.ticks) + 1, dtype=np.int64)
    total = np.cumsum(frames.ticks, out=sums[1:])
    scale = 10 ** abs(power)
    if power >= 0:
        total *= scale
    else:
        total += scale // 2
        total //= scale
    return total if lag == 0 else sums[:-1]


def _floats(values: Floats) -> Floats:
    return np.ascontiguousarray(values, dtype=np.float64)


def _sealed(body: bytes) -> bytes:
    codec = pa.Codec("zstd", compression_level=ZSTD_LEVEL)
    packed = _LENGTH.pack(len(body)) + bytes(codec.compress(body, asbytes=True))
    return _HEAD.pack(_MAGIC, VERSION, zlib.crc32(packed)) + packed


def _opened(data: bytes) -> memoryview:
    if len(data) < _HEAD.size or data[:3] != _MAGIC:
        raise _damaged("it does not begin as a trace does")
    _, version, checksum = _HEAD.unpack_from(data)
    if version > VERSION:
        raise StoreProblem(f"a packed trace has version {version}, unknown here", todo="update Evenhand")
    packed = memoryview(data)[_HEAD.size :]
    if version < 1 or zlib.crc32(packed) != checksum:
        raise _damaged("its checksum is another one")
    try:
        (length,) = _LENGTH.unpack_from(packed)
        return memoryview(
            pa.Codec("zstd").decompress(packed[_LENGTH.size :], decompressed_size=length, asbytes=True)
        )
    except (struct.error, OSError, ValueError, MemoryError, OverflowError) as error:
        raise _damaged("it cannot be decompressed") from error


def _damaged(how: str) -> StoreProblem:
    return StoreProblem(
        f"a packed trace is damaged: {how}",
        todo="read the run's original again, or go on from the latest backup",
    )
