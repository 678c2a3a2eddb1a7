"""What hours of trials claim of tuned parts, as figures that prose may quote."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from evenhand.prose.material import Material
from evenhand.prose.quotable import Quotable, Sort
from evenhand.publish.direction import isolated
from evenhand.publish.names import Names
from evenhand.publish.numbers import counted
from evenhand.publish.tuning.claims import against_words, bound_words, failures_words, may_words
from evenhand.publish.tuning.readers import FOR_READERS
from evenhand.publish.tuning.words import clock_words, hours_words, voltage_words
from evenhand.tuning.claims import LEVEL
from evenhand.tuning.held import Held

_APART = re.compile(r"[^\w.+-]+")


def tuning(material: Material) -> Iterator[Quotable]:
    """Of each tuned part its stock, and under each load the claim with what it is made of."""
    told = [held for held in material.held if held.told]
    for held in {(each.setup, each.part): each for each in told}.values():
        yield from _stock(held, material.names)
    for held in told:
        yield from _claim(held, material.names)


def word(*said: str) -> str:
    """Words of a person's own as one word of an address.

    >>> word("my game, night scene"), word("integers", "load-line", "4")
    ('my-game-night-scene', 'integers-load-line-4')
    """
    return _APART.sub("-", " ".join(said)).strip("-").lower()


def under_load(load: str, settings: Mapping[str, str]) -> str:
    """Under which load, and what else was set, as an address has it."""
    return f"under {word(load, *(each for pair in sorted(settings.items()) for each in pair))}"


def _claim(held: Held, names: Names) -> Iterator[Quotable]:
    found, load = held.claim, held.load
    often = found.fewer_than_one_in_h
    yield _figure(Sort.CLAIM, held, names, found.hours, "h", may_words(found, load)[0],
                  "what it may be called by its hours")  # fmt: skip
    yield _figure(Sort.HOURS, held, names, found.hours, "h", hours_words(found.hours),
                  f"how long {isolated(load)} ran there in all")  # fmt: skip
    seen = f"{failures_words(found.failures)}{against_words(found.against)}"
    yield _figure(Sort.FAILURES, held, names, found.failures, "", seen,
                  "how often it failed in these hours")  # fmt: skip
    yield _figure(Sort.BOUND, held, names, often, "h", bound_words(found),
                  f"what these hours show at {100 * LEVEL:.0f} %")  # fmt: skip
    yield _figure(Sort.CLOCK, held, names, held.clock_mhz, "MHz", clock_words(held.clock_mhz),
                  "the clock at which these hours were spent")  # fmt: skip
    volts = voltage_words(held.voltage_mv, offset=held.offset)
    yield _figure(Sort.VOLTAGE, held, names, held.voltage_mv, "mV", volts,
                  "the voltage at which these hours were spent")  # fmt: skip


def _stock(held: Held, names: Names) -> Iterator[Quotable]:
    clock, voltage = held.stock
    yield _figure(Sort.CLOCK, held, names, clock, "MHz", clock_words(clock), "its clock at stock", stock=True)
    if voltage is not None:
        yield _figure(Sort.VOLTAGE, held, names, voltage, "mV", voltage_words(voltage, offset=False),
                      "its voltage at stock", stock=True)  # fmt: skip


def _figure(
    sort: Sort, held: Held, names: Names, value: float, unit: str, words: str, definition: str,
    *, stock: bool = False,
) -> Quotable:  # fmt: skip
    under = "at stock" if stock else under_load(held.load, held.settings)
    n = held.claim.trials
    whose = f"{names.setup(held.setup)}, {held.part}"
    return Quotable(
        address=f"{sort} of {held.setup} by {word(held.part)} {under}", sort=sort, value=value, unit=unit,
        words=words, ranged=words, definition=definition, n=None if stock else n,
        source=f"{whose}: as it was noted" if stock else f"{whose}: {counted(n, 'trial')}",
        level=LEVEL if sort is Sort.BOUND else None, setups=(held.setup,),
        caution="" if stock else FOR_READERS[0],
    )  # fmt: skip
