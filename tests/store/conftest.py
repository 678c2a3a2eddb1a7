"""A fresh workbench for the tests of the store."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.store.small_study import lay_ground

from evenhand.store.workbench import Workbench, open_workbench


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "bench.evenhand"


@pytest.fixture
def wb(path: Path) -> Iterator[Workbench]:
    """A workbench with the study and no runs."""
    with open_workbench(path) as opened:
        lay_ground(opened)
        yield opened
