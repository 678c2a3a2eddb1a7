"""Property tests look for new cases on a desk and repeat the same ones in CI; memory is kept tidy once.

The tables that are multiplied are small: more threads would wait for each other most of the time, as in
`evenhand.cli.main`. It is said before numpy is there to read it.
"""

import gc
import linecache
import os

import pytest
from hypothesis import settings

for threads in ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(threads, "1")

settings.register_profile("desk", deadline=None)
settings.register_profile("ci", deadline=None, derandomize=True)
settings.load_profile("ci" if os.environ.get("CI") else "desk")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Tests that kill processes take longest and mostly wait: they go first, and none is left to the end."""
    items.sort(key=lambda item: not item.path.name.startswith("test_killed"))


def pytest_collection_finish() -> None:
    """What was imported and collected stays to the end: no look for garbage need go through it again.

    Its source is let go of: every example in a docstring would ask of each file of it whether it was changed.
    """
    linecache.clearcache()
    gc.collect()
    gc.freeze()
