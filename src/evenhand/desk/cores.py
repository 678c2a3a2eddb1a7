"""How many cores there are to share work out on."""

from __future__ import annotations

import os


def free_cores() -> int:
    """How many cores this process may use, where the system says so; else how many there are."""
    allowed = getattr(os, "sched_getaffinity", None)
    return len(allowed(0)) if allowed else os.cpu_count() or 1
