"""Which studies share a part, a build, a setup or a test: a change of it touches all of them."""

from __future__ import annotations

from evenhand.records.builds import Build, Part, Setup
from evenhand.records.studies import Study
from evenhand.records.tests import Test
from evenhand.store import runs as run_store
from evenhand.store import shelves
from evenhand.store.workbench import Workbench

Shared = Part | Build | Setup | Test


def users_of(wb: Workbench, record: Shared) -> tuple[Study, ...]:
    """The studies that name it, or hold runs of it, in order of arrival."""
    return tuple(study for study in shelves.every(wb, Study) if uses(wb, study, record))


def uses(wb: Workbench, study: Study, record: Shared) -> bool:
    """Whether a study is about this record."""
    if isinstance(record, Test):
        return record.key in tests_of(wb, study)
    return bool(set(setups_of(wb, study)) & setups_with(wb, record))


def tests_of(wb: Workbench, study: Study) -> frozenset[str]:
    """The tests that a study names, and those that its runs are of."""
    return frozenset((*study.tests, *(test for test, _, _ in run_store.labels_of(wb, study.key))))


def setups_of(wb: Workbench, study: Study) -> tuple[str, ...]:
    """The setups that a study names, and those that its runs are of."""
    return tuple(
        dict.fromkeys((*study.setups, *(setup for _, setup, _ in run_store.labels_of(wb, study.key))))
    )


def builds_of(wb: Workbench, study: Study) -> tuple[Build, ...]:
    """The builds that stand in a study's charts."""
    setups = {setup.key: setup for setup in shelves.every(wb, Setup)}
    keys = dict.fromkeys(setups[key].build for key in setups_of(wb, study))
    return tuple(build for build in shelves.every(wb, Build) if build.key in keys)


def setups_with(wb: Workbench, record: Part | Build | Setup) -> set[str]:
    """The setups in which a part, a build or a setup is."""
    if isinstance(record, Setup):
        return {record.key}
    builds = {record.key}
    if isinstance(record, Part):
        builds = {build.key for build in shelves.every(wb, Build) if record.key in build.parts}
    return {setup.key for setup in shelves.every(wb, Setup) if setup.build in builds}
