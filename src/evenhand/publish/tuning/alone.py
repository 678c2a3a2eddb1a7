"""What would tell whether tuning was worth it, where a tuned setup has none to be held against, in words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from evenhand.publish.direction import isolated
from evenhand.publish.durations import about_long
from evenhand.publish.numbers import count_word, counted, listed


@dataclass(frozen=True, slots=True, kw_only=True)
class Alone:
    """A setup that is held against no other: its build, by name, and what there is beside it.

    `at_stock` says that it is called stock itself; `there` are other setups of the build, `tests` those of
    the study, `minutes` how long `runs` of each take on two setups, None where a test does not say.
    """

    build: str
    at_stock: bool
    there: Sequence[str]
    tests: Sequence[str]
    minutes: float | None
    runs: int


def lacking_words(what: str, alone: Alone) -> Iterator[str]:
    """That nothing is there to hold a setup against, and what would tell, in the order in which to do it."""
    name = isolated(alone.build)
    yield f"Whether tuning {what} is worth it is not known: {_why_alone(name, alone)}."
    first = f"First add a setup of {name} in the state “stock”"
    if alone.at_stock:
        first = (
            f"First add a setup of {name} in its tuned state, as in “mild tune”, and note the part there: "
        )
        first += "trials and runs of two states are not kept under one setup"
        if alone.there:
            first = (
                f"First note the part under the tuned setup of {name} ({listed(tuple(alone.there))}), which "
            )
            first += "is then held against this one"
    yield f"{first}. Note the clocks on both, as in “processor clock: 4550 MHz”."
    if not alone.tests:
        yield "Then add tests: the study has none yet, and trials tell of failures, not of rates."
    of = f"each of {counted(len(alone.tests), 'test')}" if alone.tests else "each test"
    long = "" if alone.minutes is None else f", {about_long(alone.minutes)} in all"
    yield (
        f"Then measure {count_word(alone.runs)} runs of {of} on both, in turns and each from a fresh "
        f"boot{long}. With watts at the wall, the room and readings of noise they tell what it costs, too."
    )


def _why_alone(name: str, alone: Alone) -> str:
    """Why it is held against nothing."""
    if alone.at_stock and not alone.there:
        return f"its setup is {name} at stock, and there is none of its tuned state"
    if alone.at_stock:
        return f"its setup is {name} at stock, against which a tuned one would be held"
    if alone.there:
        there = listed(tuple(alone.there))
        why = f"of the other setups of {name} ({there}) none is called stock"
        return f"{why}, and by their clocks none is slower"
    return f"no other setup of {name} has runs, and trials tell of failures, not of rates"
