"""Looks that were declared anew once runs had come in under others: a false lead is likelier then."""

from __future__ import annotations

from evenhand.desk.on_record import StudyOnRecord
from evenhand.publish.numbers import counted, listed
from evenhand.records.plans import Plan

MANY = 4  # looks that are told one by one; more are told from first to last


def looks_changed(record: StudyOnRecord, plan: Plan) -> str:
    """How the looks of a plan differ from those that its study's first run came in under; "" where not."""
    filed = sorted((one for one in record.placed if one.run is not None), key=lambda one: one.at)
    first = next((each for each in record.plans if filed and each.id == filed[0].plan), None)
    if first is None or first.looks == plan.looks:
        return ""
    since = plan
    for each in reversed([own for own in record.plans if own.at <= plan.at and own.slots]):
        if each.looks != plan.looks:
            break
        since = each
    runs = len({one.run for one in filed if one.at <= since.at})
    return (
        f"looks were declared anew after {counted(runs, 'run')}: {looks_at(first.looks)} before, "
        f"{looks_at(plan.looks)} since"
    )


def looks_at(looks: tuple[int, ...]) -> str:
    """Looks in a few words.

    >>> looks_at((3, 5, 8)), looks_at((3, 4, 5, 6, 7)), looks_at((5,))
    ('at 3, 5 and 8 runs of each', 'after every run from 3 to 7', 'at 5 runs of each')
    """
    if len(looks) > MANY:
        return f"after every run from {looks[0]} to {looks[-1]}"
    return f"at {listed(tuple(map(str, looks)))} runs of each"
