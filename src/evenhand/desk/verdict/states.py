"""A study of one build, tuned and at stock: it is bought once, so that value is no question of it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TypeAlias

from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.tuning.gained import Gained, gained_of, stock_of
from evenhand.desk.tuning.gained_said import held_of, price_said
from evenhand.money.paid import Paid
from evenhand.publish.tuning.gain import gain_clause, tuning_called
from evenhand.store import tuned as tuned_store
from evenhand.store.workbench import Workbench

States: TypeAlias = Mapping[tuple[str, str], str]


def states_of_one(wb: Workbench, record: StudyOnRecord, paid: Paid) -> States:
    """What tuning buys, and for what, by the pair that a study compares; nothing where it is no such study.

    Of two setups that cost otherwise the money is told as of any two.
    """
    if len(record.study.setups) != 2:
        return {}
    a, b = record.study.setups
    if record.setups[a].build != record.setups[b].build or paid.minor.get(a) != paid.minor.get(b):
        return {}
    noted = {each.setup for each in tuned_store.tuned_parts(wb, (a, b))}
    tuned = next(
        (own for own, other in ((a, b), (b, a)) if own in noted and stock_of(record, own) == other), ""
    )
    found = gained_of(wb, record, tuned) if tuned else None
    if not isinstance(found, Gained):
        return {}
    what = tuning_called(record.builds[found.build].name, found.parts)
    return {(a, b): gain_clause(what, held_of(found), price_said(found))}
