"""Files that are whole or not there: written beside, brought to the disk, and then put in place."""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import Any


def write_whole(place: Path, data: bytes) -> None:
    """Puts bytes in place so that a power cut leaves the old file or the new one, never half of one."""
    beside = place.with_name(f".{place.name}.part")
    with beside.open("wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())
    beside.replace(place)
    settle(place.parent)


def settle(folder: Path) -> None:
    """Brings a folder's list of names to the disk, where the system can."""
    if os.name == "nt":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def write_json(place: Path, value: object) -> None:
    """Puts a value in place as JSON."""
    write_whole(place, json.dumps(value, ensure_ascii=False, indent=1).encode())


def read_json(place: Path, otherwise: Any) -> Any:
    """The value of a file; `otherwise` where it is not there or cannot be read as JSON."""
    try:
        return json.loads(place.read_bytes())
    except (OSError, ValueError):
        return otherwise
