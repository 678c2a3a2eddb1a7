"""Which of two machines is quieter: levels of the machines alone, from readings with a background."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

import numpy as np

from evenhand.findings.finding import Caveat
from evenhand.findings.gaps import Draft, Gap, Topic, judged
from evenhand.records.sound import SoundReading
from evenhand.stats.between import Difference, Rule, differences, sample
from evenhand.stats.decibels import LEAST_EXCESS_DB, error_growth, levels_alone, most_it_can_be
from evenhand.stats.spread import Floats

MARGIN_DB = 1.0
"""About the smallest step in level of a steady broadband sound that is noticed side by side (Zwicker & Fastl
1999, chapter 7, puts it at 0.5 to 1 dB); across a room and minutes apart more is needed."""

METER_DB = 0.5
"""How far one meter may be off between two levels a few decibels apart, once its common error has cancelled:
as is usual of a general-purpose (class 2) meter for steps of up to 10 dB. Another meter asks for its own."""

CLEAR_DB = 6.0
"""So far above its background subtraction takes a quarter of the energy at most: a reading that lies in the
room beside others so clear of it was taken of something else, and is left out. Nearer to the limit leaving
out the low ones would make the rest too loud: there all count, and their mean says whether they tell."""

SAME_PLACE_M = 0.02
"""Distances that differ by less are one place: at half a metre this moves a level by 0.3 dB."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Side:
    """One setup's readings in one test, and the levels of the machine alone where they can be told.

    `stray` counts those that are left out because the room was not read beside them, as it was beside others,
    and `drowned` those that lie in the room, where all others stand clear of it.
    """

    readings: tuple[SoundReading, ...]
    levels: Floats | None
    growth: float = 1.0
    most: float | None = None
    why: Caveat | None = None
    stray: int = 0
    drowned: int = 0


def sounds(
    readings: Sequence[SoundReading],
    *,
    setups: Sequence[str],
    tests: Sequence[str] = (),
    margin_db: float = MARGIN_DB,
    meter_db: float = METER_DB,
) -> tuple[Gap, ...]:
    """Every pair of setups, idle first ("") and then test by test, as far as anything was read there.

    The level of the machine alone is 10·lg(10^(Lt/10) − 10^(Lb/10)), taken of the means in dB of its readings
    (`decibels.levels_alone`). A reading without a background beside others with one is left out, and said, as
    is one less than 3 dB above its background where the others stand clear of theirs by `CLEAR_DB`. A side
    whose readings lie less than 3 dB above their background on average is not told: `most_a`, `most_b`
    then hold what it can be at most. The difference has a t interval over
    readings, Welch's where one side scatters much more, and an allowance of `meter_db` by what subtraction
    makes of it. Holm over everything returned. Nothing read anywhere: one gap a pair that says so.
    """
    of_setups = [r for r in readings if r.setup in setups]
    there = [test for test in ("", *tests) if any(r.test == test for r in of_setups)]
    drafts = [
        _draft(a, b, test, of_setups, margin_db=margin_db, meter_db=meter_db)
        for a, b in combinations(setups, 2)
        for test in (there or [""])
    ]
    return judged(drafts)


def _draft(
    a: str, b: str, test: str, readings: Sequence[SoundReading], *, margin_db: float, meter_db: float
) -> Draft:  # fmt: skip
    sides = [
        _side([r for r in readings if (r.setup, r.test) == (key, test)], key, meter_db=meter_db)
        for key in (a, b)
    ]
    one, other = sides
    gap = Gap(
        topic=Topic.SOUND, a=a, b=b, test=test, margin=margin_db,
        n_a=len(one.readings), n_b=len(other.readings), most_a=one.most, most_b=other.most,
        value_a=_mean(one.levels), value_b=_mean(other.levels),
    )  # fmt: skip
    why = _why(sides)
    if why or one.levels is None or other.levels is None:
        return Draft(gap=replace(gap, why=why))
    difference = differences([sample(one.levels, other.levels)])[0]
    allowance = meter_db * max(one.growth, other.growth)
    caveats = (*_conditions(sides), *_strays((a, b), sides), *_few(gap, difference), _meter(allowance))
    gap = replace(
        gap, difference=difference.d, allowance=allowance, caveats=caveats, method=_method(gap, difference)
    )
    return Draft(gap=gap, se=None if min(gap.n_a, gap.n_b) < 2 else difference.se, df=difference.df)


