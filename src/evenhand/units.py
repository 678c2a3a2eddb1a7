"""The fixed unit table: what a written unit means, and how to turn it into ours.

Inside Evenhand each quantity has one unit, spoken in names: `frame_times_ms`, `elapsed_s`,
`power_w`, `clock_mhz`, `temperature_c`, `load_pct`. Logs may use any unit of the table.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from evenhand.errors import BadRecord, nearest


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """One unit: `value × factor + offset` is the value in the quantity's own unit."""

    symbol: str
    quantity: str
    factor: float
    offset: float = 0.0


OWN_UNITS = {
    "time": "s",
    "clock": "MHz",
    "temperature": "°C",
    "power": "W",
    "energy": "J",
    "load": "%",
    "voltage": "V",
    "current": "A",
    "turning": "rpm",
    "memory": "MiB",
    "rate": "1/s",
    "sound": "dB(A)",
    "count": "1",
}


def _table() -> dict[str, Unit]:
    rows: list[tuple[str, str, float, float]] = [
        ("s", "time", 1.0, 0.0), ("ms", "time", 1e-3, 0.0), ("us", "time", 1e-6, 0.0),
        ("ns", "time", 1e-9, 0.0), ("min", "time", 60.0, 0.0), ("h", "time", 3600.0, 0.0),
        ("MHz", "clock", 1.0, 0.0), ("GHz", "clock", 1e3, 0.0), ("kHz", "clock", 1e-3, 0.0),
        ("Hz", "clock", 1e-6, 0.0),
        ("°C", "temperature", 1.0, 0.0), ("K", "temperature", 1.0, -273.15),
        ("°F", "temperature", 5 / 9, -160 / 9),
        ("W", "power", 1.0, 0.0), ("mW", "power", 1e-3, 0.0), ("kW", "power", 1e3, 0.0),
        ("J", "energy", 1.0, 0.0), ("Wh", "energy", 3600.0, 0.0), ("kWh", "energy", 3.6e6, 0.0),
        ("%", "load", 1.0, 0.0),
        ("V", "voltage", 1.0, 0.0), ("mV", "voltage", 1e-3, 0.0),
        ("A", "current", 1.0, 0.0), ("mA", "current", 1e-3, 0.0),
        ("rpm", "turning", 1.0, 0.0),
        ("MiB", "memory", 1.0, 0.0), ("GiB", "memory", 1024.0, 0.0), ("KiB", "memory", 1 / 1024, 0.0),
        ("MB", "memory", 1e6 / 2**20, 0.0), ("GB", "memory", 1e9 / 2**20, 0.0), ("B", "memory", 2**-20, 0.0),
        ("1/s", "rate", 1.0, 0.0), ("fps", "rate", 1.0, 0.0), ("1/min", "rate", 1 / 60, 0.0),
        ("1/h", "rate", 1 / 3600, 0.0),
        ("dB(A)", "sound", 1.0, 0.0),
        ("1", "count", 1.0, 0.0),
    ]  # fmt: skip
    return {s: Unit(symbol=s, quantity=q, factor=f, offset=o) for s, q, f, o in rows}


UNITS = _table()

# Other spellings seen in headers, folded to lower case; only where one meaning is possible.
SPELLINGS = {
    "sec": "s", "secs": "s", "second": "s", "seconds": "s",
    "msec": "ms", "millisecond": "ms", "milliseconds": "ms",
    "µs": "us", "μs": "us", "usec": "us", "microsecond": "us", "microseconds": "us",
    "nsec": "ns", "nanosecond": "ns", "nanoseconds": "ns",
    "minute": "min", "minutes": "min", "hour": "h", "hours": "h",
    "c": "°C", "degc": "°C", "celsius": "°C", "deg c": "°C", "kelvin": "K", "degf": "°F", "fahrenheit": "°F",
    "watt": "W", "watts": "W", "percent": "%", "pct": "%", "volt": "V", "volts": "V",
    "amp": "A", "amps": "A", "ampere": "A", "frames/s": "fps", "frames per second": "fps", "dba": "dB(A)",
}  # fmt: skip

_BRACKETED = re.compile(r"[\[(<{]\s*([^\])>}]+?)\s*[\])>}]\s*$")


def unit(symbol: str) -> Unit:
    """The unit a person named, by symbol or common spelling.

    >>> unit("µs").factor
    1e-06
    >>> unit("parsec")
    Traceback (most recent call last):
    evenhand.errors.BadRecord: 'parsec' is not a unit of the table; did you mean 'sec'?
    """
    found = find_unit(symbol)
    if found is None:
        known = [*UNITS, *SPELLINGS]
        raise BadRecord(f"'{symbol}' is not a unit of the table", todo=nearest(symbol, known))
    return found


def find_unit(symbol: str) -> Unit | None:
    """The unit this text names, or None. Exact symbols first: mW and MW must not meet by case."""
    text = symbol.strip()
    if text in UNITS:
        return UNITS[text]
    folded = text.lower()
    if folded in SPELLINGS:
        return UNITS[SPELLINGS[folded]]
    same = [u for s, u in UNITS.items() if s.lower() == folded]
    return same[0] if len(same) == 1 else None


def unit_in_header(header: str) -> Unit | None:
    """The unit a column header carries in brackets or as its last word.

    >>> unit_in_header("frame [ms]").symbol, unit_in_header("elapsed_s").symbol
    ('ms', 's')
    >>> unit_in_header("bodies") is None
    True
    """
    bracketed = _BRACKETED.search(header)
    if bracketed:
        return find_unit(bracketed.group(1))
    words = re.split(r"[\s_.\-]+", header.strip())
    # "column 1" counts columns; it does not say that they count something.
    return find_unit(words[-1]) if len(words) > 1 and not words[-1].isdigit() else None
