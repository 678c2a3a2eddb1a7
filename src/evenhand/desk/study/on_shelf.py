"""One record by its key, for whoever fills a form with it."""

from __future__ import annotations

from evenhand.records.builds import Build, Part, Setup
from evenhand.records.studies import Study
from evenhand.records.tests import Test
from evenhand.store import shelves
from evenhand.store.workbench import Workbench


def study_called(wb: Workbench, key: str) -> Study:
    """The study under this key. Raises NotFound with the nearest one known, as the others do."""
    return shelves.one(wb, Study, key)


def test_called(wb: Workbench, key: str) -> Test:
    """The test under this key."""
    return shelves.one(wb, Test, key)


def build_called(wb: Workbench, key: str) -> Build:
    """The build under this key."""
    return shelves.one(wb, Build, key)


def setup_called(wb: Workbench, key: str) -> Setup:
    """The setup under this key."""
    return shelves.one(wb, Setup, key)


def part_called(wb: Workbench, key: str) -> Part:
    """The part under this key."""
    return shelves.one(wb, Part, key)


def every_part(wb: Workbench) -> tuple[Part, ...]:
    """Every part on the workbench, in order of arrival."""
    return shelves.every(wb, Part)
