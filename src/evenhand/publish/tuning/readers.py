"""What readers and viewers are told of tuned parts: what each may be called, cautions, and settings."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from evenhand.findings.machines import quantity
from evenhand.publish.direction import isolated
from evenhand.publish.numbers import listed
from evenhand.publish.tuning.words import clock_words, part_words, voltage_words

FOR_READERS: tuple[str, ...] = (
    "A claim holds for this one part, this load, these rooms and these settings. Copy no voltage from here.",
    "Another part of the same model has another edge, and so has the same part in a hotter room.",
    "The maker's limits come first, as they are written for your own part.",
    "Running a part outside its specification, also with less voltage, can end its warranty.",
    "More voltage and more heat wear a part out sooner: no hours here tell of years.",
    "At the edge a machine can answer wrongly without a word and spoil files: keep a backup.",
)
"""What stands beside every tuned part that is published."""

AT_STOCK = frozenset({"", "stock"})
_OF_CLOCKS, _OF_VOLTS = ("clock", "multiplier"), ("volt", "curve")
_OF_TUNING = (*_OF_CLOCKS, *_OF_VOLTS)


def called_words(at: str, may: str) -> str:
    """What a point may be called, as a sentence.

    >>> called_words("4,650 MHz at 1,245 mV", "no failure in 24 h of integers at 24 °C")
    '4,650 MHz at 1,245 mV may be called: “no failure in 24 h of integers at 24 °C”.'
    """
    return f"{at} may be called: “{may}”."


def not_called_words(beyond: Iterable[str]) -> str:
    """What it may not be called, as a sentence.

    >>> not_called_words(["stable", "free of errors"])
    'It may not be called: “stable”, “free of errors”.'
    """
    return f"It may not be called: {', '.join(f'“{each}”' for each in beyond)}."


def state_words(state: str) -> str:
    """In which state a machine was measured, where that is not stock; "" where it is.

    >>> state_words("mild tune"), state_words("stock")
    ('Measured as “mild tune”, not at stock.', '')
    """
    return "" if state.strip().casefold() in AT_STOCK else f"Measured as “{state.strip()}”, not at stock."


def tuned_at_words(part: str, stock: tuple[float, float | None], held: str) -> str:
    """A tuned part of a machine: its stock, and the point by which it is spoken of; "" for none.

    >>> tuned_at_words("memory", (3000.0, None), "3,200 MHz at its own voltage")[:66].replace(chr(160), " ")
    'Its tuned part is the memory: stock is 3,000 MHz, hours of trials '
    """
    clock, voltage = stock
    own = clock_words(clock) + ("" if voltage is None else f" at {voltage_words(voltage, offset=False)}")
    spent = f"hours of trials were spent at {held}" if held else "nothing held for any time"
    return f"Its tuned part is the {part_words(part)}: stock is {own}, {spent}."


def settings_words(
    state: str, stamps: Mapping[str, Sequence[str]], parts: Iterable[str], *, own_voltage: bool = False
) -> Iterator[str]:
    """At which settings the runs of a machine with tuned parts were made, as far as that is on record.

    `stamps` are what setup and runs are stamped with by name, each value once, "" for runs without it;
    `own_voltage` says that the voltage of every such part is left alone.
    """
    if not state_words(state):
        yield "Its runs were made at stock: the trials say nothing of its results."
        return
    signs = (*_OF_TUNING, *parts)
    own = {name: stamps[name] for name in sorted(stamps) if any(sign in name.casefold() for sign in signs)}
    if not own:
        yield f"At which clock and voltage its runs were made is not on record beyond “{state.strip()}”."
        return
    there = {
        "clock": _has(own, _OF_CLOCKS, "clock"),
        "voltage": own_voltage or _has(own, _OF_VOLTS, "voltage"),
    }
    lacking = tuple(what for what, known in there.items() if not known)
    are = "are" if len(lacking) > 1 else "is"
    less = f"; their {listed(lacking)} {are} not on record" if lacking else ""
    yield f"Its runs are stamped with {listed(tuple(_stamped(*each) for each in own.items()))}{less}."


def _has(stamps: Mapping[str, Sequence[str]], signs: tuple[str, ...], of: str) -> bool:
    """Whether any of these stamps is of clocks, or of voltages, by its name or by its unit."""
    found = (quantity(each) for values in stamps.values() for each in values)
    named = any(sign in name.casefold() for name in stamps for sign in signs)
    return named or any(each is not None and each.unit.quantity == of for each in found)


def _stamped(name: str, values: Sequence[str]) -> str:
    """One stamp: its value, or the values of runs that were stamped otherwise, clocks as all clocks.

    >>> _stamped("processor clock", ["4650 MHz"]).replace("\u00a0", " ")
    'processor clock 4,650 MHz'
    >>> _stamped("core voltage", ["1.2 V", ""])
    'core voltage 1.2 V (not all of them)'
    """
    told = " or ".join(_value(each) for each in values if each)
    return f"{isolated(name)} {told}{' (not all of them)' if '' in values else ''}"


def _value(written: str) -> str:
    found = quantity(written)
    if found is not None and found.unit.quantity == "clock":
        return clock_words(found.value)
    return isolated(written)
