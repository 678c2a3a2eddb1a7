"""Workbenches and folders for the tests of the desk."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.desk.small_folder import NOW, Folder, small_folder

from evenhand.desk.logs.importing import import_folder
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


@pytest.fixture(scope="session")
def template(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A workbench file with the small study, imported once for all tests that begin with it."""
    place = tmp_path_factory.mktemp("template")
    with open_workbench(place / "bench.evenhand") as opened:
        import_folder(opened, small_folder().write(place / "study"), now=NOW)
    return place / "bench.evenhand"


@pytest.fixture
def stocked(template: Path, place: Path, folder: Folder, tmp_path: Path) -> Iterator[Workbench]:
    """A workbench with the small study, which lies in `study` beside it."""
    folder.write(tmp_path / "study")
    shutil.copy(template, place)
    with open_workbench(place) as opened:
        yield opened
