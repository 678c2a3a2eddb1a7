"""A trace packed and unpacked is the same trace, bit for bit, and small."""

from __future__ import annotations

import dataclasses
import struct

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra import numpy as hnp

from evenhand.errors import StoreProblem
from evenhand.traces.codec import pack, unpack
from evenhand.traces.trace import Flaw, Trace

ARRAYS = ("frame_times_ms", "elapsed_s", "processor_ms", "graphics_ms")

any_float = st.floats(width=64, allow_nan=True, allow_infinity=True, allow_subnormal=True)
decimal_text = st.builds(
    lambda whole, part, places: float(f"{whole}.{part % 10**places:0{places}d}"),
    st.integers(-(10**6), 10**9),
    st.integers(0, 10**9 - 1),
    st.integers(1, 9),
)
array = st.one_of(
    hnp.arrays(np.float64, st.integers(0, 60), elements=any_float),
    hnp.arrays(np.float64, st.integers(0, 60), elements=decimal_text),
    hnp.arrays(np.float64, st.integers(0, 60), elements=st.one_of(decimal_text, any_float)),
    st.lists(decimal_text, max_size=60).map(lambda x: np.array(x, dtype=np.float64) * 1000.0),
    st.lists(decimal_text, max_size=60).map(lambda x: np.array(x, dtype=np.float64) * 1e-3),
)
flaw = st.builds(
    Flaw, kind=st.text(), detail=st.text(), line=st.none() | st.integers(1), count=st.integers(1)
)
trace = st.builds(
    Trace,
    frame_times_ms=array,
    elapsed_s=st.none() | array,
    processor_ms=st.none() | array,
    graphics_ms=st.none() | array,
    derived=st.booleans(),
    flaws=st.lists(flaw, max_size=3).map(tuple),
)


def assert_same(found: Trace, wanted: Trace) -> None:
    for name in ARRAYS:
        mine, theirs = getattr(found, name), getattr(wanted, name)
        if theirs is None:
            assert mine is None
        else:
            assert mine.dtype == np.float64
            assert mine.tobytes() == theirs.tobytes(), name
    assert found.derived == wanted.derived
    assert found.flaws == wanted.flaws


def frame_log(count: int = 12_000, *, decimals: int = 4, seed: int = 7) -> Trace:
    """A run as a log would write it: decimals, a wandering scene, hitches, and a clock beside it."""
    rng = np.random.default_rng(seed)
    scene = 11.0 + 1.5 * np.sin(np.linspace(0, 14, count))
    exact = scene * np.exp(rng.normal(0, 0.05, count))
    exact[rng.random(count) < 0.002] *= 4
    return Trace(
        frame_times_ms=written(exact, decimals),
        elapsed_s=written(np.cumsum(exact) / 1000, 6),
        processor_ms=written(exact * rng.uniform(0.6, 0.8, count), decimals),
        graphics_ms=written(exact * rng.uniform(0.9, 1.0, count), decimals),
    )


def written(values: np.ndarray, decimals: int) -> np.ndarray:
    return np.array([float(f"{value:.{decimals}f}") for value in values])


@given(trace)
def test_any_trace_comes_back_bit_for_bit(wanted: Trace) -> None:
    assert_same(unpack(pack(wanted)), wanted)


@given(trace)
def test_the_same_trace_gives_the_same_bytes(wanted: Trace) -> None:
    assert pack(wanted) == pack(unpack(pack(wanted)))


@pytest.mark.parametrize("decimals", [0, 1, 2, 3, 4, 6])
def test_a_logged_run_comes_back_bit_for_bit(decimals: int) -> None:
    wanted = frame_log(3000, decimals=decimals)
    assert_same(unpack(pack(wanted)), wanted)


