"""Which temperature log tells what: why one is passed over, how others agree, how it holds at rest."""

from __future__ import annotations

from evenhand.publish.numbers import number
from evenhand.publish.tuning.bands import degrees, ends, kelvins, watts_words
from evenhand.tuning.heat_choice import Otherwise, Settled
from evenhand.tuning.heat_doubts import Doubt
from evenhand.tuning.heat_rest import RestChecked

PASSED_OVER: tuple[tuple[Doubt, str], ...] = (
    (Doubt.UNRELATED, "its temperature does not follow its power"),
    (Doubt.POWER_CONSTANT, "its power never changed, so that it tells no °C per watt and no time"),
    (Doubt.ROOM_UNKNOWN, "its room is not on record, so that it tells of no other room"),
    (Doubt.TOO_SHORT, "it is shorter than three times its slowest time constant"),
    (Doubt.HARDLY_KNOWN, "how long it takes is hardly told by it"),
)
"""Why a later log is passed over for an earlier one, by what it lacks."""


def passed_over_words(lack: Doubt, teller: int) -> str:
    """That an earlier log tells more, and of what this one lacks."""
    return f"{dict(PASSED_OVER)[lack]}: log {teller} tells more"


def settled_words(number_of: int, teller: int, found: Settled) -> str:
    """Where a later log settled, and where the one that is told of says that it does."""
    between = ends(found.says)
    says = f"{degrees(found.says.value)}{f' ({between})' if between else ''}"
    return (
        f"Log {number_of} settled at {degrees(found.temperature_c)} at {watts_words(found.watts)} in a room "
        f"of {degrees(found.room_c)}, where log {teller} says {says}."
    )


def otherwise_words(earlier: int, teller: int, found: Otherwise) -> str:
    r"""What an earlier log and the one that is told of say, both in figures.

    >>> from evenhand.tuning.bands import Band
    >>> at = [Band(value=each, low=each, high=each) for each in (86.0, 95.0)]
    >>> found = Otherwise(watts=114, room_c=30, earlier=at[0], own=at[1])
    >>> otherwise_words(1, 2, found).replace("\u00a0", " ")
    'At 114 W in a room of 30 °C log 1 says 86 °C and log 2, which is believed as the later one, 95 °C.'
    """
    return (
        f"At {watts_words(found.watts)} in a room of {degrees(found.room_c)} log {earlier} says "
        f"{degrees(found.earlier.value)} and log {teller}, which is believed as the later one, "
        f"{degrees(found.own.value)}."
    )


def tells_words(teller: int) -> str:
    """Which log °C per watt and time are told by."""
    return f"°C per watt and how long it takes are told by log {teller}."


def rest_words(found: RestChecked) -> str:
    r"""How the network of all other rows holds at rest after load, measured on the log itself.

    >>> rest_words(RestChecked(mean_c=-3.09, most_c=-3.7, others_c=1.1, middle_w=410))[:51]
    'At rest after load it read 3.1\xa0K cooler on average '
    """
    return (
        f"At rest after load it read {_mean(found)} the network of all other rows says, and "
        f"{kelvins(abs(found.most_c), 1)} where it was farthest off; 95 of 100 other readings lie within "
        f"{kelvins(found.others_c, 1)}."
    )


def _mean(found: RestChecked) -> str:
    if number(abs(found.mean_c), 1) == number(0.0, 1):
        return "on average what"
    way = "warmer" if found.mean_c > 0 else "cooler"
    return f"{kelvins(abs(found.mean_c), 1)} {way} on average than"
