"""Workbenches and folders for the tests of the desk."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path

import pytest
from tests.desk.small_folder import NOW, Folder, small_folder
from tests.once import once

from evenhand.desk.logs.importing import import_folder
from evenhand.store.workbench import Workbench, open_workbench


@pytest.fixture
def place(tmp_path: Path) -> Path:
    return tmp_path / "bench.evenhand"


@pytest.fixture
def wb(bare_file: Path, place: Path) -> Iterator[Workbench]:
    """An empty workbench."""
    shutil.copy(bare_file, place)
    with open_workbench(place) as opened:
        yield opened


@pytest.fixture
def folder() -> Folder:
    return small_folder()


Bring = Callable[[Folder], Workbench]


@pytest.fixture
def bring(place: Path, tmp_path: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Bring]:
    """Opens a workbench with a folder on it, which lies in `study` beside it; each is imported only once."""
    with ExitStack() as opened:

        def brought(folder: Folder) -> Workbench:
            def make(at: Path) -> None:
                with open_workbench(at / "bench.evenhand") as wb:
                    import_folder(wb, folder.write(at / "study"), now=NOW)

            made = once(tmp_path_factory, f"brought-{folder.digest}", make)
            folder.write(tmp_path / "study")
            shutil.copy(made / "bench.evenhand", place)
            return opened.enter_context(open_workbench(place))

        yield brought


@pytest.fixture(scope="session")
def template(quay_file: Path) -> Path:
    """A workbench file with the small study, for all tests that begin with it."""
    return quay_file


@pytest.fixture
def stocked(template: Path, place: Path, folder: Folder, tmp_path: Path) -> Iterator[Workbench]:
    """A workbench with the small study, which lies in `study` beside it."""
    folder.write(tmp_path / "study")
    shutil.copy(template, place)
    with open_workbench(place) as opened:
        yield opened
