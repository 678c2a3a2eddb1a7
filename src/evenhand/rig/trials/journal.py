"""A trial's journal: lines that are only added to, each on the disk before the next is worked out.

Each line is one JSON object with a line's end before and behind it, so that one that was written by half,
wherever it stands, spoils no other. The first says what is tried, then one a second how it stands, the last
how it ended.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from evenhand.rig.keeping import settle

SUFFIX = ".trial"
RESERVE = "reserve"  # given up where the disk is full, so that how a trial ended can still be written
RESERVE_BYTES = 2**16


class Journal:
    """The journal of one trial, being written."""

    __slots__ = ("_handle", "path")

    def __init__(self, folder: Path, key: str) -> None:
        folder.mkdir(parents=True, exist_ok=True)
        self.path = folder / f"{key}{SUFFIX}"
        self._handle = os.open(self.path, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600)
        settle(folder)
        settle(folder.parent)

    def write(self, told: Mapping[str, Any]) -> None:
        """Adds a line; it is on the disk when this returns. Raises OSError where the disk takes none."""
        line = b"\n" + json.dumps(told, ensure_ascii=False).encode() + b"\n"
        while line:
            line = line[os.write(self._handle, line) :]
        os.fsync(self._handle)

    def write_last(self, told: Mapping[str, Any]) -> None:
        """Adds the line that says how it ended, by what was kept free for it where the disk is full."""
        try:
            self.write(told)
        except OSError:
            (self.path.parent / RESERVE).unlink(missing_ok=True)
            self.write(told)

    def close(self) -> None:
        """Writes nothing more."""
        os.close(self._handle)


def reserve(folder: Path) -> None:
    """Keeps a little room on the disk. Raises OSError where there is none: a trial would leave no record."""
    place = folder / RESERVE
    with suppress(OSError):
        if place.stat().st_size == RESERVE_BYTES:
            return
    with place.open("wb") as file:
        file.write(os.urandom(RESERVE_BYTES))  # a disk that packs what it keeps could pack zeros to nothing
        file.flush()
        os.fsync(file.fileno())


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What a journal says: what was tried, the last beat, how it ended; nothing where it does not say."""

    begin: Mapping[str, Any] = field(default_factory=dict)
    beat: Mapping[str, Any] = field(default_factory=dict)
    end: Mapping[str, Any] = field(default_factory=dict)


def read(path: Path) -> Told:
    """What a journal says. Lines that are not whole count for nothing."""
    found: dict[str, Mapping[str, Any]] = {}
    for line in path.read_bytes().split(b"\n"):
        for kind, value in whole(line).items():
            if kind in ("begin", "beat", "end") and isinstance(value, dict):
                found[kind] = value
    return Told(**found)


def whole(line: bytes) -> Mapping[str, Any]:
    """The object that a line is; empty where it is none.

    >>> whole(b'{"beat": {"held_s": 4.0}}'), whole(b'{"beat": {"held'), whole(bytes(8))
    ({'beat': {'held_s': 4.0}}, {}, {})
    """
    try:
        told = json.loads(line)
    except ValueError:
        return {}
    return told if isinstance(told, dict) else {}


def journals(folder: Path) -> Iterator[Path]:
    """The journals that lie here: of trials that have not ended, or are not on their way home yet."""
    yield from sorted(folder.glob(f"*{SUFFIX}"))
