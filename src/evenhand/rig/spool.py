"""What is not home yet: each parcel a folder on disk, whole or not there, sent in order, then taken away."""

from __future__ import annotations

import hashlib
import shutil
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from evenhand.rig.keeping import read_json, settle, write_json, write_whole


@dataclass(frozen=True, slots=True, kw_only=True)
class Parcel:
    """Bytes with a name and what is known of them, on their way to the workbench."""

    folder: Path
    name: str
    digest: str
    facts: Mapping[str, Any]

    @property
    def data(self) -> Path:
        """Where the bytes lie."""
        return self.folder / "data"


class Spool:
    """The parcels in a folder, oldest first."""

    __slots__ = ("folder",)

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        folder.mkdir(parents=True, exist_ok=True)

    def sweep(self) -> None:
        """Takes away what was being packed when the power went. Only while nothing else works here."""
        for half in self.folder.glob(".*"):
            shutil.rmtree(half, ignore_errors=True)

    def add(self, data: bytes, *, name: str, facts: Mapping[str, Any]) -> Parcel:
        """Puts bytes on their way; they are on disk when this returns."""
        digest = hashlib.sha256(data).hexdigest()
        place = self.folder / f"{self._next():08d}"
        packed = place.with_name(f".{place.name}")
        packed.mkdir()
        write_whole(packed / "data", data)
        write_json(packed / "parcel.json", {"name": name, "digest": digest, "facts": dict(facts)})
        packed.rename(place)
        settle(self.folder)
        return Parcel(folder=place, name=name, digest=digest, facts=facts)

    def parcels(self) -> Iterator[Parcel]:
        """Those on their way; one that cannot be read is left where it lies."""
        for place in sorted(self.folder.glob("[0-9]*")):
            told = read_json(place / "parcel.json", None)
            if isinstance(told, dict) and (place / "data").exists():
                yield Parcel(folder=place, name=told["name"], digest=told["digest"], facts=told["facts"])

    def home(self, parcel: Parcel) -> None:
        """Takes a parcel away: the workbench has said that it is safely there."""
        gone = parcel.folder.with_name(f".gone-{parcel.folder.name}")  # no name that one being packed has
        parcel.folder.rename(gone)
        shutil.rmtree(gone, ignore_errors=True)

    def put_aside(self, parcel: Parcel) -> Path:
        """Takes a parcel that is not wanted off the way, and keeps it; where it lies then."""
        kept = self.folder.parent / "not-taken"
        kept.mkdir(exist_ok=True)
        place = kept / f"{parcel.folder.name}-{parcel.digest[:12]}"
        parcel.folder.rename(place)
        return place

    def _next(self) -> int:
        return max((int(place.name) for place in self.folder.glob("[0-9]*")), default=0) + 1
