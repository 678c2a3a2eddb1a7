"""The example with every decision made, for the tests of what is answered by it."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from evenhand.store.workbench import Workbench, open_workbench


@pytest.fixture(scope="module")
def saltmarsh(decided_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workbench]:
    place = tmp_path_factory.mktemp("saltmarsh") / "w.evenhand"
    shutil.copy(decided_file, place)
    with open_workbench(place) as wb:
        yield wb
