"""What this rig remembers from one start to the next: where it joined, its boots, the commands it may run."""

from __future__ import annotations

import hashlib
import os
import shutil
import sys
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from evenhand.rig.asking import Address
from evenhand.rig.keeping import read_json, write_json
from evenhand.rig.spool import Spool
from evenhand.rig.watching import Known

ROOM = "run-"  # before the names of folders in which a run is recorded


def default_folder(system: str = sys.platform) -> Path:
    """Where a program keeps what it remembers, on this system."""
    if system == "win32":
        return Path(os.environ.get("LOCALAPPDATA", Path.home() / "AppData/Local")) / "evenhand-rig"
    if system == "darwin":
        return Path.home() / "Library/Application Support/evenhand-rig"
    return Path(os.environ.get("XDG_STATE_HOME", Path.home() / ".local/state")) / "evenhand-rig"


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """A folder of small files, each whole or not there."""

    folder: Path

    @property
    def spool(self) -> Spool:
        """What is not home yet."""
        return Spool(self.folder / "spool")

    @property
    def trials(self) -> Path:
        """Where the journals of trials lie that are not on their way home yet."""
        return self.folder / "trials"

    def sweep(self) -> None:
        """Takes away what a start that was killed left half done. Only while nothing else works here."""
        self.spool.sweep()
        for room in self.folder.glob(f"{ROOM}*"):
            shutil.rmtree(room, ignore_errors=True)

    def join(self, address: Address) -> None:
        """Remembers where the workbench is. The token is readable by this user only."""
        self.folder.mkdir(parents=True, exist_ok=True)
        place = self.folder / "workbench.json"
        write_json(place, {"url": address.url, "token": address.token, "fingerprint": address.fingerprint})
        place.chmod(0o600)

    def joined(self) -> Address | None:
        """Where the workbench is, if this rig has joined one."""
        told = read_json(self.folder / "workbench.json", {})
        return Address(**told) if told else None

    def boots(self, present: str | None) -> int:
        """How many starts of this machine were seen, the present one included."""
        seen: list[str] = read_json(self.folder / "boots.json", [])
        if present is not None and present not in seen:
            seen.append(present)
            write_json(self.folder / "boots.json", seen)
        return len(seen)

    def planned_boots(self) -> dict[str, str]:
        """Which start of this machine each boot of the plan was."""
        return dict(read_json(self.folder / "planned-boots.json", {}))

    def note_planned_boot(self, planned: str, present: str) -> None:
        """This boot of the plan is the present start."""
        write_json(self.folder / "planned-boots.json", {**self.planned_boots(), planned: present})

    def trusted(self, script: Mapping[str, Any]) -> bool:
        """Whether somebody at this machine has allowed this very command."""
        return mark_of(script) in read_json(self.folder / "allowed.json", [])

    def trust(self, script: Mapping[str, Any]) -> None:
        """Somebody at this machine allows this command; a changed one is asked about again."""
        allowed = [*read_json(self.folder / "allowed.json", []), mark_of(script)]
        write_json(self.folder / "allowed.json", allowed)

    def known_files(self, folder: Path) -> Known | None:
        """The files of a watched folder that are no news, or None where it was never watched."""
        told: Known | None = read_json(self.folder / "files.json", {}).get(str(folder))
        return told

    def note_files(self, folder: Path, known: Known) -> None:
        """Remembers which files of a watched folder are no news."""
        place = self.folder / "files.json"
        write_json(place, {**read_json(place, {}), str(folder): known})

    def under_way(self) -> Mapping[str, Any]:
        """The run that a person was driving when this program was ended; nothing where none was."""
        told: Mapping[str, Any] = read_json(self.folder / "under-way.json", {})
        return told

    def note_under_way(self, run: Mapping[str, Any] | None) -> None:
        """Remembers the run that a person drives: its words, its facts, and what was in the folder before."""
        place = self.folder / "under-way.json"
        if run is None:
            place.unlink(missing_ok=True)
        else:
            write_json(place, run)


def mark_of(script: Mapping[str, Any]) -> str:
    """What names a command with its folder: another word in it gives another mark."""
    said = f"{script.get('folder', '')}\0{script['command']}"
    return hashlib.sha256(said.encode()).hexdigest()
