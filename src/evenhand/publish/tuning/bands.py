"""Degrees, watts and times with their bands, in words."""

from __future__ import annotations

import math

from evenhand.publish.numbers import number, with_unit
from evenhand.tuning.bands import Band

HOUR_S, MINUTE_S = 3600.0, 60.0

WATTS_DECIMALS = 1
"""Of watts no more are told: no sensor of a part and no meter is finer, however its readings repeat."""


def degrees(value: float, decimals: int = 0) -> str:
    r"""A temperature.

    >>> degrees(81.4), degrees(13.87, 1)
    ('81\xa0°C', '13.9\xa0°C')
    """
    return with_unit(number(value, decimals), "°C")


def kelvins(value: float, decimals: int = 0) -> str:
    r"""A difference of two temperatures; one kelvin is as far as one degree.

    >>> kelvins(11.02), kelvins(0.38, 1)
    ('11\xa0K', '0.4\xa0K')
    """
    return with_unit(number(value, decimals), "K")


def watts_words(value: float) -> str:
    r"""A power.

    >>> watts_words(141.9)
    '142\xa0W'
    """
    return with_unit(number(value, 0 if abs(value) >= 10 else 1), "W")


def ends(band: Band, decimals: int = 0) -> str:
    """From where to where, "" where both ends are told alike.

    >>> ends(Band(value=13.9, low=11.6, high=16.2)), ends(Band(value=13.9, low=13.8, high=14.0))
    ('12 to 16', '')
    """
    low, high = number(band.low, decimals), number(band.high, decimals)
    return "" if low == high else f"{low} to {high}"


def banded(band: Band, unit: str, decimals: int) -> str:
    r"""A value with its band.

    >>> banded(Band(value=0.36, low=0.3512, high=0.369), "°C/W", 3)
    '0.360\xa0°C/W (0.351 to 0.369)'
    """
    between = ends(band, decimals)
    said = with_unit(number(band.value, decimals), unit)
    return f"{said} ({between})" if between and math.isfinite(band.high) else said


def time_words(seconds: float) -> str:
    r"""A time as one would time it.

    >>> time_words(42.3), time_words(104), time_words(734), time_words(7300), time_words(float("inf"))
    ('42\xa0s', '104\xa0s', '12\xa0min', '2.0\xa0h', 'never')
    """
    if not math.isfinite(seconds):
        return "never"
    unit, one, decimals = _unit_of(seconds)
    return with_unit(number(seconds / one, decimals), unit)


def _unit_of(seconds: float) -> tuple[str, float, int]:
    """The unit that a time is told in, its seconds, and how many decimals are told."""
    if seconds < 5 * MINUTE_S:
        return "s", 1.0, 0
    return ("min", MINUTE_S, 0) if seconds < 2 * HOUR_S else ("h", HOUR_S, 1)


def time_banded(band: Band) -> str:
    r"""A time with its band, in one unit.

    >>> time_banded(Band(value=734.0, low=691.0, high=790.0))
    '12\xa0min (12 to 13)'
    >>> time_banded(Band(value=100.9, low=99.1, high=102.7))
    '101\xa0s (99 to 103)'
    """
    said = time_words(band.value)
    if not math.isfinite(band.high):
        return f"{said} ({time_words(band.low)} or longer)"
    _, one, decimals = _unit_of(band.value)
    between = ends(Band(value=band.value / one, low=band.low / one, high=band.high / one), decimals)
    return f"{said} ({between})" if between else said
