"""A fresh workbench for the tests of the store."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.store.small_study import lay_ground

from evenhand.store.workbench import Workbench, open_workbench


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "bench.evenhand"


@pytest.fixture(scope="session")
def ground(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A workbench file with the study and no runs, made once for all tests that begin with it."""
    place = tmp_path_factory.mktemp("ground") / "bench.evenhand"
    with open_workbench(place) as opened:
        lay_ground(opened)
    return place


@pytest.fixture
def wb(ground: Path, path: Path) -> Iterator[Workbench]:
    """A workbench with the study and no runs."""
    shutil.copy(ground, path)
    with open_workbench(path) as opened:
        yield opened