def test_every_kind_of_odd_number_comes_back() -> None:
    odd = [np.nan, -np.nan, np.inf, -np.inf, -0.0, 0.0, -16.7, 1e300, -1e300, 5e-324, 2.0**53, 2.0**63, 9e15]
    payload = struct.unpack("<d", struct.pack("<Q", 0x7FF8_0000_DEAD_BEEF))
    few = np.tile([16.67, 16.7], 500)
    few[: len(odd)] = odd
    few[40:41] = payload
    wanted = Trace(frame_times_ms=few, elapsed_s=np.array([*odd, *payload]))
    assert_same(unpack(pack(wanted)), wanted)


def test_empty_arrays_are_not_absent_ones() -> None:
    empty = np.array([])
    wanted = Trace(frame_times_ms=empty, elapsed_s=empty, processor_ms=empty, graphics_ms=None)
    assert_same(unpack(pack(wanted)), wanted)


def test_ticks_beyond_32_bits_survive_in_a_long_run() -> None:
    # 0.1 µs ticks pass 2^31 after 214.7 s.
    times = np.full(40_000, 16.6667)
    wanted = Trace(frame_times_ms=times, elapsed_s=written(np.cumsum(times) / 1000, 7))
    assert wanted.elapsed_s is not None
    assert wanted.elapsed_s[-1] > 600
    assert_same(unpack(pack(wanted)), wanted)


def test_huge_ticks_do_not_overflow_the_running_sum() -> None:
    huge = np.full(5000, 9.0e15)
    wanted = Trace(frame_times_ms=huge, elapsed_s=np.arange(5000) * 1e-3)
    assert_same(unpack(pack(wanted)), wanted)


def test_a_slice_of_a_larger_array_packs_as_well() -> None:
    table = np.arange(30, dtype=np.float64).reshape(10, 3)
    found = unpack(pack(Trace(frame_times_ms=table[:, 1])))
    assert found.frame_times_ms.tolist() == table[:, 1].tolist()


def test_elapsed_time_costs_next_to_nothing() -> None:
    whole = frame_log()
    alone = dataclasses.replace(whole, elapsed_s=None)
    started = dataclasses.replace(whole, elapsed_s=written(np.r_[0, whole.elapsed_s[:-1]] + 5321.75, 6))
    for trace in (whole, started):
        extra = len(pack(trace)) - len(pack(alone))
        assert extra < 0.35 * 12_000  # bytes: under three bits a frame where plain would take 64


def test_a_packed_run_is_about_two_bytes_a_number() -> None:
    whole = frame_log()
    assert len(pack(whole)) < 6.5 * 12_000
    assert len(pack(dataclasses.replace(whole, processor_ms=None, graphics_ms=None))) < 2.4 * 12_000


def test_a_changed_unit_costs_little() -> None:
    seconds = written(frame_log().frame_times_ms / 1000, 7)
    assert len(pack(Trace(frame_times_ms=seconds * 1000.0))) < 2.8 * 12_000


def test_numbers_that_are_no_decimals_are_kept_plain() -> None:
    wanted = Trace(frame_times_ms=np.sqrt(np.arange(1.0, 3000.0)))
    assert len(pack(wanted)) > 6 * 3000
    assert_same(unpack(pack(wanted)), wanted)


def test_every_cut_is_noticed() -> None:
    packed = pack(frame_log(40))
    for length in range(len(packed)):
        with pytest.raises(StoreProblem, match="damaged"):
            unpack(packed[:length])


@pytest.mark.parametrize("bit", range(8))
def test_every_flipped_bit_is_noticed(bit: int) -> None:
    packed = pack(frame_log(40))
    for at in range(len(packed)):
        flipped = bytearray(packed)
        flipped[at] ^= 1 << bit
        with pytest.raises(StoreProblem):
            unpack(bytes(flipped))


@given(st.binary(max_size=200))
def test_arbitrary_bytes_are_refused_in_words(junk: bytes) -> None:
    with pytest.raises(StoreProblem, match="does not begin as a trace does"):
        unpack(junk)


def test_a_newer_version_is_refused_in_words() -> None:
    packed = bytearray(pack(frame_log(10)))
    packed[3] = 2
    with pytest.raises(StoreProblem, match="version 2") as refused:
        unpack(bytes(packed))
    assert refused.value.todo == "update Evenhand"
