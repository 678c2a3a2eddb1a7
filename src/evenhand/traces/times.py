"""Times of day and dates as logs write them, turned into nanoseconds and a start with its zone."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta, timezone

import numpy as np
import numpy.typing as npt

from evenhand.errors import BadLog, BadRecord
from evenhand.records.layouts import Column
from evenhand.traces.fields import read_number
from evenhand.traces.flaws import (
    ASSUMED_DATE_ORDER,
    ASSUMED_ZONE,
    PAST_MIDNIGHT,
    UNREADABLE_FIELD,
    FlawNotes,
    place,
)
from evenhand.traces.tables import Bools, Floats, RowPlaces

Nanoseconds = npt.NDArray[np.int64]

NS = 1_000_000_000
_DAY_NS = 86_400 * NS
_CLOCK = r"(?P<h>\d{1,2}):(?P<m>\d{2})(?::(?P<s>\d{2})(?:[.,](?P<f>\d{1,12}))?)?"
_ZONE = r"(?P<zone>Z|UTC|[+-]\d{2}:?\d{2}|[+-]\d{2})?"
_YEAR_FIRST = re.compile(
    rf"(?P<y>\d{{4}})[-/.](?P<a>\d{{1,2}})[-/.](?P<b>\d{{1,2}})(?:T|\s+){_CLOCK}\s*{_ZONE}", re.ASCII
)
_YEAR_LAST = re.compile(
    rf"(?P<a>\d{{1,2}})[-/.](?P<b>\d{{1,2}})[-/.](?P<y>\d{{4}})(?:T|\s+){_CLOCK}\s*{_ZONE}", re.ASCII
)
_CLOCK_ONLY = re.compile(rf"{_CLOCK}\s*{_ZONE}", re.ASCII)
_OFFSET = re.compile(r"([+-])(\d{1,2}):?(\d{2})?", re.ASCII)
# A count since 1970 by its size: seconds reach 1e11 in the year 5138.
_EPOCH_STEPS = ((1e17, 1), (1e14, 1_000), (1e11, 1_000_000), (0.0, NS))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Times:
    """Row by row: seconds from the first time that can be read, NaN where it cannot.

    `started_at` is that first time in UTC, None where the log gives no date.
    """

    seconds: Floats
    started_at: datetime | None


def read_times(texts: Sequence[str], column: Column, *, places: RowPlaces, notes: FlawNotes) -> Times:
    """Times of a column: dates with a time of day, times of day alone, or counts since 1970.

    The column's unit may give its zone: "UTC", "+02:00". Years first are read as
    year-month-day; years last by whichever of day and month exceeds twelve, else day first, and said so.

    Raises BadLog where no time can be read.
    """
    header, fixed = column.header, zone_of(column)
    parts = [_parts(t) for t in texts]
    bad = np.array([p is None for p in parts], dtype=np.bool_)
    known = [p for p in parts if p is not None]
    if not known:
        raise BadLog(
            f"no time can be read, the first field says '{texts[0][:24]}'",
            where=place(places.name, line=places.line(0), column=header),
            todo="name another column as time, or write times as 2031-05-04 10:20:30.5",
        )
    _note_bad(bad, texts, places, header=header, notes=notes)
    day_first = _day_first(known, header=header, notes=notes)
    ns = np.zeros(len(parts), dtype=np.int64)
    where = place(places.name, column=header)
    ns[~bad] = [_nanoseconds(p, fixed, day_first=day_first, where=where) for p in known]
    dated = all(p.dated for p in known)
    if dated and fixed is None and not all(p.zoned for p in known):
        notes.say(ASSUMED_ZONE, f"column '{header}' gives no time zone: read as UTC")
    if not dated:
        ns = _over_midnight(ns, bad, places, notes)
    return _times(ns, bad, dated=dated)


def _times(ns: Nanoseconds, bad: Bools, *, dated: bool) -> Times:
    first = int(ns[~bad][0])
    seconds = (ns - first) / NS
    seconds[bad] = np.nan
    start = datetime(1970, 1, 1, tzinfo=UTC) + timedelta(microseconds=first // 1000) if dated else None
    return Times(seconds=seconds, started_at=start)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Parts:
    """One time taken apart; `order` is "ymd", "?" (a and b are day and month in some order) or "" (none)."""

    order: str = ""
    year: int = 0
    a: int = 0
    b: int = 0
    clock_ns: int = 0
    zone: str = ""
    epoch: bool = False

    @property
    def dated(self) -> bool:
        return self.epoch or bool(self.order)

    @property
    def zoned(self) -> bool:
        return self.epoch or bool(self.zone)


def _parts(text: str) -> _Parts | None:
    for pattern, order in ((_YEAR_FIRST, "ymd"), (_YEAR_LAST, "?"), (_CLOCK_ONLY, "")):
        match = pattern.fullmatch(text)
        if match:
            return _from_match(match, order)
    count = read_number(text.replace(",", ".", 1), ".")
    if count is None or not 1e8 <= count < 9e18:
        return None
    step = next(ns for least, ns in _EPOCH_STEPS if count >= least)
    exact = int(text) * step if text.isdigit() else round(count * step)
    return _Parts(epoch=True, clock_ns=exact) if exact < 9e18 else None


def _from_match(match: re.Match[str], order: str) -> _Parts | None:
    hour, minute, second = int(match["h"]), int(match["m"]), int(match["s"] or 0)
    if hour > 23 or minute > 59 or second > 60:
        return None
    fraction = int(((match["f"] or "") + "0" * 9)[:9])
    clock_ns = (hour * 3600 + minute * 60 + second) * NS + fraction
    if not order:
        return _Parts(clock_ns=clock_ns, zone=match["zone"] or "")
    return _checked(
        _Parts(order=order, year=int(match["y"]), a=int(match["a"]), b=int(match["b"]), clock_ns=clock_ns,
               zone=match["zone"] or "")
    )  # fmt: skip


def _checked(parts: _Parts) -> _Parts | None:
    """None for a date that does not exist in either order; int64 nanoseconds reach from 1678 to 2261."""
    orders = [(parts.a, parts.b)] if parts.order == "ymd" else [(parts.a, parts.b), (parts.b, parts.a)]
    return parts if 1678 <= parts.year <= 2261 and any(_exists(parts.year, m, d) for m, d in orders) else None


def _exists(year: int, month: int, day: int) -> bool:
    try:
        date(year, month, day)
    except ValueError:
        return False
    return True


def _day_first(known: Sequence[_Parts], *, header: str, notes: FlawNotes) -> bool:
    open_order = [p for p in known if p.order == "?"]
    if any(p.b > 12 for p in open_order):
        return False
    if open_order and not any(p.a > 12 for p in open_order) and any(p.a != p.b for p in open_order):
        notes.say(
            ASSUMED_DATE_ORDER, f"column '{header}': {open_order[0].a}/{open_order[0].b} read as day, month"
        )
    return True


def _nanoseconds(parts: _Parts, fixed: timezone | None, *, day_first: bool, where: str) -> int:
    if parts.epoch:
        return parts.clock_ns
    ns = parts.clock_ns - _offset_ns(parts.zone, fixed)
    if not parts.order:
        return ns
    month, day = (parts.b, parts.a) if parts.order == "?" and day_first else (parts.a, parts.b)
    if not _exists(parts.year, month, day):
        raise BadLog(
            f"dates are written in two orders: {parts.a}/{parts.b}/{parts.year} does not fit the others",
            where=where,
            todo="export the times with the year first",
        )
    return ns + (date(parts.year, month, day).toordinal() - date(1970, 1, 1).toordinal()) * _DAY_NS


def _offset_ns(zone: str, fixed: timezone | None) -> int:
    given = _zone(zone) if zone else fixed
    return 0 if given is None else int(given.utcoffset(None).total_seconds()) * NS


def _zone(text: str) -> timezone | None:
    if text.upper() in ("Z", "UTC"):
        return UTC
    match = _OFFSET.fullmatch(text)
    if match is None or int(match[2]) > 23 or int(match[3] or 0) > 59:
        return None
    minutes = int(match[2]) * 60 + int(match[3] or 0)
    return timezone(timedelta(minutes=-minutes if match[1] == "-" else minutes))


def zone_of(column: Column) -> timezone | None:
    """The zone a layout names for a column of times, None where it names none.

    Raises BadRecord for anything but UTC or an offset: names of places change their offset by law.

    >>> from evenhand.records.layouts import Role
    >>> zone_of(Column(header="time", role=Role.TIMESTAMP, unit="+02:00")).utcoffset(None).total_seconds()
    7200.0
    """
    text = column.unit.strip()
    zone = _zone(text) if text else None
    if text and zone is None:
        raise BadRecord(
            f"'{text}' is no time zone",
            where=f"column '{column.header}'",
            todo="write UTC or an offset such as +02:00 as the unit of this column",
        )
    return zone


def _over_midnight(ns: Nanoseconds, bad: Bools, places: RowPlaces, notes: FlawNotes) -> Nanoseconds:
    """A time of day that falls by more than half a day has passed midnight."""
    good = np.flatnonzero(~bad)
    falls = np.flatnonzero(np.diff(ns[good]) < -_DAY_NS // 2) + 1
    if not falls.size:
        return ns
    notes.note_all(PAST_MIDNIGHT, places.lines(good[falls]))
    moved = ns.copy()
    days = np.zeros(good.size, dtype=np.int64)
    days[falls] = 1
    moved[good] += np.cumsum(days) * _DAY_NS
    return moved


def _note_bad(bad: Bools, texts: Sequence[str], places: RowPlaces, *, header: str, notes: FlawNotes) -> None:
    rows = np.flatnonzero(bad)
    if rows.size:
        first = texts[int(rows[0])][:24]
        notes.note_all(UNREADABLE_FIELD, places.lines(rows), remark=f"column '{header}', first '{first}'")
