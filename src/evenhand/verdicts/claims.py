"""The nouns of the claim ladder: rungs, kinds of sentence, words with slots, and how a sentence stands."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import IntEnum, StrEnum
from typing import Any, TypeAlias


class Rung(IntEnum):
    """How far beyond its runs a sentence reaches; each says more than the one below."""

    SCENE = 1
    TESTS = 2
    CAUSE = 3
    UNTESTED = 4
    LASTING = 5


class Shown(StrEnum):
    """Whether the record bears a rung."""

    SHOWN = "shown"
    PARTLY = "partly"
    NOT_SHOWN = "not shown"


class Kind(StrEnum):
    """What sort of sentence it is, by what it asks of the record."""

    TEST = "a test's result"
    INDEX = "an index over tests"
    AUDIENCE = "a verdict for an audience"
    LEVEL = "level within the margin"
    NO_DIFFERENCE = "no difference"
    SUPERLATIVE = "first of all"
    CAUSE = "because of a part"
    FORECAST = "titles that were not tested"
    LASTING = "it will last"
    VALUE = "value for money"
    NOISE = "noise"
    HEAT = "heat"
    POWER = "power"


class As(StrEnum):
    """What fills a slot, and so how it is told."""

    SETUP = "setup"
    TEST = "test"
    GROUP = "group"
    PART = "part"
    AUDIENCE = "audience"
    WORD = "word"
    COUNT = "count"
    SHARE = "share"
    LEAD = "lead"
    RANGE = "range"
    MONEY = "money"
    DAY = "day"
    DECIBELS = "decibels"
    KELVINS = "kelvins"


Value: TypeAlias = str | float | date | None
Speak: TypeAlias = Callable[[tuple[Any, ...]], str]
Voice: TypeAlias = Mapping[As, Speak]


@dataclass(frozen=True, slots=True, kw_only=True)
class Slot:
    """Values that fill one slot, told together: names in a row, a ratio with its interval, a range."""

    sort: As
    values: tuple[Value, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """Words with named slots. Names and numbers stay keys and floats until they are told.

    COUNT holds a number and its noun; SHARE one share (0.03); LEAD a ratio with its ends, told without sign;
    RANGE the two ends as ratios, signed; DECIBELS and KELVINS a number with its ends; MONEY minor units.
    """

    key: str
    words: str
    slots: Mapping[str, Slot] = field(default_factory=dict)

    def told(self, voice: Voice | None = None) -> str:
        """The words with their slots filled: plainly, or by the voice of whoever publishes.

        >>> who, much = Slot(sort=As.SETUP, values=("ayre",)), Slot(sort=As.LEAD, values=(1.1, 1.05, 1.15))
        >>> said = Said(key="k", words="{who} by {much}", slots={"who": who, "much": much})
        >>> said.told({As.SETUP: lambda keys: keys[0].title()})
        'Ayre by 10 % (5 to 15)'
        """
        speak = {**PLAIN, **(voice or {})}
        return self.words.format(**{name: speak[s.sort](s.values) for name, s in self.slots.items()})


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """Whether a sentence of this kind may be said, and what may be said in its place.

    `rung` is the one that the sentence asks for; `stands_on` the highest on which the record has anything to
    say of this matter, None where it has not. `would_stand` is the sentence that the record bears, None where
    there is none. Where `allowed`, it is the sentence itself with its numbers.
    """

    kind: Kind
    rung: Rung
    allowed: bool
    reason: Said
    would_stand: Said | None = None
    stands_on: Rung | None = None
    tests: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class RungAnswer:
    """One rung: whether the record bears it, why, and for which tests where only for some."""

    rung: Rung
    name: str
    shown: Shown
    reason: Said
    tests: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Ladder:
    """All five rungs of a pair, lowest first, and the one that its verdict stands on (None: on none).

    A verdict speaks of tests: causes and forecasts are sentences of their own, and need each other not.
    """

    a: str
    b: str
    rungs: tuple[RungAnswer, ...]

    @property
    def stands_on(self) -> Rung | None:
        """The rung of the verdict's own sentence; None where nothing is called over these tests."""
        called = any(a.rung is Rung.TESTS and a.shown is Shown.SHOWN for a in self.rungs)
        return Rung.TESTS if called else None


def _row(values: tuple[Any, ...]) -> str:
    words = [str(value) for value in values]
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def _lead(values: tuple[Any, ...]) -> str:
    ratio, low, high = values
    if low is None or high is None:
        return f"{abs(100 * (ratio - 1)):.3g} %"
    ends = sorted((100 * (low - 1), 100 * (high - 1)), key=abs)
    if low < 1 < high:
        return f"{_signed(ratio)} % ({_signed(low)} to {_signed(high)})"
    return f"{abs(100 * (ratio - 1)):.3g} % ({abs(ends[0]):.3g} to {abs(ends[1]):.3g})"


def _signed(ratio: float) -> str:
    return f"{100 * (ratio - 1):+.3g}".replace("-", "−")


def _in(unit: str) -> Speak:
    def speak(values: tuple[Any, ...]) -> str:
        value, low, high = (*values, None, None)[:3]
        interval = "" if low is None or high is None else f" ({low:.3g} to {high:.3g})"
        return f"{value:.3g} {unit}{interval}".replace("-", "−")

    return speak


PLAIN: Voice = {
    **dict.fromkeys((As.SETUP, As.TEST, As.GROUP, As.PART, As.AUDIENCE, As.WORD), _row),
    As.COUNT: lambda values: f"{values[0]:,} {values[1]}{'' if values[0] == 1 else 's'}",
    As.SHARE: lambda values: f"{100 * values[0]:.3g} %",
    As.LEAD: _lead,
    As.RANGE: lambda ends: f"{_signed(ends[0])} to {_signed(ends[1])} %",
    As.MONEY: lambda values: f"{values[0] / 100:,.2f}",
    As.DAY: lambda days: _row(tuple(dict.fromkeys(day.isoformat() for day in days))),
    As.DECIBELS: _in("dB"),
    As.KELVINS: _in("K"),
}
"""How slots are told where nobody brings a voice: keys as they stand, numbers to three digits."""
