"""Start a study and change what it asks and what it is decided by: its brief and its tests.

Everything is checked as a study file is, kept in history, and can be put back (`desk.study.undoing`).
`seen` is the number of the record's change that its writer saw; None asks for nothing.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from evenhand.desk.study.checking import Checked, FieldProblem, Given, checked_study, checked_test, sound
from evenhand.desk.study.for_whom import without_test
from evenhand.desk.study.naming import key_for
from evenhand.desk.study.shelving import Kept, as_table, judge_again, keep, refuse_unseen
from evenhand.desk.study.used_by import users_of
from evenhand.errors import NotFound, nearest
from evenhand.records.studies import Study
from evenhand.records.tests import Test
from evenhand.store import runs as run_store
from evenhand.store import shelves
from evenhand.store.workbench import Workbench

RESERVED = frozenset({"new"})  # an address under /studies that is no study's


def start_study(wb: Workbench, given: Given, *, now: datetime) -> Kept:
    """A new study, with a key of its own made from its title. Raises BadRecord."""
    with wb.writing():
        return keep(wb, sound(drafted_study(wb, given)), now=now)


def drafted_study(wb: Workbench, given: Given) -> Checked[Study]:
    """A study that is to be started, or what keeps it from being one."""
    title = given.get("title") or given.get("question") or ""
    taken = {study.key for study in shelves.every(wb, Study)} | RESERVED
    key = given.get("key") or key_for(title, taken, otherwise="study")
    if key in taken:
        problem = FieldProblem(
            field="key", found=f"the key '{key}' is taken", todo="leave it out, or give another"
        )
        return Checked(record=None, problems=(problem,))
    return checked_study(wb, {"setups": [], "tests": [], **given, "title": title, "key": key})


def change_study(wb: Workbench, study: str, given: Given, *, now: datetime, seen: int | None = None) -> Kept:
    """Some of a study's own fields. Raises BadRecord that names the field."""
    with wb.writing():
        before = shelves.one(wb, Study, study)
        refuse_unseen(wb, before, seen)
        after = sound(redrafted_study(wb, before, given))
        kept = keep(wb, after, now=now)
    if kept.change:
        judge_again(wb, after, now=now)
    return kept


def redrafted_study(wb: Workbench, before: Study, given: Given) -> Checked[Study]:
    """A study with some of its fields filled in anew; None empties a field."""
    kept = _kept_in_money(before, given)
    if kept and given.get("currency", True) is None:
        todo = "empty that first, or keep the currency"
        return Checked(record=None, problems=(FieldProblem(field="currency", found=kept, todo=todo),))
    filled = {**as_table(before), **given, "key": before.key}
    told = {key: value for key, value in filled.items() if value is not None}
    # What an audience names may have left since: that is told where audiences are, not at another field.
    return checked_study(wb, told, named="audiences" in given)


def _kept_in_money(before: Study, given: Given) -> str:
    """What of a study is said in its currency and not about to be said anew, in words; "" for nothing."""
    told = () if "audiences" in given else before.audiences
    if any(each.fixed_minor for each in told):
        return "an audience must buy things for money"
    if any(each.tariff_minor for each in told):
        return "an audience pays for electricity"
    money = None if "money" in given else before.money
    if money is not None and any(
        (money.repairs_minor, money.cash_minor, money.saved_minor, money.budget_minor)
    ):
        return "amounts are assumed on the page Money"
    return ""


def add_test(wb: Workbench, study: str, given: Given, *, now: datetime) -> Kept:
    """A new test, last in the study. Raises BadRecord; the change that is told is the study's."""
    with wb.writing():
        test = sound(drafted_test(wb, given))
        keep(wb, test, now=now)
        return take_test(wb, study, test.key, now=now)


def drafted_test(wb: Workbench, given: Given) -> Checked[Test]:
    """A test that is to be added; its key is made from its name where none is given."""
    taken = {test.key for test in shelves.every(wb, Test)}
    key = given.get("key") or key_for(str(given.get("name", "")), taken, otherwise="test")
    filled = {**given, "key": key}
    return checked_test({name: value for name, value in filled.items() if value is not None})


def take_test(wb: Workbench, study: str, key: str, *, now: datetime) -> Kept:
    """A test that is on the workbench already, last in the study."""
    with wb.writing():
        record, test = shelves.one(wb, Study, study), shelves.one(wb, Test, key)
        if test.key in record.tests:
            return Kept(key=test.key)
        kept = keep(wb, replace(record, tests=(*record.tests, test.key)), now=now)
    if kept.change:
        judge_again(wb, record, now=now)
    return Kept(key=test.key, change=kept.change)


def change_test(wb: Workbench, key: str, given: Given, *, now: datetime, seen: int | None = None) -> Kept:
    """A test as it is filled in, in every study that uses it. Raises BadRecord that names the field."""
    with wb.writing():
        before = shelves.one(wb, Test, key)
        refuse_unseen(wb, before, seen)
        after = sound(redrafted_test(wb, before, given))
        kept = keep(wb, after, now=now)
    if kept.change:
        judge_again(wb, after, now=now)
    return kept


def redrafted_test(wb: Workbench, before: Test, given: Given) -> Checked[Test]:
    """A test with some of its fields filled in anew; None empties a field.

    What its runs left behind cannot become another sort of number.
    """
    filled = {**as_table(before), **given, "key": before.key}
    checked = checked_test({key: value for key, value in filled.items() if value is not None})
    after = checked.record
    if after is None or after.measures is before.measures or not has_runs(wb, before):
        return checked
    problem = FieldProblem(
        field="measures",
        found=f"runs on record measure {before.measures}",
        todo="add another test for the other sort of number",
    )
    return Checked(record=None, problems=(problem,))


def has_runs(wb: Workbench, test: Test) -> bool:
    """Whether any study holds a run of a test."""
    return any(
        run.test == test.key for study in users_of(wb, test) for run in run_store.runs_of(wb, study.key)
    )


def move_test(wb: Workbench, study: str, key: str, *, by: int, now: datetime) -> Kept:
    """A test some places further down the study, or up where `by` is negative; at an end it stays.

    Raises NotFound where it is none of the study's.
    """
    with wb.writing():
        record = shelves.one(wb, Study, study)
        here = place_of(record, key)
        tests = [test for test in record.tests if test != key]
        tests.insert(max(0, here + by), key)
        kept = keep(wb, replace(record, tests=tuple(tests)), now=now)
    return Kept(key=key, change=kept.change)


def place_of(study: Study, key: str) -> int:
    """The place of a test in its study, from 0. Raises NotFound where it is none of the study's."""
    if key not in study.tests:
        raise NotFound(
            f"'{key}' is not a test of this study", where=study.key, todo=nearest(key, study.tests)
        )
    return study.tests.index(key)


def drop_test(wb: Workbench, study: str, key: str, *, now: datetime) -> Kept:
    """Takes a test out of the study and its audiences; the test and its runs stay on record.

    Raises BadRecord where an audience weighs nothing else.
    """
    with wb.writing():
        record = shelves.one(wb, Study, study)
        place_of(record, key)
        tests = tuple(test for test in record.tests if test != key)
        weights = {test: weight for test, weight in record.weights.items() if test != key}
        audiences = without_test(wb, record, key)
        kept = keep(wb, replace(record, tests=tests, weights=weights, audiences=audiences), now=now)
    if kept.change:
        judge_again(wb, record, now=now)
    return Kept(key=key, change=kept.change)
