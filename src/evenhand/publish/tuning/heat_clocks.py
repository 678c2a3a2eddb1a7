"""How far a clock may go before its part gets too hot, and what rate that is, in words."""

from __future__ import annotations

from collections.abc import Sequence

from evenhand.publish.direction import isolated
from evenhand.publish.numbers import as_written, counted, listed, number, with_unit
from evenhand.publish.spans import Span
from evenhand.publish.tuning.bands import degrees, ends
from evenhand.publish.tuning.words import whose_words
from evenhand.records.trials import Limit
from evenhand.tuning.bands import Band


def allowed_words(
    clock: Band | None,
    limit: Limit,
    *,
    room_c: float,
    load: str,
    lowest_mhz: float,
    at_top: bool,
    under: bool,
) -> str:
    """How far the clock may go in a room. `under` says that it is under another cooler."""
    place = f"In a room of {degrees(room_c, 0 if float(room_c).is_integer() else 1)}"
    place += f" under {isolated(load)}" + (" and the other cooler" if under else "")
    most = f"{whose_words(limit)} limit of {with_unit(as_written(limit.most), '°C')}"
    if clock is None:
        lowest = with_unit(number(lowest_mhz), "MHz")
        return f"{place} not even {lowest}, the lowest clock with an advised voltage, stays within {most}."
    said = with_unit(number(clock.value), "MHz")
    if at_top:
        return f"{place} even {said}, the highest clock with an advised voltage, stays within {most}."
    between = ends(clock)
    return f"{place} clocks up to {said}{f' ({between})' if between else ''} stay within {most}."


def held_back_words(clocks_mhz: Sequence[float]) -> str:
    """That nothing is advised at clocks within that, and why the two differ.

    >>> held_back_words([4550.0, 4600.0]).replace("\u00a0", " ")[:59]
    'Of these nothing is advised at 4,550 MHz and 4,600 MHz: the'
    """
    clocks = listed(tuple(with_unit(number(each), "MHz") for each in clocks_mhz))
    return (
        f"Of these nothing is advised at {clocks}: the advice takes no law of the watts but what was read "
        "there, or at the nearest point that asks more of the part. Read the watts there in a trial, which "
        "settles it."
    )


def hotter_words(room_c: float, advised_c: float) -> str:
    """That the voltages behind a clock are advised for cooler rooms than the one that is told of.

    >>> hotter_words(45.0, 30.0).replace("\u00a0", " ")
    'Voltages are advised for rooms of up to 30 °C: in one of 45 °C none of these clocks is advised at them.'
    """
    return (
        f"Voltages are advised for rooms of up to {degrees(advised_c)}: in one of {degrees(room_c)} "
        "none of these clocks is advised at them."
    )


def rate_words(rate: Band, tests: int) -> str:
    """What such a clock does over stock, and by what that is known; without tests it is no more than that.

    >>> rate_words(Band(value=1.04, low=1.04, high=1.04), 0).replace("\u00a0", " ")
    'Over stock that is at most +4.0 % of rate: no test has measured yet what its clock moves.'
    """
    if not tests:
        most, highest = (
            with_unit(number(100 * (of - 1), 1, signed=True), "%") for of in (rate.value, rate.high)
        )
        more = "" if most == highest else f", and at the highest that the clock may be {highest}"
        return (
            f"Over stock that is at most {most} of rate{more}: no test has measured yet what its clock moves."
        )
    over = Span(
        value=100 * (rate.value - 1), low=100 * (rate.low - 1), high=100 * (rate.high - 1), alone=2
    ).words("%", signed=True)
    return f"Over stock that is {over} of rate, as the clock moved it in {counted(tests, 'test')}."
