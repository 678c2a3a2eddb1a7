"""A point held against stock: how far above or below it lies, and what trials there drew less or more."""

from __future__ import annotations

from evenhand.publish.numbers import number, with_unit
from evenhand.records.trials import Meter, Tuned


def stock_point(tuned: Tuned) -> tuple[float, float] | None:
    """Clock and voltage of stock as voltages of the part are written; None where its voltage is not known."""
    if tuned.offset or tuned.clock_alone:
        return tuned.stock_clock_mhz, 0.0
    return None if tuned.stock_voltage_mv is None else (tuned.stock_clock_mhz, tuned.stock_voltage_mv)


def beside_stock(point: tuple[float, float], stock: tuple[float, float]) -> str:
    r"""Where a point lies, held against stock.

    >>> beside_stock((2310, 985), (2310, 1045)), beside_stock((4650, 1245), (4500, 1150))
    ('60\xa0mV below stock at the stock clock', '95\xa0mV and 150\xa0MHz above stock')
    >>> beside_stock((4650, -20), (4500, 0)), beside_stock((3250, 0), (2800, 0)), beside_stock((1, 2), (1, 2))
    ('20\xa0mV below stock and 150\xa0MHz above it', '450\xa0MHz above stock', 'stock itself')
    """
    clock, volts = point[0] - stock[0], point[1] - stock[1]
    if not clock and not volts:
        return "stock itself"
    if not volts:
        return f"{_far(clock, 'MHz')} {_way(clock)} stock"
    said = f"{_far(volts, 'mV')} {_way(volts)} stock"
    if not clock:
        return f"{said} at the stock clock"
    if (clock > 0) == (volts > 0):
        return f"{_far(volts, 'mV')} and {_far(clock, 'MHz')} {_way(clock)} stock"
    return f"{said} and {_far(clock, 'MHz')} {_way(clock)} it"


def undervolted(point: tuple[float, float], stock: tuple[float, float]) -> bool:
    """Whether a point is the clock of stock with less voltage."""
    return point[0] == stock[0] and point[1] < stock[1]


def why_above(seldom: str) -> str:
    """Why more voltage than stock's is advised at the clock of stock, as a sentence; by the target."""
    return (
        f"Stock did not fail: its hours are too few to promise {seldom} of it so surely, and what is above "
        "its voltage is reserve."
    )


def drew_words(there_w: float, stock_w: float, meter: Meter) -> str:
    r"""What trials at a point drew, held against those at stock, as a sentence.

    >>> drew_words(118.2, 141.0, Meter.PART).partition(" and ")[2]
    'at stock 141\xa0W at the part, however long each ran: 23\xa0W less.'
    """
    there, stock = round(there_w), round(stock_w)
    watts = f"{with_unit(number(there), 'W')} and at stock {with_unit(number(stock), 'W')}"
    if there == stock:
        return (
            f"On average trials there read as much as at stock, {with_unit(number(stock), 'W')} at the "
            f"{meter.value}."
        )
    than = "less" if there < stock else "more"
    far = with_unit(number(abs(there - stock)), "W")
    read = f"{watts} at the {meter.value}, however long each ran"
    return f"On average trials there read {read}: {far} {than}."


def _far(value: float, unit: str) -> str:
    return with_unit(number(abs(value), 0 if float(value).is_integer() else 1), unit)


def _way(value: float) -> str:
    return "above" if value > 0 else "below"
