"""The small study on a workbench of its own, and its site."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from starlette.testclient import TestClient
from tests.web.conftest import client_of

from evenhand.desk.opening import Desk


@pytest.fixture
def bench(quay: Desk) -> Desk:
    """The small study, nothing tuned. Where a test wants a tuned part it lays one on top."""
    return quay


@pytest.fixture
def site(bench: Desk) -> Iterator[TestClient]:
    with client_of(bench) as opened:
        yield opened