def _side(readings: Sequence[SoundReading], setup: str, *, meter_db: float) -> _Side:
    told = [r for r in readings if r.background_db is not None]
    own = tuple(told or readings)
    if not own:
        return _Side(readings=own, levels=None, why=_of(setup, "not-read", "nobody read its level"))
    total = float(np.mean([r.level_db for r in own]))
    behind = [r.background_db for r in own if r.background_db is not None]
    if len(behind) < len(own):
        most = most_it_can_be(total, None, reading_error_db=meter_db)
        words = "read without a background: the room is in its level"
        return _Side(readings=own, levels=None, most=most, why=_of(setup, "no-background", words))
    clear = [r for r in own if _excess(r) >= LEAST_EXCESS_DB]
    drowned = len(own) - len(clear)
    if clear and drowned and np.mean([_excess(r) for r in clear]) >= CLEAR_DB:
        told_side = _side(clear, setup, meter_db=meter_db)
        return replace(told_side, stray=len(readings) - len(own), drowned=drowned)
    background = float(np.mean(behind))
    if total - background < LEAST_EXCESS_DB:
        most = most_it_can_be(total, background, reading_error_db=meter_db)
        words = f"reads less than {LEAST_EXCESS_DB:g} dB above the room, too little to tell it from the room"
        return _Side(readings=own, levels=None, most=most, why=_of(setup, "in-the-room", words))
    levels = levels_alone([r.level_db for r in own], behind)
    growth, stray = error_growth(total - background), len(readings) - len(own)
    return _Side(readings=own, levels=levels, growth=growth, stray=stray)


def _excess(reading: SoundReading) -> float:
    """How far a reading lies above its background, in dB."""
    return math.inf if reading.background_db is None else reading.level_db - reading.background_db


def _of(setup: str, key: str, words: str) -> Caveat:
    return Caveat(key=key, words=words, setups=(setup,), each=True)


def _mean(levels: Floats | None) -> float | None:
    return None if levels is None else float(levels.mean())


def _why(sides: Sequence[_Side]) -> Caveat | None:
    """Why the two are not compared: a side without a level, or sides that were read otherwise."""
    whys = [side.why for side in sides if side.why]
    if len(whys) == 2 and whys[0].words == whys[1].words:
        return replace(whys[0], setups=(*whys[0].setups, *whys[1].setups))
    return whys[0] if whys else _unlike([r for side in sides for r in side.readings])


def _unlike(readings: Sequence[SoundReading]) -> Caveat | None:
    """That readings differ in weighting or distance: two numbers that do not compare."""
    weightings = sorted({r.weighting for r in readings})
    if len(weightings) > 1:
        return Caveat(key="weighting", words=f"read with the filters {' and '.join(weightings)}")
    distances = [r.distance_m for r in readings if r.distance_m is not None]
    if distances and max(distances) - min(distances) > SAME_PLACE_M:
        words = (
            f"read from {min(distances):g} m and from {max(distances):g} m: distance alone makes a difference"
        )
        return Caveat(key="distance", words=words)
    return None


def _conditions(sides: Sequence[_Side]) -> Iterator[Caveat]:
    readings = [r for side in sides for r in side.readings]
    distances = [r.distance_m for r in readings if r.distance_m is not None]
    known = len(distances) == len(readings)
    where = f"at {distances[0]:g} m" if known else "at a distance that was not written down"
    words = f"one place in one room, {where}, {readings[0].weighting}-weighted, one meter taken for granted"
    yield Caveat(key="one-place", words=words)


def _strays(keys: Sequence[str], sides: Sequence[_Side]) -> Iterator[Caveat]:
    for key, side in zip(keys, sides, strict=True):
        if side.stray:
            readings = "one reading" if side.stray == 1 else f"{side.stray} readings"
            words = f"{readings} without a background left out: the room is in the level"
            yield _of(key, "stray-reading", words)
        if side.drowned:
            readings = "one reading" if side.drowned == 1 else f"{side.drowned} readings"
            words = f"{readings} less than {LEAST_EXCESS_DB:g} dB above the room left out"
            yield _of(key, "drowned-reading", words)


def _few(gap: Gap, difference: Difference) -> Iterator[Caveat]:
    single = tuple(key for key, n in ((gap.a, gap.n_a), (gap.b, gap.n_b)) if n == 1)
    if single:
        yield Caveat(
            key="one-reading", words="one reading, so its spread is not known", setups=single, each=True
        )
    if difference.rule is Rule.NONE and not single:
        yield Caveat(key="readings-alike", words="every reading was the same: their spread is not known")


def _meter(allowance: float) -> Caveat:
    return Caveat(
        key="meter", words=f"allowance for the meter, as subtraction enlarges it: {allowance:.2g} dB"
    )


def _method(gap: Gap, difference: Difference) -> str:
    if min(gap.n_a, gap.n_b) < 2:
        return "none: one reading"
    if difference.rule is Rule.NONE:
        return "none: readings all alike"
    return "Welch's t over readings" if difference.rule is Rule.WELCH else "t over readings"
