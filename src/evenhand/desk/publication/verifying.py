"""Verify a bundle: does it agree with itself, and do its logs give the published numbers."""

from __future__ import annotations

import re
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from datetime import datetime
from pathlib import Path

from evenhand.desk.logs import archives
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.desk.opening import open_desk
from evenhand.desk.publication.snapshots import snapshot_now
from evenhand.editions.bundle import MASKED, PACKAGE, SNAPSHOT, STUDY, TABLES, is_sealed
from evenhand.editions.checks import damaged_files, differing_tables, digest_of_all, listed_sums
from evenhand.editions.logs_exchanged import MOST_BYTES, logs_exchanged
from evenhand.editions.package_checks import package_troubles
from evenhand.editions.recomputed import Recomputed, recomputed
from evenhand.editions.snapshot import ANEW, Snapshot, from_stranger
from evenhand.errors import BadRecord, EvenhandError
from evenhand.folders.study_folder import STUDY_FILE

Watch = Callable[[int, int, str], None]
READ = (TABLES, PACKAGE, MASKED)  # what is read of a bundle's files beside its snapshot and its study
WORDS_ALTERED = (
    f"every log is the one that its run went out with: {STUDY}{STUDY_FILE}, what lies beside it, "
    f"or {SNAPSHOT} was altered"
)
PACKED_ANEW = (
    "the archive was altered, or packed anew: its files agree with its own list, "
    "which may have been mended with them"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Verified:
    """What came of a bundle. `damage` says in sentences what does not agree with its own list or seal.

    `digest` is that of the whole, "" where files and list disagree; `published` what was told elsewhere, ""
    where nothing was. `tables` are those that do not say what the snapshot says, and what the descriptor says
    of them otherwise; `logs` are files of the study that are not those that went out, or cannot be used;
    `again` is what the logs gave, None where something is damaged: nothing is worked out then.
    """

    study: str
    title: str
    files: int
    damage: tuple[str, ...] = ()
    digest: str = ""
    published: str = ""
    tables: tuple[str, ...] = field(default=())
    logs: tuple[str, ...] = field(default=())
    again: Recomputed | None = None

    @property
    def another(self) -> bool:
        """Whether a digest was told elsewhere, and this is not the bundle that it is of."""
        return bool(self.published) and self.published != self.digest

    @property
    def sound(self) -> bool:
        """Whether the bundle agrees with itself and with what was told of it, and every number comes out."""
        wrong = self.damage or self.another or self.tables or self.logs
        return not wrong and self.again is not None and not self.again.differing


def verify(bundle: Path, *, now: datetime, watch: Watch, published: str = "") -> Verified:
    """Holds a bundle, packed or as a folder, against itself and its logs, in a workbench of its own.

    `published` is the digest of the whole as it was told elsewhere. Raises BadRecord where there is no
    bundle, it may not be unpacked safely, a newer Evenhand made it, or that is no digest.
    """
    published = _digest(published)
    with tempfile.TemporaryDirectory(prefix="evenhand-") as made:
        folder, names = _opened(bundle, Path(made), watch)
        if SNAPSHOT not in names:
            raise BadRecord(f"this holds no {SNAPSHOT}", where=str(bundle), todo="name a bundle")
        altered = tuple(damaged_files(folder, names))
        digest = "" if altered else digest_of_all(folder)
        damage = altered or unsealed(bundle)
        snapshot = _snapshot(folder, damage, bundle)
        found = Verified(
            study="", title="", files=len(names), damage=damage, digest=digest, published=published
        )
        if snapshot is None or damage:
            return found
        files = {name: _read(folder / name) for name in names if name.startswith(READ)}
        again, refused = worked_out(folder / STUDY, Path(made), now=now, watch=watch)
        exchanged = logs_exchanged(snapshot, again, listed=files.get(MASKED, b""), sums=listed_sums(folder))
        logs, compared = (*exchanged, *refused), recomputed(snapshot, again)
        return replace(
            found, study=snapshot.study["key"], title=snapshot.study["title"],
            tables=(*differing_tables(snapshot, files), *package_troubles(files)),
            logs=logs or (WORDS_ALTERED,) * bool(compared.differing), again=compared,
        )  # fmt: skip


def _read(file: Path) -> bytes:
    """A file's bytes; of the list of masked files no more than shows that it is too long."""
    with file.open("rb") as opened:
        return opened.read(MOST_BYTES + 1 if file.name == MASKED else -1)


def _digest(told: str) -> str:
    """A digest as somebody copied it. Raises BadRecord where it is none."""
    plain = told.strip().lower().removeprefix("sha256:")
    if plain and not re.fullmatch("[0-9a-f]{64}", plain):
        raise BadRecord(f"'{told}' is no digest", where="published", todo="give its 64 signs from 0 to f")
    return plain


def _opened(bundle: Path, room: Path, watch: Watch) -> tuple[Path, tuple[str, ...]]:
    """The folder that a bundle lies in, and the names of its files; unpacked where it is packed."""
    if bundle.is_dir():
        return bundle, tuple(files_below(bundle))
    if not bundle.is_file():
        raise BadRecord("there is no such file", where=str(bundle), todo="name a bundle")
    folder = room / "bundle"
    try:
        return folder, archives.unpack(bundle, folder, name=str(bundle), watch=watch)
    except BadRecord as error:  # whoever verifies has nothing that could be packed again
        raise BadRecord(
            error.found, where=error.where, todo="fetch it again from where it was published"
        ) from error


def files_below(folder: Path) -> Iterator[str]:
    """Every file of a folder. Raises BadRecord for a link, which would lead out of what is verified."""
    for path in sorted(folder.rglob("*")):
        name = path.relative_to(folder).as_posix()
        if path.is_symlink():
            raise BadRecord(f"'{name}' is a link to another file", where=str(folder), todo="take it out")
        if path.is_file():
            yield name


def unsealed(bundle: Path) -> tuple[str, ...]:
    """What is told where an archive's bytes are not those that were written; a folder has no seal."""
    if bundle.is_dir():
        return ()
    with bundle.open("rb") as archive:
        if is_sealed(archive):
            return ()
    return (PACKED_ANEW,)


def _snapshot(folder: Path, damage: tuple[str, ...], bundle: Path) -> Snapshot | None:
    try:
        return from_stranger((folder / SNAPSHOT).read_bytes(), where=f"{bundle}: {SNAPSHOT}")
    except BadRecord:
        if damage:
            return None
        raise


def worked_out(study: Path, made: Path, *, now: datetime, watch: Watch) -> tuple[Snapshot, tuple[str, ...]]:
    """What the logs of a study say by themselves, in a workbench made for it; files it cannot use."""
    with open_desk(made / "again.evenhand") as wb, named_in_bundle(study):
        report = import_folder(wb, study, now=now, watch=watch)
        refused = tuple(f"{STUDY}{each.file} cannot be used: {each.why}" for each in report.refused)
        return snapshot_now(wb, load_study(wb, report.study)), refused


@contextmanager
def named_in_bundle(study: Path) -> Iterator[None]:
    """Lets trouble name files by where they lie in the bundle, and not where it was unpacked."""
    try:
        yield
    except EvenhandError as trouble:
        place = trouble.where.removeprefix(str(study)).lstrip("/\\")
        beyond = not place or place == trouble.where
        where = f"{STUDY}{STUDY_FILE}" if beyond else f"{STUDY}{place}"
        found = trouble.found.replace(f"{study}/", STUDY)
        raise type(trouble)(found, where=where, todo=ANEW) from trouble
