"""What a study fixed in advance, and what was changed of it once runs were on record."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.study.field_changes import FieldChange, changes_of, changes_of_scores, parts_of
from evenhand.desk.study.handed_names import handed_names
from evenhand.desk.study.term_fields import NAMED, TERMS
from evenhand.desk.study.term_words import handed_words, reservation
from evenhand.records.builds import Build, Part, Setup
from evenhand.records.tests import Test
from evenhand.store import shelves
from evenhand.store.history import arrivals_of
from evenhand.store.workbench import Workbench

USE = ("hours_a_year", "tariff_minor")


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangedTerm:
    """A term or a score that was changed when `runs` runs were on record; `words` is the reservation.

    `test` is the test that it is of, "" where it bears on all.
    """

    change: FieldChange
    runs: int
    words: str
    test: str = ""


def changed_terms(wb: Workbench, record: StudyOnRecord) -> tuple[ChangedTerm, ...]:
    """What was changed of the study once runs were on record: terms, scores, and names that changed hands."""
    of_records = changes_of(wb, record)
    handed = {change.id: said for change, said in handed_names(of_records, names_today(record))}
    known = sorted((*of_records, *changes_of_scores(wb, record.study.key)), key=lambda each: each.id)
    changes = [each for each in known if is_term(each, record) or is_handed(each, handed, record)]
    if not changes:
        return ()
    # A folder that was exported tells when its runs came in first; here they came in once more.
    arrivals: dict[str, int] = {}
    for arrival in arrivals_of(wb, record.study.key):
        arrivals.setdefault(arrival.key, arrival.id)
    parts = part_names(wb, changes)
    counts = ((each, sum(arrival < each.id for arrival in arrivals.values())) for each in changes)
    return tuple(
        ChangedTerm(
            change=each,
            runs=runs,
            words=(
                handed_words(each, runs, handed[each.id])
                if is_handed(each, handed, record)
                else reservation(each, runs, record, parts=parts)
            ),
            test=test_of(each, record),
        )
        for each, runs in counts
        if runs
    )


def names_today(record: StudyOnRecord) -> dict[tuple[str, str], str]:
    """What each test, setup and build of the study is called, by what it is and its key."""
    named: Mapping[str, Mapping[str, Test | Setup | Build]] = {
        "test": record.tests,
        "setup": record.setups,
        "build": record.builds,
    }
    return {(noun, key): each.name for noun, records in named.items() for key, each in records.items()}


def is_handed(change: FieldChange, handed: Mapping[int, str], record: StudyOnRecord) -> bool:
    """Whether a change gave something that is compared a name that another one had, or took its name away."""
    compared = change.record in NAMED and change.key in compared_of(change.record, record)
    return compared and change.field == "name" and change.id in handed


def part_names(wb: Workbench, changes: Iterable[FieldChange]) -> dict[str, str]:
    """What the parts are called that are told of, with the key where another one is called the same."""
    told = {key for each in changes if each.field == "parts" for key in (*each.before, *each.after)}
    told |= {each.key for each in changes if each.record == "part"}
    parts = [part for part in shelves.every(wb, Part) if part.key in told]
    called = Counter(part.name for part in parts)
    return {
        part.key: part.name if called[part.name] == 1 else f"{part.name} ({part.key})" for part in parts
    }  # fmt: skip


def test_of(change: FieldChange, record: StudyOnRecord) -> str:
    """The test that a change is of; "" where it bears on all of them."""
    if change.record == "run":
        return record.run(change.key).run.test
    return change.key if change.record == "test" else ""


def is_term(change: FieldChange, record: StudyOnRecord) -> bool:
    """Whether a change bears on what the comparison says."""
    if change.record == "run":
        return record.compares(record.run(change.key))
    if change.field == "tests" and set(change.before) == set(change.after):
        return False  # only their order is another, which no finding depends on
    if change.field == "parts" and Counter(change.before) == Counter(change.after):
        return False  # the same parts in another order are the same machine
    if (
        change.record == "study"
        and change.field == "audiences"
        and weighing(change.before) == weighing(change.after)
    ):
        return False  # hours and tariff are told in no finding and no verdict
    within = change.record == "study" or change.key in compared_of(change.record, record)
    return within and change.field in TERMS.get(change.record, {})


def weighing(audiences: Sequence[Mapping[str, Any]]) -> list[dict[str, Any]]:
    """Audiences as they were written down, without what only says what electricity costs them."""
    return [{key: each for key, each in one.items() if key not in USE} for one in audiences or ()]


def compared_of(noun: str, record: StudyOnRecord) -> tuple[str, ...]:
    """The keys of the tests, setups, builds or parts that are compared."""
    if noun in ("test", "setup"):
        return record.study.tests if noun == "test" else record.study.setups
    builds = dict.fromkeys(record.setups[key].build for key in record.study.setups)
    return tuple(builds) if noun == "build" else parts_of(record.builds[key] for key in builds)
