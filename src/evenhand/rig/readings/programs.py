"""What a program of the system prints."""

from __future__ import annotations

import subprocess
from collections.abc import Sequence

LONGEST_S = 10.0


def said_by(command: Sequence[str]) -> str:
    """What it prints; empty where it is not there or takes too long."""
    try:
        run = subprocess.run(  # noqa: S603  (a program of the system, named by us)
            list(command), capture_output=True, text=True, errors="replace", timeout=LONGEST_S, check=False
        )
    except (OSError, subprocess.TimeoutExpired):
        return ""
    return run.stdout
