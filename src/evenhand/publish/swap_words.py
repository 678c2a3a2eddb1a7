"""Swaps in words: which setup to make, what is exchanged, how many runs, how long, and what to mind."""

from __future__ import annotations

from collections.abc import Mapping

from evenhand.findings.listing import in_a_row, under_words
from evenhand.findings.swaps import Swap, SwapPlan
from evenhand.publish.cause_words import Told, factor_words
from evenhand.publish.durations import clock_words
from evenhand.publish.numbers import capital, count_word, counted, listed
from evenhand.stats.designs import Change

CAUTION = (
    "Shut down, unplug, and hold the power button for ten seconds before touching a part; wear an ESD strap. "
    "The makers’ limits come first: whether socket, board, supply and room in the case allow the exchange is "
    "for their lists to say, and a board may need other firmware first. Never open a power supply, and never "
    "use cables of another one."
)
NONE_FOUND = (
    "No four further setups tell these apart: hold some parts alike, and begin with fewer that differ."
)
NOT_LOOKED = "There are more ways to combine these parts than can be looked through: hold some of them alike."


def swaps_heading(wanted: tuple[Change, ...], tests: tuple[str, ...], told: Told, *, of: int) -> str:
    """What the swaps are for; `of` is how many tests there are in all."""
    where = listed(tuple(map(told.names.test, tests)))
    every = len(tests) == of > 1
    return f"To tell {factor_words(wanted)} apart in {f'all {count_word(of)} tests' if every else where}"


def swap_sentence(swap: Swap, told: Told, *, there: str = "") -> str:
    """One setup to make: which it is like, and what is exchanged; or that it is on record already."""
    if there:
        return f"{told.names.setup(there)}, which is on record: only its runs in these tests are lacking."
    what = [f"{change.factor}: {told.change(change)}" for change in swap.exchanged]
    return f"{told.names.setup(swap.like)}, but {in_a_row(what)}."


def exchanges_parts(plan: SwapPlan) -> bool:
    """Whether any part is exchanged, or only how runs are made (another driver)."""
    return any(change.factor not in plan.held for swap in plan.swaps or () for change in swap.exchanged)


def effort_sentence(plan: SwapPlan, told: Told, *, on_record: int = 0) -> str:
    """Runs and minutes of all its tests, and what they do not hold; of its setups some are `on_record`."""
    return " ".join(filter(None, (runs_sentence(plan.runs, told), _minutes(plan, on_record))))


def least_sentence(plan: SwapPlan, told: Told) -> str:
    """What the quickest single test would take, so that none need begin with all; "" for one test."""
    one = plan.quickest
    if one is None:
        return ""
    test = told.names.test(one.test)
    runs = counted(one.runs, "run")
    return f"The least to begin with: {test} by itself, {runs} on every setup, {clock_words(one.minutes)}."


def runs_sentence(runs: Mapping[str, int | None], told: Told) -> str:
    """How many runs every setup that takes part needs in each test."""
    known = {test: n for test, n in runs.items() if n is not None}
    never = listed(tuple(told.names.test(test) for test in runs if test not in known))
    said = []
    if known and len(set(known.values())) == 1:
        each = " of each test" if len(known) > 1 else ""
        said.append(
            f"{capital(counted(next(iter(known.values())), 'run'))}{each} on every setup, old and new."
        )
    elif known:
        told_runs = [f"{count_word(n)} of {told.names.test(test)}" for test, n in known.items()]
        said.append(f"On every setup, old and new: {listed(tuple(told_runs))}.")
    if never:
        said.append(f"In {never} sixty runs would not show a difference as large as the margin.")
    return " ".join(said)


def setups_words(plan: SwapPlan, on_record: int) -> str:
    """How many setups are to be made, and how many of its setups are on record.

    >>> two = SwapPlan(swaps=tuple(Swap(like=key, exchanged=(), levels={}) for key in "ab"))
    >>> setups_words(two, 0), setups_words(two, 1), setups_words(two, 2)
    ('two new setups', 'one new setup and one on record', 'two setups on record')
    """
    new = len(plan.swaps or ()) - on_record
    told = [counted(new, "new setup")] if new else []
    if on_record:
        known = count_word(on_record) if new else counted(on_record, "setup")
        told.append(f"{known} on record")
    return listed(tuple(told))


def _minutes(plan: SwapPlan, on_record: int) -> str:
    if plan.minutes is None or not plan.swaps:
        return ""
    kept = f" Under {under_words(plan.held)}." if plan.held else ""
    setups = setups_words(plan, on_record)
    tools = ", without the time with a screwdriver" if exchanges_parts(plan) else ""
    return (
        f"About {clock_words(plan.minutes)} at the bench for the {setups}{tools}; "
        f"what is rerun of the old ones comes on top.{kept}"
    )
