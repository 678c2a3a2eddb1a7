"""Put one table of a study whole, under a key that is given: new, or in the place of what is there."""

from __future__ import annotations

from datetime import datetime

from evenhand.desk.study.briefing import add_test, change_study, change_test, start_study, take_test
from evenhand.desk.study.building import (
    add_setup,
    beside,
    change_build,
    change_part,
    change_setup,
    take_setup,
)
from evenhand.desk.study.checking import Given, checked_build, checked_part, sound
from evenhand.desk.study.shapes import emptied
from evenhand.desk.study.shelving import Kept, keep, there
from evenhand.desk.study.used_by import builds_of
from evenhand.records.builds import Build, Part, Setup
from evenhand.records.studies import Study
from evenhand.records.tests import Test
from evenhand.store import shelves
from evenhand.store.workbench import Workbench


def put_study(wb: Workbench, key: str, given: Given, *, now: datetime) -> Kept:
    """The study's own table. Raises BadRecord that names the field, as all of these do."""
    if there(wb, Study, key) is None:
        return start_study(wb, {**given, "key": key}, now=now)
    # Which tests and setups are compared stays as it is unless the table says so: silence is no decision.
    return change_study(wb, key, _but(emptied("study", given), given, "tests", "setups"), now=now)


def put_test(wb: Workbench, study: str, key: str, given: Given, *, now: datetime) -> Kept:
    """A test of the study; a new one comes last."""
    with wb.writing():
        shelves.one(wb, Study, study)
        if there(wb, Test, key) is None:
            return add_test(wb, study, {**given, "key": key}, now=now)
        # A window was decided over logs: it is taken away by saying so, and not by silence.
        change_test(wb, key, _but(emptied("tests", given), given, "window"), now=now)
        return take_test(wb, study, key, now=now)


def put_setup(wb: Workbench, study: str, key: str, given: Given, *, now: datetime) -> Kept:
    """A setup of the study; a new one comes last."""
    with wb.writing():
        shelves.one(wb, Study, study)
        if there(wb, Setup, key) is None:
            return add_setup(wb, study, {**given, "key": key}, now=now)
        change_setup(wb, key, {"state": "stock", "stamps": {}, "name": None, **given}, now=now)
        return take_setup(wb, study, key, now=now)


def put_build(wb: Workbench, study: str, key: str, given: Given, *, now: datetime) -> Kept:
    """A build; the study compares it once it has a setup there."""
    with wb.writing():
        others = builds_of(wb, shelves.one(wb, Study, study))
        known = there(wb, Build, key)
        if isinstance(known, Build):
            sound(checked_build(wb, {**given, "key": key}, beside=(*others, *beside(wb, known))))
            return change_build(wb, key, {"parts": [], "note": "", **given}, now=now)
        return keep(wb, sound(checked_build(wb, {**given, "key": key}, beside=others)), now=now)


def put_part(wb: Workbench, study: str, key: str, given: Given, *, now: datetime) -> Kept:
    """A part, to be named by builds."""
    with wb.writing():
        shelves.one(wb, Study, study)
        if there(wb, Part, key) is None:
            return keep(wb, sound(checked_part({**given, "key": key})), now=now)
        return change_part(wb, key, {"note": "", **given}, now=now)


def _but(table: dict[str, object], given: Given, *names: str) -> dict[str, object]:
    return {name: value for name, value in table.items() if name not in names or name in given}
