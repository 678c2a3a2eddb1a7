"""What is dear to make and only ever copied or read: made once in a run, whichever worker comes first."""

from __future__ import annotations

import os
import shutil
import time
from collections.abc import Callable
from pathlib import Path

import pytest

LOOKS_AGAIN_S = 0.05


def once(factory: pytest.TempPathFactory, name: str, make: Callable[[Path], object]) -> Path:
    """The folder that `make` filled, this time or already; nobody may change what lies in it.

    Where one worker makes it, others wait for it. One that fails leaves nothing, and the next tries again.
    """
    mine = factory.getbasetemp()
    shared = mine.parent if os.environ.get("PYTEST_XDIST_WORKER") else mine
    made, making = shared / f"once-{name}", shared / f"making-{name}"
    while not made.exists():
        try:
            making.mkdir()
        except FileExistsError:
            time.sleep(LOOKS_AGAIN_S)
            continue
        try:
            if not made.exists():  # it may have come between the two looks
                make(making)
                making.rename(made)
        finally:
            shutil.rmtree(making, ignore_errors=True)
    return made
