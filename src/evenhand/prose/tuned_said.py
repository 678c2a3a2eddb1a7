"""What a sentence says of trials: hours, failures, bound, load, room, clock and voltage, as it has them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from evenhand.prose.reading import Reading
from evenhand.prose.spelling import decimals_of, value_of
from evenhand.tuning.claims import Against
from evenhand.tuning.held import Held

Span = tuple[int, int]
A_DAY, A_YEAR = 24.0, 365.25 * 24.0
LONG = {"days": A_DAY, "weeks": 7 * A_DAY, "months": A_YEAR / 12}
IN_HOURS = {"hours": 1.0, "minutes": 1 / 60, **LONG}
OFTEN = {"bound": 1.0, "bound_minutes": 1 / 60} | {
    f"bound_{unit}": hours for unit, hours in {**LONG, "years": A_YEAR}.items()
}
IN_MHZ = {"clock": 1.0, "clock_ghz": 1000.0}
IN_MV = {"voltage": 1.0, "voltage_v": 1000.0}
HALF_A_DEGREE = 0.5
ONE = "1"  # "a day"


@dataclass(frozen=True, slots=True, kw_only=True)
class Number:
    """A number as it was said, in the unit of the record, and half of its last digit."""

    value: float
    half: float
    span: Span

    def is_near(self, value: float) -> bool:
        """Whether a value is told by it; one right between two numbers is told by neither."""
        return abs(self.value - value) < max(self.half - 1e-6, 1e-6)

    def is_down_from(self, value: float) -> bool:
        """Whether it is a value rounded down, as hours are told."""
        return -1e-6 <= value - self.value < 2 * self.half


@dataclass(frozen=True, slots=True, kw_only=True)
class SaidOfTrials:
    """What a sentence says of trials; None and empty where it is silent. `loads` are those that it names.

    `points` are all clocks and voltages in it.
    `failures` is 0 for none, and `other_load` one that nothing on record was tried under.
    """

    failures: int | None = None
    hours: Number | None = None
    bound: Number | None = None
    rooms: tuple[Number, ...] = ()
    clock: Number | None = None
    voltage: Number | None = None
    loads: tuple[str, ...] = ()
    other_load: str = ""
    spans: tuple[Span, ...] = ()
    points: frozenset[float] = frozenset()

    @property
    def claims(self) -> bool:
        """Whether it says what hours showed, or what they bound."""
        return self.bound is not None or (self.failures is not None and self.hours is not None)

    @property
    def timeless(self) -> bool:
        """Whether it says that nothing failed, and not for how long; that stands last of `spans` then."""
        return self.failures == 0 and self.hours is None and self.bound is None

    def is_of(self, held: Held) -> bool:
        """Whether all of it is so of one point on record."""
        return not self.other_load and all((
            self.failures is None or self.hours is None or self._seen(held),
            self.bound is None or self.bound.value <= held.claim.fewer_than_one_in_h + 1e-6,
            all(_in_rooms(each, held) for each in self.rooms),
            self.clock is None or self.clock.is_near(held.clock_mhz),
            self.voltage is None or self.voltage.is_near(held.voltage_mv),
            not self.loads or held.load in self.loads,
            held.claim.against is None or self._tells(held.claim.against),
        ))  # fmt: skip

    def _tells(self, against: Against) -> bool:
        """Whether it tells what failed though it asks no more: no hours of what held stand without that."""
        return (against.voltage_mv or against.clock_mhz) in self.points

    def _seen(self, held: Held) -> bool:
        """So many failures in these hours; of none, fewer hours than there were are true as well."""
        assert self.hours is not None
        if self.failures != held.claim.failures:
            return False
        if not self.failures:
            return self.hours.value <= held.claim.hours + 1e-6
        return self.hours.is_near(held.claim.hours) or self.hours.is_down_from(held.claim.hours)


def said_of_trials(reading: Reading, loads: Iterable[str]) -> SaidOfTrials:
    """What a sentence says of trials under these loads, or under any other."""
    text, rules = reading.sentence.text, reading.rules
    bound = _bound(reading)
    masked = text if bound is None else _masked(text, bound.span)
    failures, at = _failures(masked, reading)
    hours = _compound(reading, masked) or _number(reading, IN_HOURS, text=masked)
    clock, voltage = (_number(reading, units, text=masked) for units in (IN_MHZ, IN_MV))
    rooms = tuple(_rooms(masked, reading))
    named = tuple(_named(loads, reading))
    if failures is None and hours is not None and rules["tuning.survived"].search(masked):
        failures = 0
    other = None if named else rules["tuning.of_load"].search(masked)
    level = [found.span() for found in rules["tuning.level"].finditer(text)]
    told = [each.span for each in (hours, bound, clock, voltage, *rooms) if each is not None]
    return SaidOfTrials(
        failures=failures, hours=hours, bound=bound, rooms=rooms, clock=clock, voltage=voltage, loads=named,
        other_load=other["load"] if other and not rules["tuning.any_load"].search(other["load"]) else "",
        spans=(*told, *level, *at), points=frozenset(_points(masked, reading)),
    )  # fmt: skip


def _points(text: str, reading: Reading) -> Iterator[float]:
    """Every clock and voltage, in MHz and mV."""
    for name, unit in (IN_MHZ | IN_MV).items():
        for found in reading.rules[f"tuning.{name}"].finditer(text):
            value = value_of(found["n"], reading.rules)
            if value is not None:
                yield round(value * unit, 6)


def _bound(reading: Reading) -> Number | None:
    """How seldom something fails; "once a month" is of failures where the sentence has a word for them."""
    found, rules = _number(reading, OFTEN), reading.rules
    if found is None or rules["tuning.one_in"].search(reading.text(found.span)):
        return found
    text = reading.sentence.text
    return found if rules["tuning.failing"].search(text) or rules["tuning.level"].search(text) else None


def _number(reading: Reading, units: dict[str, float], *, text: str = "") -> Number | None:
    """The first number in one of these units."""
    for name, unit in units.items():
        found = reading.rules[f"tuning.{name}"].search(text or reading.sentence.text)
        if found is not None:
            return _told(found["n"] or ONE, unit, found.span(), reading)
    return None


def _compound(reading: Reading, text: str) -> Number | None:
    """Days and hours, or hours and minutes, as one time; None where nothing smaller stands right behind."""
    for name in ("days", "hours"):
        for found in reading.rules[f"tuning.{name}"].finditer(text):
            said, unit = _told(found["n"] or ONE, IN_HOURS[name], found.span(), reading), IN_HOURS[name]
            more = reading.rules["tuning.and_more"].match(text, found.end())
            while said is not None and more is not None:
                smaller = 1.0 if more["h"] else IN_HOURS["minutes"]
                part = _told(more["n"], smaller, (found.start(), more.end()), reading)
                if part is None or not part.value < unit or smaller >= unit:
                    break
                said, unit = replace(part, value=said.value + part.value), smaller
                more = reading.rules["tuning.and_more"].match(text, more.end())
            if said is not None and unit < IN_HOURS[name]:
                return said
    return None


def _told(written: str, unit: float, span: Span, reading: Reading) -> Number | None:
    value = value_of(written, reading.rules)
    if value is None:
        return None
    return Number(value=value * unit, half=0.5 * unit * 10.0 ** -decimals_of(written), span=span)


def _rooms(text: str, reading: Reading) -> Iterator[Number]:
    found = reading.rules["tuning.room"].search(text)
    for name in ("n", "m") if found else ():
        told = _told(found[name], 1.0, found.span(), reading) if found and found[name] else None
        if told is not None:
            yield told


def _failures(text: str, reading: Reading) -> tuple[int | None, tuple[Span, ...]]:
    """How many failures, and where that stands."""
    rules = reading.rules
    none = rules["tuning.no_failure"].search(text)
    if none is not None:
        return 0, (none.span(),)
    some = rules["tuning.failures"].search(text)
    value = value_of(some["n"], rules) if some else None
    return (None, ()) if some is None or value is None else (round(value), (some.span(),))


def _named(loads: Iterable[str], reading: Reading) -> Iterator[str]:
    """The loads that a sentence names, as it was written."""
    start, end = reading.sentence.source(0, len(reading.sentence.text))
    words = " ".join(reading.script[start:end].casefold().split())
    for load in dict.fromkeys(loads):
        if re.search(rf"(?<!\w){re.escape(' '.join(load.casefold().split()))}(?!\w)", words):
            yield load


def _in_rooms(said: Number, held: Held) -> bool:
    """Whether a room is one of those in which a point was tried, to the degree."""
    if held.claim.rooms_c is None:
        return False
    low, high = held.claim.rooms_c
    return low - HALF_A_DEGREE - said.half <= said.value <= high + HALF_A_DEGREE + said.half


def _masked(text: str, span: Span) -> str:
    return text[: span[0]] + "_" * (span[1] - span[0]) + text[span[1] :]
