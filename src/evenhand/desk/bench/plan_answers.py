"""A plan as JSON answers tell it: unrounded, every slot with its state."""

from __future__ import annotations

from typing import Any

from evenhand.desk.bench.plan_standing import PlanNow, SlotNow
from evenhand.plans.laying import minutes_of
from evenhand.plans.outlook import Outlook, TestOutlook

Answer = dict[str, Any]


def plan_answer(standing: PlanNow, seen: Outlook, *, hidden: bool = False) -> Answer:
    """The standing plan, or one that would be made, whose `plan` is then null.

    While names are `hidden` no slot tells its run, by which its build could be told.
    """
    plan, looks = standing.plan, standing.live.looks
    slots = [each.slot for each in standing.slots]
    return {
        "study": plan.study,
        "plan": plan.id or None,
        "at": plan.at.isoformat(),
        "seed": plan.seed,
        "note": plan.note,
        "looks": list(looks.at),
        "level_ahead": looks.ahead,
        "level_level": looks.level,
        "runs": len(slots),
        "days": len({slot.day for slot in slots}),
        "minutes": minutes_of(slots),
        "minutes_left": standing.minutes_left,
        "effect_ln": seen.effect,
        "tests": [test_answer(test, hidden=hidden) for test in seen.tests],
        "slots": [hidden_answer(each) if hidden else slot_answer(each) for each in standing.slots],
    }


def hidden_answer(each: SlotNow) -> Answer:
    """One slot while names are hidden: a run that was made, whose boot is not told, tells nothing either."""
    made: Answer = {} if each.slot.boot else {"setup": None, "boot": None, "notes": {}}
    return slot_answer(each) | {"run": None} | made


def test_answer(seen: TestOutlook, *, hidden: bool) -> Answer:
    """What is expected of one test; `odd` are the runs that carry its spread by themselves."""
    return {
        "test": seen.test,
        "spread_ln": seen.expected.scatter.sd,
        "source": seen.expected.source.value,
        "odd": [] if hidden else list(seen.expected.odd),
        "spread_without_odd_ln": seen.expected.rest,
        "half_width_ln": seen.half,
        "runs_needed": seen.runs_needed,
        "shows": seen.shows,
    }


def slot_answer(each: SlotNow) -> Answer:
    """One slot and where it stands."""
    slot = each.slot
    return {
        "number": slot.number,
        "day": slot.day,
        "block": slot.block,
        "turn": slot.turn,
        "boot": slot.boot,
        "order": slot.order,
        "test": slot.test,
        "setup": slot.setup,
        "minutes": slot.minutes,
        "state": each.state.value,
        "due": each.due,
        "run": each.run,
        "why": each.why,
        "notes": dict(each.notes),
    }
