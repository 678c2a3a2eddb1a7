"""The data bundle of an edition: made when it goes out, kept with it, and written as a zip whenever asked."""

from __future__ import annotations

import hashlib
import json
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from evenhand.desk.logs.exporting import export_study
from evenhand.desk.logs.writing_out import DRAFT, unwritable
from evenhand.desk.opening import CODE_VERSION
from evenhand.editions.bundle import MASKED, STUDY, SUMS, About, described, sums, zip_into
from evenhand.editions.masking import masked_log
from evenhand.editions.snapshot import Snapshot
from evenhand.errors import BadRecord
from evenhand.records.publications import Publication
from evenhand.store import originals, publications
from evenhand.store.imprints import imprint_now
from evenhand.store.workbench import Workbench

LARGE = 2**20  # bytes of a file that is not held in memory until all are made
FOLDER = "bundle/"  # of an edition's files


@dataclass(frozen=True, slots=True, kw_only=True)
class Bundled:
    """A bundle that was written: where, how many files, how many bytes."""

    edition: Publication
    path: Path
    files: int
    bytes_written: int

    @property
    def digest(self) -> str:
        """The digest of the whole."""
        return digest_of_data(self.edition.files)


@dataclass(frozen=True, slots=True, kw_only=True)
class CardFiles:
    """The cards of an edition: bytes by path in the bundle, and what each shows and where it lies."""

    files: Mapping[str, bytes]
    rows: Sequence[Mapping[str, Any]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """A bundle's files: digests by path, and by digest the bytes of those that are not on record yet.

    `logs` are paths by digest as they came, `cards` what each card shows and where it lies.
    """

    files: Mapping[str, str]
    fresh: Mapping[str, bytes]
    logs: Mapping[str, str]
    cards: Sequence[Mapping[str, Any]] = ()


def bundle_files(
    wb: Workbench, snapshot: Snapshot, about: About, cards: CardFiles, *, masking: Sequence[str] = ()
) -> Made:
    """Makes every file of the bundle of an edition, its cards among them. Large ones are kept at once."""
    logs: dict[str, str] = {}
    fresh: dict[str, bytes] = {}
    made = {**described(snapshot, about), **cards.files}
    kept = {path: held(wb, data, fresh) for path, data in made.items()}
    masked = []
    with tempfile.TemporaryDirectory(prefix="evenhand-") as room:
        export_study(wb, snapshot.study["key"], Path(room) / "study")
        for path, data in files_in(Path(room) / "study"):
            fit = masked_log(data, name=path, words=masking)
            before = hashlib.sha256(data).hexdigest()
            kept[STUDY + path] = held(wb, fit.data, fresh)
            logs[before] = STUDY + path
            if fit.places:
                after = kept[STUDY + path]
                masked.append(
                    {"path": STUDY + path, "sha256_before": before, "sha256": after, "places": fit.places}
                )
    kept[MASKED] = held(wb, (json.dumps(masked, indent=2) + "\n").encode(), fresh)
    kept[SUMS] = held(wb, sums(kept), fresh)
    return Made(files=dict(sorted(kept.items())), fresh=fresh, logs=logs, cards=cards.rows)


def held(wb: Workbench, data: bytes, fresh: dict[str, bytes]) -> str:
    """The digest of bytes that go out; those that are not on record stay in `fresh`, large ones are kept."""
    if len(data) > LARGE:
        return originals.keep_unnamed(wb, data)
    digest = hashlib.sha256(data).hexdigest()
    if not originals.on_record(wb, digest):
        fresh[digest] = data
    return digest


def files_in(folder: Path) -> Iterator[tuple[str, bytes]]:
    """Every file below a folder in order, by its path with forward slashes."""
    for path in sorted(each for each in folder.rglob("*") if each.is_file()):
        yield path.relative_to(folder).as_posix(), path.read_bytes()


def about_next(wb: Workbench, study: str, *, reason: str, now: datetime) -> About:
    """What the next edition of a study will say of itself."""
    number = len(publications.publications_of(wb, study)) + 1
    imprint = imprint_now(wb)
    return About(number=number, at=now, code_version=CODE_VERSION, reason=reason, imprint=imprint)


def write_bundle(wb: Workbench, study: str, path: Path, *, number: int | None = None) -> Bundled:
    """The bundle of an edition, the last one where none is named, as a zip: the same bytes every time.

    Raises NotFound where there is no such edition, and BadRecord where the place refuses it or holds a file.
    """
    known = publications.publications_of(wb, study)
    edition = publications.publication(wb, study, len(known) if number is None else number)
    if path.exists():
        raise BadRecord("there is a file already", where=str(path), todo="name another, or take it away")
    half = path.with_name(f"{DRAFT}{path.name}")
    try:
        with half.open("w+b") as target:
            zip_into(target, bundled_files(wb, edition), at=edition.at)
        half.replace(path)
    except OSError as error:
        raise unwritable(path, error) from error
    finally:
        half.unlink(missing_ok=True)
    files = sum(name.startswith(FOLDER) for name in edition.files)
    return Bundled(edition=edition, path=path, files=files, bytes_written=path.stat().st_size)


def digest_of_data(files: Mapping[str, str]) -> str:
    """SHA-256 of an edition's list of checksums, which stands for its whole bundle; "" where it has none."""
    return files.get(FOLDER + SUMS, "")


def bundled_files(wb: Workbench, edition: Publication) -> Iterator[tuple[str, bytes]]:
    """The files of an edition's bundle, one in memory at a time."""
    for name in edition.files:
        if name.startswith(FOLDER):
            yield name.removeprefix(FOLDER), publications.published_file(wb, edition, name)
