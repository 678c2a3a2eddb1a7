"""Amounts in a sentence on tuned parts: millivolts, watts, degrees, and what the words about each are of."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from evenhand.prose.reading import Reading
from evenhand.prose.spelling import decimals_of, value_of
from evenhand.prose.tuned_said import Number, Span

UNITS: dict[str, tuple[str, float]] = {
    "voltage": ("mV", 1.0),
    "voltage_v": ("mV", 1000.0),
    "clock": ("MHz", 1.0),
    "clock_ghz": ("MHz", 1000.0),
    "watts": ("W", 1.0),
    "per_watt": ("°C/W", 1.0),
    "each_watt": ("°C/W", 1.0),
    "degrees": ("°C", 1.0),
    "per_cent": ("%", 1.0),
}
"""By the name of their pattern: the unit that they are held against the record in, and how many of it."""

MOST_SLACK = 5.0  # "about 1,180 mV" is no wider than that, in whichever unit


@dataclass(frozen=True, slots=True, kw_only=True)
class Amount:
    """An amount as it was said: a number, or from a first to a last one; `rough` where it is hedged."""

    unit: str
    first: Number
    last: Number | None
    rough: bool
    span: Span

    def tells(self, value: float, low: float | None = None, high: float | None = None) -> bool:
        """Whether a value is told by it; hedged, anything within the value's interval is."""
        if self.last is not None:
            return self._tells_ends(value, low, high)
        if self._is_near(abs(self.first.value), abs(value)):
            return True
        inside = low is not None and high is not None and low <= self.first.value <= high
        return self.rough and inside

    def _tells_ends(self, value: float, low: float | None, high: float | None) -> bool:
        """From where to where: just the interval, or a stretch that holds the value."""
        assert self.last is not None
        if low is not None and high is not None and self.first.is_near(low) and self.last.is_near(high):
            return True
        return self.first.value - self.first.half <= value <= self.last.value + self.last.half

    def _is_near(self, said: float, value: float) -> bool:
        slack = self.first.half if not self.rough else max(self.first.half, _slack(said))
        return abs(said - value) < max(slack - 1e-6, 1e-6)


def _slack(said: float) -> float:
    """Half of the last digit that is not zero, as rough words have it, and no more than a little.

    >>> _slack(1180.0), _slack(1200.0), _slack(114.0), _slack(65.5)
    (5.0, 5.0, 0.5, 0.5)
    """
    digits = f"{said:.12g}".partition(".")[0]
    zeros = len(digits) - len(digits.rstrip("0"))
    return min(0.5 * 10.0**zeros, MOST_SLACK)


def amounts_in(reading: Reading) -> Iterator[Amount]:
    """Every amount of a sentence that a tuned part may have, in its order."""
    text, rules, found = reading.sentence.text, reading.rules, list[Amount]()
    if not rules["tuning.amount.any"].search(text):
        return
    for name, (unit, many) in UNITS.items():
        for each in rules[f"tuning.amount.{name}"].finditer(text):
            if all(each.end() <= start or end <= each.start() for start, end in (a.span for a in found)):
                amount = _amount(each, unit, many, reading)
                found += [] if amount is None else [amount]
    yield from sorted(found, key=lambda each: each.span)


def _amount(found: re.Match[str], unit: str, many: float, reading: Reading) -> Amount | None:
    first = _number(found["n"], many, found.span(), reading)
    last = _number(found["m"], many, found.span(), reading) if found["m"] else None
    if first is None:
        return None
    before = reading.sentence.text[: found.start()]
    rough = reading.rules["tuning.rough"].search(before) is not None
    return Amount(unit=unit, first=first, last=last, rough=rough, span=found.span())


def _number(written: str, many: float, span: Span, reading: Reading) -> Number | None:
    if written.casefold() in reading.rules.plain["tuning"]["half"]:
        return Number(value=0.5 * many, half=0.05 * many, span=span)
    value = value_of(written, reading.rules)
    if value is None:
        return None
    return Number(value=value * many, half=0.5 * many * 10.0 ** -decimals_of(written), span=span)


def stretch_of(amount: Amount, amounts: tuple[Amount, ...], reading: Reading) -> Span:
    """The stretch of the sentence that an amount stands in, between words that join and signs that part."""
    cuts = [
        found.span() for found in reading.rules["tuning.parted"].finditer(reading.sentence.text)
        if not any(each.span[0] < found.start() < each.span[1] for each in amounts)
    ]  # fmt: skip
    start = max((end for _, end in cuts if end <= amount.span[0]), default=0)
    last = min((at for at, _ in cuts if at >= amount.span[1]), default=len(reading.sentence.text))
    return start, last


def topics_in(span: Span, reading: Reading) -> frozenset[str]:
    """What the words of a stretch are of, as the rules name it."""
    text = reading.text(span)
    names = reading.rules.plain["tuning"]["topic"]
    return frozenset(name for name in names if reading.rules[f"tuning.topic.{name}"].search(text))
