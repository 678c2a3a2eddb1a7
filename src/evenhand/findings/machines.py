"""What is on record of a setup: its parts by kind, its state, and what it and its runs say of themselves."""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache

from evenhand.records.builds import Build, Part, Setup
from evenhand.records.runs import Run
from evenhand.triage.stamp_words import plain_stamps, same_words
from evenhand.units import Unit, find_unit

_NUMBER = re.compile(r"^\s*([+−-]?\d+(?:[.,]\d+)?)\s*([^\s\d][^\d]*)?\s*$")

STATE = "state"

MACHINE_QUANTITIES = ("clock", "voltage", "power", "current", "turning")
"""Stamps in these quantities are of the machine: of the part that their name tells, and of its state."""

COMES_WITH: Mapping[str, tuple[str, ...]] = {"firmware": ("board",)}
"""Stamps that come with a part: another board has a firmware of its own."""


@dataclass(frozen=True, kw_only=True)  # no slots: what is worked out once is kept beside the fields
class Machine:
    """A setup with its build, the parts on record by key, and its counting runs."""

    setup: Setup
    build: Build
    parts: Mapping[str, Part]
    runs: tuple[Run, ...] = ()

    @property
    def key(self) -> str:
        """The setup's key."""
        return self.setup.key

    @property
    def unknown(self) -> tuple[str, ...]:
        """Parts that the build names and nobody described."""
        return tuple(key for key in self.build.parts if key not in self.parts)

    def by_kind(self) -> dict[str, tuple[str, ...]]:
        """The keys of its known parts by what they do, several of a kind in order."""
        kinds: dict[str, list[str]] = {}
        for key in self.build.parts:
            if key in self.parts:
                kinds.setdefault(self.parts[key].kind, []).append(key)
        return {kind: tuple(sorted(keys)) for kind, keys in kinds.items()}

    def stamps(self, test: str | None = None) -> dict[str, tuple[str, ...]]:
        """What setup and runs say of themselves, by plain name: each different value once, runs before setup.

        Where runs say something it holds, since they were there; the setup speaks where no run does. Only the
        runs of one test, where one is named.
        """
        return said_of(self.setup, self.runs if test is None else self.by_test.get(test, ()))

    @cached_property
    def by_test(self) -> Mapping[str, Sequence[Run]]:
        """Its runs of each test, tests in the order of their first run."""
        found: dict[str, list[Run]] = {}
        for run in self.runs:
            found.setdefault(run.test, []).append(run)
        return found


def said_of(setup: Setup, runs: Sequence[Run]) -> dict[str, tuple[str, ...]]:
    """What a setup and these runs of it say of themselves, by plain name: each different value once."""
    said: dict[str, list[str]] = {}
    last: Mapping[str, str] = {}
    for run in runs:
        if run.stamps == last:  # most runs say the very same
            continue
        last = run.stamps
        for name, value in plain_stamps(last).items():
            values = said.setdefault(name, [])
            if not any(same_value(value, other) for other in values):
                values.append(value)
    of_setup = {name: [value] for name, value in plain_stamps(setup.stamps).items()}
    return {name: tuple(sorted(values)) for name, values in {**of_setup, **said}.items()}


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantity:
    """A number with its unit, in the quantity's own unit (MHz, V, W)."""

    value: float
    unit: Unit


@lru_cache(maxsize=4096)
def quantity(text: str) -> Quantity | None:
    """The number that a stamp holds, where it holds one with a unit of the table and nothing else.

    >>> quantity("4,7 GHz").value, quantity("4700 MHz").value, quantity("F12"), quantity("31.4")
    (4700.0, 4700.0, None, None)
    """
    found = _NUMBER.match(text)
    if not found or not found.group(2):
        return None
    unit = find_unit(found.group(2))
    if unit is None:
        return None
    number = float(found.group(1).replace(",", ".").replace("−", "-"))
    return Quantity(value=number * unit.factor + unit.offset, unit=unit)


def same_value(one: str, other: str) -> bool:
    """Whether two stamps say the same: the same words, or the same number whatever its unit.

    >>> same_value("4.7 GHz", "4700 MHz"), same_value("31.4", "31.6")
    (True, False)
    """
    if same_words(one, other):
        return True
    a, b = quantity(one), quantity(other)
    if a is None or b is None or a.unit.quantity != b.unit.quantity:
        return False
    return abs(a.value - b.value) <= _ROUNDED * max(abs(a.value), abs(b.value))


_ROUNDED = 1e-9  # what turning one unit into another leaves of an equal number


def same_values(one: Sequence[str], other: Sequence[str]) -> bool:
    """Whether two sides say the same things."""
    return all(any(same_value(x, y) for y in other) for x in one) and all(
        any(same_value(x, y) for y in one) for x in other
    )


def comes_with(name: str, values: Sequence[str], kinds: Collection[str]) -> tuple[str, ...]:
    """What a stamp comes with, of these kinds of part and the state: nothing where it stands by itself.

    A clock, voltage or power comes with the state, and with the parts of the kind that its name tells: the
    clock of a processor that is the same on both sides is no part of another graphics card.

    >>> comes_with("processor clock", ["4.5 GHz"], ("processor", "graphics", "state"))
    ('processor', 'state')
    >>> comes_with("power limit", ["250 W"], ("graphics",)), comes_with("driver", ["31.4"], ("graphics",))
    ((), ())
    """
    if name in COMES_WITH:
        return tuple(kind for kind in COMES_WITH[name] if kind in kinds)
    if not is_of_machine(values):
        return ()
    return tuple(kind for kind in kinds if kind == STATE or f" {kind} " in f" {name} ")


def setting_name(name: str, kinds: Collection[str]) -> str:
    """What a stamp is called beside kinds of part, which may go by the same word.

    >>> setting_name("memory", ("memory", "board")), setting_name("driver", ("memory", "board"))
    ('memory setting', 'driver')
    """
    return f"{name} setting" if name in kinds or name == STATE else name


def is_of_machine(values: Sequence[str]) -> bool:
    """Whether these stamps tell a clock, a voltage or a power of the machine itself."""
    read = [quantity(value) for value in values]
    return bool(read) and all(q is not None and q.unit.quantity in MACHINE_QUANTITIES for q in read)
