"""What people wrote in a study: words in which numbers and days stay, however others are written."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.publication.snapshots import parts_of, setup_row, terms_of
from evenhand.editions.snapshot import Snapshot
from evenhand.records.tests import Test
from evenhand.store.rows import plain
from evenhand.store.workbench import Workbench

NAMED = (
    "name", "title", "question", "budget", "told", "build_name", "label", "scene", "settings", "to", "by",
    "note", "licence",
)  # fmt: skip
"""Entries that people wrote, and that therefore stay as they are."""


def kept_words(snapshot: Snapshot) -> tuple[str, ...]:
    """What people wrote in a study as an edition has it: names, notes, versions, stamps of runs."""
    told = (snapshot.study, snapshot.setups, snapshot.tests, snapshot.disclosures, snapshot.imprint)
    versions = (test.get("version") for test in snapshot.tests)
    return (*_said(told), *_versions(versions), *_stamps(run.get("stamps", {}) for run in snapshot.runs))


def kept_now(wb: Workbench, record: StudyOnRecord) -> tuple[str, ...]:
    """The same of a study as it stands."""
    parts, tests = parts_of(wb, record), record.compared_tests
    told = ([setup_row(record, key, parts) for key in record.study.setups], list(map(plain, tests)))
    versions, stamps = map(_version, tests), (each.run.stamps for each in record.runs)
    return (*_said((terms_of(record), *told)), *_versions(versions), *_stamps(stamps))


def _version(test: Test) -> str | None:
    return test.version


def _versions(told: Iterable[str | None]) -> Iterator[str]:
    return (f"version {each}" for each in told if each)


def _stamps(told: Iterable[Mapping[str, str]]) -> Iterator[str]:
    seen = {each for stamps in told for each in stamps.items()}
    return (f"{key} {value}" for key, value in sorted(seen))


def _said(told: Any) -> Iterator[str]:
    """The texts under names that people wrote; a bare number is no name."""
    if isinstance(told, Mapping):
        for key, value in told.items():
            if isinstance(value, str) and key in NAMED and any(map(str.isalpha, value)):
                yield value
            else:
                yield from _said(value)
    elif isinstance(told, (list, tuple)):
        for each in told:
            yield from _said(each)
