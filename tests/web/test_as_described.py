"""The interface for programs answers as its description says, whatever it is asked within that description.

A longer search, on a workbench that may be spoilt: `docs/security.md` has the command.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import schemathesis
from hypothesis import HealthCheck, Phase, given, settings
from schemathesis.core.failures import FailureGroup
from schemathesis.specs.openapi.checks import positive_data_acceptance
from tests.web.conftest import serving

from evenhand.desk.opening import open_desk

FEW = settings(
    max_examples=6,
    deadline=None,
    derandomize=True,
    database=None,
    phases=[Phase.explicit, Phase.generate],
    suppress_health_check=list(HealthCheck),
)


@pytest.fixture(scope="module")
def description(saltmarsh_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    """What a really served workbench says of its interface."""
    place = tmp_path_factory.mktemp("described") / "bench.evenhand"
    shutil.copy(saltmarsh_file, place)
    with open_desk(place) as wb, serving(wb) as there:
        yield schemathesis.openapi.from_url(f"{there.url}/api/openapi.json")


def test_every_request_is_answered_as_described(description: Any) -> None:
    troubles: list[str] = []
    asked = 0
    for each in description.get_all_operations():
        operation = each.ok()
        asked += 1

        @FEW
        @given(case=operation.as_strategy())
        def ask(case: Any) -> None:
            # What fits its description may still be refused in words: a key that is no key, a build unknown.
            case.call_and_validate(excluded_checks=[positive_data_acceptance])

        try:
            ask()
        except FailureGroup as found:
            troubles += [f"{operation.label}: {one}" for one in found.exceptions]
    assert asked > 20
    assert not troubles, "\n".join(troubles)
