"""For whom a verdict is: audiences of a study, added, changed, ordered and taken out as terms of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from evenhand.desk.study.checking import Checked, FieldProblem, Given, sound
from evenhand.desk.study.naming import key_for
from evenhand.desk.study.shelving import Kept, keep, refuse_unseen
from evenhand.desk.study.worth_checks import checked_audience
from evenhand.errors import BadRecord, NotFound, nearest
from evenhand.folders.worth_written import audience_table
from evenhand.records.audiences import Audience
from evenhand.records.studies import Study
from evenhand.records.tests import Test
from evenhand.store import shelves
from evenhand.store.workbench import Workbench

RESERVED = frozenset({"all-tests"})  # what stands in where there is no audience
MOSTLY = 80.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Example:
    """An audience that may be taken as it is, made of the study's own groups."""

    key: str
    name: str
    groups: Mapping[str, float]


def weighed_tests(wb: Workbench, study: Study) -> tuple[Test, ...]:
    """The tests of a study, in its order."""
    return tuple(shelves.one(wb, Test, key) for key in study.tests)


def groups_of(tests: tuple[Test, ...]) -> tuple[str, ...]:
    """The groups of these tests, as they come."""
    return tuple(dict.fromkeys(test.group for test in tests if test.group))


def put_audience(
    wb: Workbench, study: str, key: str | None, given: Given, *, now: datetime, seen: int | None = None
) -> Kept:
    """An audience in place of the one under this key, or else last; None makes a key of its name.

    `given` has the keys of an audience's table. Raises BadRecord that names the field. The change that is
    told is the study's.
    """
    with wb.writing():
        before = shelves.one(wb, Study, study)
        refuse_unseen(wb, before, seen)
        audience = sound(drafted_audience(wb, before, key, given))
        others = before.audiences
        if any(each.key == audience.key for each in others):
            after = tuple(audience if each.key == audience.key else each for each in others)
        else:
            after = (*others, audience)
        return _kept(wb, before, after, audience.key, now=now)


def drafted_audience(wb: Workbench, study: Study, key: str | None, given: Given) -> Checked[Audience]:
    """An audience that is to be put, or what keeps it from being one."""
    if key is None:
        taken = {each.key for each in study.audiences} | RESERVED
        key = key_for(str(given.get("name") or ""), taken, otherwise="audience")
    if key in RESERVED:
        problem = FieldProblem(field="key", found=f"the key '{key}' is taken", todo="give another")
        return Checked(record=None, problems=(problem,))
    return checked_audience(study, weighed_tests(wb, study), {**given, "key": key})


def drop_audience(wb: Workbench, study: str, key: str, *, now: datetime) -> Kept:
    """Takes an audience out of the study. Raises NotFound."""
    with wb.writing():
        before = shelves.one(wb, Study, study)
        audience_called(before, key)
        return _kept(wb, before, tuple(a for a in before.audiences if a.key != key), key, now=now)


def move_audience(wb: Workbench, study: str, key: str, *, by: int, now: datetime) -> Kept:
    """An audience some places further down, or up where `by` is negative; at an end it stays."""
    with wb.writing():
        before = shelves.one(wb, Study, study)
        moved = audience_called(before, key)
        here = before.audiences.index(moved)
        after = [each for each in before.audiences if each.key != key]
        after.insert(max(0, here + by), moved)
        return _kept(wb, before, tuple(after), key, now=now)


def _kept(wb: Workbench, study: Study, after: tuple[Audience, ...], key: str, *, now: datetime) -> Kept:
    # No run is judged again: what triage says of a run does not hang on whom a verdict is for.
    kept = keep(wb, replace(study, audiences=after), now=now)
    return Kept(key=key, change=kept.change)


def audience_called(study: Study, key: str) -> Audience:
    """The audience with this key. Raises NotFound with the nearest."""
    known = {each.key: each for each in study.audiences}
    if key not in known:
        todo = nearest(key, known) if known else "the study has none yet"
        raise NotFound(f"no audience is called '{key}'", where=study.key, todo=todo)
    return known[key]


def as_given(study: Study, key: str) -> dict[str, object]:
    """An audience as its table, without its key."""
    table = audience_table(audience_called(study, key), study.currency)
    return {name: value for name, value in table.items() if name != "key"}


def examples_for(study: Study, tests: tuple[Test, ...]) -> tuple[Example, ...]:
    """Three audiences to begin with, of two or more groups; none once another audience is on record."""
    groups = groups_of(tests)
    if len(groups) < 2:
        return ()
    first, last = (_mostly(groups, group) for group in (groups[0], groups[-1]))
    alike = Example(key="half-and-half", name="Half and half", groups=dict.fromkeys(groups, 50.0))
    if len(groups) > 2:
        alike = Example(key="all-alike", name="Every group alike", groups=dict.fromkeys(groups, 1.0))
    made = (first, alike, last)
    there = {each.key for each in study.audiences}
    if there - {each.key for each in made}:
        return ()
    return tuple(each for each in made if each.key not in there)


def _mostly(groups: tuple[str, ...], group: str) -> Example:
    rest = (100 - MOSTLY) / (len(groups) - 1)
    weights = {each: MOSTLY if each == group else rest for each in groups}
    return Example(
        key=key_for(f"mostly {group}", (), otherwise="mostly"), name=f"Mostly {group}", groups=weights
    )


def take_example(wb: Workbench, study: str, key: str, *, now: datetime) -> Kept:
    """One of the examples, as an audience of the study. Raises NotFound where it is not offered."""
    with wb.writing():
        record = shelves.one(wb, Study, study)
        offered = {each.key: each for each in examples_for(record, weighed_tests(wb, record))}
        if key not in offered:
            raise NotFound(f"no example is called '{key}'", where=study, todo="write the audience yourself")
        example = offered[key]
        return put_audience(wb, study, key, {"name": example.name, "groups": dict(example.groups)}, now=now)


def without_test(wb: Workbench, study: Study, key: str) -> tuple[Audience, ...]:
    """The audiences of a study that loses a test. Raises BadRecord where one of them weighs nothing else."""
    left = tuple(test for test in weighed_tests(wb, study) if test.key != key)
    groups = groups_of(left)
    after = tuple(
        replace(
            each,
            tests={name: weight for name, weight in each.tests.items() if name != key},
            groups={name: weight for name, weight in each.groups.items() if name in groups},
        )
        for each in study.audiences
    )
    bare = [each.name for each in after if not sum((*each.groups.values(), *each.tests.values())) > 0]
    if bare:
        raise BadRecord(
            f"{bare[0]} weighs nothing else", where=key, todo="change or take out that audience first"
        )
    return after
