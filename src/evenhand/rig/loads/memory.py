"""How much memory a load may take."""

from __future__ import annotations

from pathlib import Path

MIB = 2**20
LEAST_MIB = 16
MOST_MIB = 2048  # of each worker: a round over more would take so long that a hang is told late
UNTOLD_MIB = 256  # of each worker, where the system does not tell what is free


def free_mib(root: Path = Path("/")) -> float | None:
    """Memory that may be taken without anything else being moved out; None where the system does not tell."""
    try:
        lines = (root / "proc/meminfo").read_text(encoding="ascii").splitlines()
    except OSError:
        return None
    told = [line.split()[1] for line in lines if line.startswith("MemAvailable:")]
    return int(told[0]) / 1024 if told else None


def size_for(workers: int, share: float, *, free: float | None) -> int:
    """Bytes for each of so many workers, which together take this share of what is free.

    >>> size_for(4, 0.5, free=8192.0) // MIB, size_for(4, 0.9, free=65536.0) // MIB
    (1024, 2048)
    >>> size_for(4, 0.5, free=None) // MIB
    256
    """
    each = UNTOLD_MIB if free is None else free * share / workers
    return int(min(max(each, LEAST_MIB), MOST_MIB)) * MIB
