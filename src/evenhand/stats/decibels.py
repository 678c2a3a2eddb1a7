"""Levels in decibels: energy taken away and averaged, and what an error of a reading becomes on the way."""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from evenhand.stats.spread import Floats

LEAST_EXCESS_DB = 3.0
"""Under this much above its background a source is not told by subtraction.

At 3 dB the source is as loud as the background, and an error of a reading comes out doubled (`error_growth`);
at 1 dB five times. Survey-grade acoustics draws the line at the same place (ISO 3746:2010, background
correction: none beyond 3 dB).
"""


def subtract(total_db: float, background_db: float) -> float:
    """The level of a source alone: 10·lg(10^(total/10) − 10^(background/10)), incoherent sounds.

    Raises ValueError where the total does not lie above the background: nothing is left then.

    >>> round(subtract(93.0, 89.0), 1), round(subtract(38.0, 35.0), 2)
    (90.8, 34.98)
    """
    if not total_db > background_db:
        raise ValueError(f"{total_db} dB does not lie above a background of {background_db} dB")
    return total_db + 10.0 * math.log10(-math.expm1(-(total_db - background_db) * math.log(10.0) / 10.0))


def error_growth(excess_db: float) -> float:
    """By how much an error of the total comes out larger in the source, `excess_db` above the background.

    1/(1 − 10^(−excess/10)), the derivative of `subtract` by its first argument; by its second it is 1 less,
    with a minus.

    >>> round(error_growth(3.0103), 3), round(error_growth(10.0), 3)
    (2.0, 1.111)
    """
    return 1.0 / -math.expm1(-excess_db * math.log(10.0) / 10.0)


def most_it_can_be(total_db: float, background_db: float | None, *, reading_error_db: float) -> float:
    """The loudest that a source can be, if each reading is off by `reading_error_db` at most.

    The source alone is loudest where the total reads too low and the background too high. Without a
    background it is no louder than the total.

    >>> round(most_it_can_be(36.0, 35.0, reading_error_db=0.0), 2)
    29.13
    >>> round(most_it_can_be(36.0, 35.0, reading_error_db=0.5), 2)
    32.17
    >>> most_it_can_be(36.0, None, reading_error_db=0.5)
    36.5
    """
    highest = total_db + reading_error_db
    if background_db is None:
        return highest
    lowest = background_db - reading_error_db
    return subtract(highest, lowest) if highest > lowest else highest


def energy_mean(levels_db: npt.ArrayLike) -> float:
    """The level of the mean energy, 10·lg(mean of 10^(L/10)): of a changing sound, or of several places.

    >>> round(energy_mean([30.0, 36.0]), 2)
    33.96
    """
    levels = np.asarray(levels_db, float)
    top = float(levels.max())
    return top + 10.0 * math.log10(float(np.mean(10.0 ** ((levels - top) / 10.0))))


def levels_alone(totals_db: npt.ArrayLike, backgrounds_db: npt.ArrayLike) -> Floats:
    """The source's level by each repeated reading, shape (n,), linear about the means of both columns.

    Their mean is `subtract` of the two means, and their spread is that of the source's level to first order:
    L + g·(total − mean) − (g − 1)·(background − mean), g = `error_growth`. Readings are averaged in dB: what
    differs between them (place of the microphone, the meter) acts in dB, and Student's t asks for numbers
    that scatter evenly. The mean energy of readings that scatter by s dB lies ln(10)/20·s² higher, 0.03 dB at
    half a decibel.

    >>> levels_alone([40.0, 40.4], [30.0, 30.0]).round(3).tolist()
    [39.543, 39.985]
    """
    totals, backgrounds = np.asarray(totals_db, float), np.asarray(backgrounds_db, float)
    total, background = float(totals.mean()), float(backgrounds.mean())
    growth = error_growth(total - background)
    moved = growth * (totals - total) - (growth - 1.0) * (backgrounds - background)
    return np.asarray(subtract(total, background) + moved)


def times_as_loud(difference_db: float) -> float:
    """How many times as loud, by the rule of thumb that ten decibels more are twice as loud (Stevens 1955).

    Limits: steady broadband sounds of a like character, well above the threshold of hearing.

    >>> times_as_loud(10.0), times_as_loud(-10.0)
    (2.0, 0.5)
    """
    return float(2.0 ** (difference_db / 10.0))
