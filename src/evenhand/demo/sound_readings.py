"""What the sound level meter of Saltmarsh read on one evening: every machine idle, and under one game."""

from __future__ import annotations

import math
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta

import numpy as np

from evenhand.demo.truth import LOUDNESS, MACHINES, QUIET_ROOM_DB, SOUND_TEST, Machine
from evenhand.demo.workshop import setup_key
from evenhand.records.sound import SoundReading

SOUND_STREAM = 5
"""Beside the seed: the stream that readings are drawn from."""

EVENING = datetime(2026, 11, 24, 19, 0, tzinfo=UTC)
STEP = timedelta(minutes=6)
READINGS = 3
DISTANCE_M = 0.6
READING_SD_DB = 0.2
IDLE_ABOVE_C = 15.0  # of a part above the room, while nothing runs


def sound_readings(seed: int) -> tuple[SoundReading, ...]:
    """Three readings of every machine idle and three under load, each with the room read just before.

    >>> len(sound_readings(25))
    18
    """
    return tuple(_readings(np.random.default_rng([seed, SOUND_STREAM])))


def _readings(rng: np.random.Generator) -> Iterator[SoundReading]:
    at = EVENING
    for _ in range(READINGS):
        for machine in MACHINES:
            for test in ("", SOUND_TEST):
                alone = LOUDNESS[machine.key][1 if test else 0]
                yield reading(setup_key(machine.key), machine, alone, test=test, at=at, rng=rng)
                at += STEP


def reading(
    setup: str, machine: Machine, alone_db: float, *, test: str, at: datetime, rng: np.random.Generator
) -> SoundReading:
    """One reading of a machine that makes `alone_db` in truth, idle where `test` is ""."""
    alone = alone_db + rng.normal(0.0, READING_SD_DB)
    room = QUIET_ROOM_DB + rng.normal(0.0, READING_SD_DB)
    room_c = round(23.9 + float(rng.normal(0.0, 0.1)), 1)
    processor, graphics = (
        (machine.processor_c, machine.graphics_c) if test else (room_c + IDLE_ABOVE_C, room_c + IDLE_ABOVE_C)
    )
    return SoundReading(
        setup=setup, test=test, level_db=round(_together(alone, room), 1),
        background_db=round(room, 1), distance_m=DISTANCE_M,
        temperatures_c={
            "processor": round(processor + float(rng.normal(0.0, 0.5)), 1),
            "graphics": round(graphics + float(rng.normal(0.0, 0.5)), 1),
        },
        room_c=room_c, at=at, note="the meter on a stand, all lights out",
    )  # fmt: skip


def _together(one_db: float, other_db: float) -> float:
    """The level of two sounds at once: their energies add up."""
    return 10.0 * math.log10(10.0 ** (one_db / 10.0) + 10.0 ** (other_db / 10.0))
