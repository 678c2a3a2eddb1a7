"""A plan in words: its length, what it will show, when results are looked at, how its order is fair."""

from __future__ import annotations

import math
from collections.abc import Iterator

from evenhand.desk.bench.plan_standing import PlanNow, SlotState
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord
from evenhand.desk.runs.run_names import run_named
from evenhand.desk.study.looks_changed import looks_changed
from evenhand.plans.laying import Pace, minutes_of
from evenhand.plans.looks import CALIBRATED, Looks
from evenhand.plans.outlook import Outlook
from evenhand.plans.spreads import Expected
from evenhand.publish.durations import clock_words, over_days
from evenhand.publish.numbers import capital, count_word, counted, listed, number, with_unit
from evenhand.records.plans import Plan


def answer_of(standing: PlanNow | None, seen: Outlook | None, *, saved: bool) -> str:
    """What the page opens with."""
    if standing is None or seen is None:
        return "No bench day is planned."
    shows = f"{_effect(seen)} shows in {_how_many(seen)}."
    days = len({each.slot.day for each in standing.slots})
    runs = counted_runs(len(standing.slots))
    if not saved:
        most = "at most " if len(standing.live.looks.at) > 1 else ""
        return f"It would take {most}{runs}, {clock_words(_minutes(standing))}{over_days(days)}; {shows}"
    done = standing.count(SlotState.DONE) + standing.count(SlotState.IN_DOUBT)
    if standing.finished:
        return f"The plan is done: {number(done)} of {runs} made, nothing is left to run."
    if done:
        left = clock_words(standing.minutes_left)
        return f"{number(done)} of {runs} made, {left} left; {shows}"
    most = "At most " if len(standing.live.looks.at) > 1 else ""
    return f"{most}{runs}, {clock_words(_minutes(standing))}{over_days(days)}; {shows}"


def counted_runs(n: int) -> str:
    """Runs in digits, since they are counted out one by one.

    >>> counted_runs(60), counted_runs(1)
    ('60 runs', '1 run')
    """
    return f"{number(n)} {'run' if n == 1 else 'runs'}"


def _minutes(standing: PlanNow) -> float:
    return minutes_of([each.slot for each in standing.slots])


def _effect(seen: Outlook) -> str:
    return with_unit(f"{100 * math.expm1(seen.effect):.3g}", "%")


def _how_many(seen: Outlook) -> str:
    tests = len(seen.tests)
    if seen.showing == tests:
        return "the one test" if tests == 1 else f"all {count_word(tests)} tests"
    if tests == 1:
        return "no test"
    return f"{number(seen.showing) if seen.showing else 'none'} of {number(tests)} tests"


def lead_of(standing: PlanNow | None) -> str:
    """When results are looked at."""
    if standing is None:
        return ""
    looks = standing.live.looks
    first = f"Results are looked at {_looked_at(looks)}"
    if len(looks.at) == 1:
        return f"{first}; before that nothing is said."
    saved = ", which saved about half of the minutes in simulated studies" if looks in CALIBRATED else ""
    return f"{first}; between looks nothing is said. What is settled at one gets no more runs{saved}."


def _looked_at(looks: Looks) -> str:
    if len(looks.at) > 4:
        return f"after every run from {looks.at[0]} to {looks.at[-1]}"
    at = listed(tuple(map(str, looks.at)))
    return f"once, at {at} runs of each" if len(looks.at) == 1 else f"when each has {at} runs"


def looks_words(looks: Looks) -> str:
    """A choice of looks."""
    if len(looks.at) == 1:
        return f"Once, at {looks.at[0]} runs of each"
    if len(looks.at) > 4:
        return f"After every run from {looks.at[0]} to {looks.at[-1]}"
    return f"At {listed(tuple(map(str, looks.at)))} runs of each"


def said_of(record: StudyOnRecord, standing: PlanNow) -> Iterator[str]:
    """How the order is kept fair, in a few sentences."""
    setups = dict.fromkeys(each.slot.setup for each in standing.slots)
    rigs = {record.setups[key].build for key in setups}
    at_once = max(_turns(standing.plan).values(), default=1)
    if at_once > 1:
        yield "Rigs that run at once take the same test at the same time, so that the room is alike for them."
    if at_once < len(setups):
        yield from _in_turns(len(setups))
    yield "Each begins a block with a fresh boot. The order of tests in a block is drawn, alike for all."
    if len(rigs) < len(setups):
        yield "Setups of one build share a rig: they follow each other in a block, a boot each, mirrored."
    yield f"Order drawn with seed {standing.plan.seed}."


def _in_turns(setups: int) -> Iterator[str]:
    if setups == 2:
        yield "In every test the two take turns as A B, B A: a straight drift of the room falls out."
        return
    yield (
        f"The {count_word(setups)} take turns in balanced orders, each followed by its mirror: a straight "
        "drift of the room falls out, and each stands in every place as often."
    )


def _turns(plan: Plan) -> dict[int, int]:
    found: dict[int, int] = {}
    for slot in plan.slots:
        found[slot.turn] = found.get(slot.turn, 0) + bool(slot.turn)
    return found


def cautions_of(record: StudyOnRecord, standing: PlanNow) -> Iterator[str]:
    """What one should know before one follows it."""
    anew = looks_changed(record, standing.plan)
    if anew:
        yield (
            f"{capital(anew)}. The comparison says so from then on: whoever looks further until something "
            "shows finds a false lead more often than the levels say."
        )
    planned = {each.run for each in standing.slots if each.run} | {each.run for each in record.placed}
    before = sum(
        record.compares(each) and each.run.id not in planned and _earlier(each, standing.plan)
        for each in record.runs
    )
    if before:
        runs = counted(before, "run was", "runs were")
        yield f"{capital(runs)} on record already: looks at so many runs were not declared before data."
    longest = max((_block_minutes(standing, b) for b in {e.slot.block for e in standing.slots}), default=0.0)
    if longest > Pace().day:
        long = f"A block takes {clock_words(longest)}, longer than a bench day"
        yield f"{long}: measure fewer tests, or begin early."


def odd_words(record: StudyOnRecord, expected: Expected, *, hidden: bool) -> str:
    """Which runs carry a spread by themselves, and how far the others lie apart; "" where none do."""
    if not expected.odd or expected.rest is None:
        return ""
    one, n = len(expected.odd) == 1, count_word(len(expected.odd))
    who = f"{n} {'run' if one else 'runs'}"
    if not hidden:
        who = "; ".join(run_named(record, record.run(key)) for key in expected.odd)
    rest = with_unit(number(100 * expected.rest, 1), "%")
    return f"{who} {'carries' if one else 'carry'} this; without {'it' if one else 'them'}: {rest}"


def _earlier(each: RunOnRecord, plan: Plan) -> bool:
    """Whether a run was made before the day of the plan, as far as it says; its clock may know no zone."""
    return each.run.started_at is None or each.run.started_at.date() < plan.at.date()


def _block_minutes(standing: PlanNow, block: int) -> float:
    return minutes_of([each.slot for each in standing.slots if each.slot.block == block])
