"""The small study on a workbench of its own, and its site."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient
from tests.conftest import NOW
from tests.desk.small_folder import small_folder
from tests.web.conftest import client_of

from evenhand.desk.logs.importing import import_folder
from evenhand.desk.opening import Desk


@pytest.fixture
def bench(empty: Desk, tmp_path: Path) -> Desk:
    """The small study, nothing tuned. Where a test wants a tuned part it lays one on top."""
    import_folder(empty, small_folder().write(tmp_path / "study"), now=NOW)
    return empty


@pytest.fixture
def site(bench: Desk) -> Iterator[TestClient]:
    with client_of(bench) as opened:
        yield opened
