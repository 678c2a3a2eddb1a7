"""Verify a bundle: are its files those that went out, and do its logs give the published numbers."""

from __future__ import annotations

import tempfile
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from evenhand.desk import archives
from evenhand.desk.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.desk.opening import open_desk
from evenhand.desk.snapshots import snapshot_now
from evenhand.editions.bundle import SNAPSHOT, STUDY, TABLES, is_sealed
from evenhand.editions.checks import damaged_files, differing_tables
from evenhand.editions.recomputed import Recomputed, recomputed
from evenhand.editions.snapshot import Snapshot, from_text
from evenhand.errors import BadRecord

Watch = Callable[[int, int, str], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Verified:
    """What came of a bundle. `damage` says in sentences what is not as it went out.

    `tables` are those that do not say what the snapshot says; `again` is what the logs gave, None where
    something is damaged: nothing is worked out then.
    """

    study: str
    title: str
    files: int
    damage: tuple[str, ...] = ()
    tables: tuple[str, ...] = field(default=())
    again: Recomputed | None = None

    @property
    def sound(self) -> bool:
        """Whether every file is as it went out and every number comes out as published."""
        return not (self.damage or self.tables) and self.again is not None and not self.again.differing


def verify(bundle: Path, *, now: datetime, watch: Watch) -> Verified:
    """Holds a bundle against itself and against its logs, in a workbench of its own that is gone afterwards.

    Raises BadRecord where the file is no bundle, may not be unpacked safely, or a newer Evenhand made it.
    """
    if not bundle.is_file():
        raise BadRecord("there is no such file", where=str(bundle), todo="name a bundle")
    with tempfile.TemporaryDirectory(prefix="evenhand-") as made:
        folder = Path(made) / "bundle"
        names = archives.unpack(bundle, folder, name=str(bundle), watch=watch)
        if SNAPSHOT not in names:
            raise BadRecord(f"this archive holds no {SNAPSHOT}", where=str(bundle), todo="name a bundle")
        damage = tuple(damaged_files(folder, names)) or unsealed(bundle)
        snapshot = _snapshot(folder, damage, bundle)
        if snapshot is None or damage:
            return Verified(study="", title="", files=len(names), damage=damage)
        files = {name: (folder / name).read_bytes() for name in names if name.startswith(TABLES)}
        return Verified(
            study=snapshot.study["key"], title=snapshot.study["title"], files=len(names),
            tables=tuple(differing_tables(snapshot, files)),
            again=recomputed(snapshot, worked_out(folder / STUDY, Path(made), now=now, watch=watch)),
        )  # fmt: skip


def unsealed(bundle: Path) -> tuple[str, ...]:
    """What is told where a byte outside of any file was altered."""
    with bundle.open("rb") as archive:
        if is_sealed(archive):
            return ()
    return ("the archive itself was altered, or packed anew: its files are as they went out",)


def _snapshot(folder: Path, damage: tuple[str, ...], bundle: Path) -> Snapshot | None:
    try:
        return from_text((folder / SNAPSHOT).read_text("utf-8"), where=f"{bundle}: {SNAPSHOT}")
    except (BadRecord, UnicodeDecodeError):
        if damage:
            return None
        raise


def worked_out(study: Path, made: Path, *, now: datetime, watch: Watch) -> Snapshot:
    """What the logs of a study's folder say by themselves, in a workbench made for it."""
    with open_desk(made / "again.evenhand") as wb:
        report = import_folder(wb, study, now=now, watch=watch)
        return snapshot_now(wb, load_study(wb, report.study))
