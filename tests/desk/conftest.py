"""Workbenches and folders for the tests of the desk."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.desk.small_folder import NOW, Folder, small_folder

from evenhand.desk.importing import import_folder
from evenhand.store.workbench import Workbench, open_workbench


@pytest.fixture
def place(tmp_path: Path) -> Path:
    return tmp_path / "bench.evenhand"


@pytest.fixture
def wb(place: Path) -> Iterator[Workbench]:
    """An empty workbench."""
    with open_workbench(place) as opened:
        yield opened


@pytest.fixture
def folder() -> Folder:
    return small_folder()


@pytest.fixture
def stocked(wb: Workbench, folder: Folder, tmp_path: Path) -> Workbench:
    """A workbench with the small study."""
    import_folder(wb, folder.write(tmp_path / "study"), now=NOW)
    return wb
