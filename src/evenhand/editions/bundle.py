"""A data bundle: the files that let anybody work every published number out again, and a zip of them."""

from __future__ import annotations

import hashlib
import json
import os
import zipfile
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, BinaryIO

from evenhand.editions.snapshot import Snapshot, as_text
from evenhand.editions.tables import DataTable, tables_of, to_csv, to_parquet
from evenhand.publish.dates import day_words
from evenhand.records.publications import Imprint

SNAPSHOT, PACKAGE, CITATION, READ_ME, SUMS, MASKED = (
    "snapshot.json", "datapackage.json", "CITATION.cff", "README.md", "checksums.sha256", "masked.json",
)  # fmt: skip
STUDY = "study/"
TABLES = "tables/"
FORM = 1
SEAL_BYTES = len("sha256:") + 64
_PIECE = 2**20


@dataclass(frozen=True, slots=True, kw_only=True)
class About:
    """Which edition a bundle is of, and by whom and what it was made."""

    number: int
    at: datetime
    code_version: str
    reason: str = ""
    imprint: Imprint = field(default_factory=Imprint)


def described(snapshot: Snapshot, about: About) -> dict[str, bytes]:
    """The files that describe an edition: snapshot, tables, descriptor, citation, and words for people."""
    tables = tables_of(snapshot)
    files = {SNAPSHOT: as_text(snapshot).encode()}
    for table in tables:
        files[f"{TABLES}{table.name}.csv"] = to_csv(table)
        files[f"{TABLES}{table.name}.parquet"] = to_parquet(table)
    files[PACKAGE] = _json(package_of(snapshot, tables, files, about))
    files[CITATION] = citation(snapshot, about).encode()
    files[READ_ME] = read_me(snapshot, tables, about).encode()
    return files


def package_of(
    snapshot: Snapshot, tables: Iterable[DataTable], files: Mapping[str, bytes], about: About
) -> dict[str, Any]:
    """The descriptor (Data Package, Frictionless v1): each table with columns and hash."""
    licences = [{"name": about.imprint.licence}] if about.imprint.licence else []
    return {
        "profile": "tabular-data-package",
        "name": snapshot.study["key"],
        "title": snapshot.study["title"],
        "version": str(about.number),
        "created": about.at.isoformat(),
        **({"licenses": licences} if licences else {}),
        **({"contributors": [{"title": about.imprint.name}]} if about.imprint.name else {}),
        "evenhand": {"form": FORM, "code_version": about.code_version},
        "resources": [_resource(table, files) for table in tables],
    }


def _resource(table: DataTable, files: Mapping[str, bytes]) -> dict[str, Any]:
    path = f"{TABLES}{table.name}.csv"
    return {
        "name": table.name,
        "path": path,
        "profile": "tabular-data-resource",
        "description": table.description,
        "format": "csv",
        "encoding": "utf-8",
        "bytes": len(files[path]),
        "hash": f"sha256:{hashlib.sha256(files[path]).hexdigest()}",
        "schema": {
            "fields": [{"name": c.name, "type": c.type, "description": c.description} for c in table.columns],
            "missingValues": [""],
        },
    }


def citation(snapshot: Snapshot, about: About) -> str:
    """How to cite it (Citation File Format 1.2.0)."""
    who = about.imprint.name or "the publisher of this study"
    rows = {
        "cff-version": "1.2.0",
        "message": "If you use these data, please cite them as below.",
        "type": "dataset",
        "title": snapshot.study["title"],
        "version": str(about.number),
        "date-released": about.at.date().isoformat(),
    }
    if about.imprint.licence:
        rows["license"] = about.imprint.licence
    told = "".join(f"{key}: {json.dumps(value, ensure_ascii=False)}\n" for key, value in rows.items())
    return f"{told}authors:\n  - name: {json.dumps(who, ensure_ascii=False)}\n"


def read_me(snapshot: Snapshot, tables: Iterable[DataTable], about: About) -> str:
    """What lies here, in words."""
    rows = "\n".join(f"| `{table.name}` | {table.description} |" for table in tables)
    licence = about.imprint.licence or "not stated by the publisher: ask before you use more than a quotation"
    reason = f" Why there is another edition: {about.reason}." if about.reason else ""
    return READ_ME_WORDS.format(
        title=snapshot.study["title"], number=about.number, day=day_words(about.at.date()), reason=reason,
        rows=rows, licence=licence, version=about.code_version,
    )  # fmt: skip


READ_ME_WORDS = """# {title}: data of edition {number}

Frozen on {day} by Evenhand {version}.{reason}

- `study/` is the whole study with every log: `evenhand import study` brings it in anywhere.
- `snapshot.json` is what the edition says, number by number and sentence by sentence.
- `cards/` holds the cards as SVG, wide, upright and square; `cards/cards.json` says what each shows.
- `tables/` holds the same as CSV and Parquet; `datapackage.json` says what each column is.
- `masked.json` names the files in which serials, names or addresses were masked, with their hashes before.
- `checksums.sha256` holds the SHA-256 of every other file.

`evenhand verify` works every published number out again from the logs and says which match.

| table | each row |
|---|---|
{rows}

Licence: {licence}.
"""


def sums(files: Mapping[str, str]) -> bytes:
    """The checksum file: SHA-256 and path of each, as `sha256sum --check` reads it."""
    return "".join(f"{digest}  {path}\n" for path, digest in sorted(files.items())).encode()


def zip_into(target: BinaryIO, files: Iterable[tuple[str, bytes]], *, at: datetime) -> None:
    """A zip of files in the order given, every entry of one moment: the same files give the same bytes.

    `target` can be read and written. The archive's comment is the SHA-256 of all bytes before it, so that one
    altered byte outside of any file shows as well.
    """
    moment = (max(at.year, 1980), at.month, at.day, at.hour, at.minute, at.second)
    with zipfile.ZipFile(target, "w", compression=zipfile.ZIP_DEFLATED) as archive:
        archive.comment = b" " * SEAL_BYTES
        for path, data in files:
            entry = zipfile.ZipInfo(path, date_time=moment)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.external_attr = 0o644 << 16
            archive.writestr(entry, data)
    seal, end = seal_of(target)
    target.seek(end)
    target.write(seal)


def seal_of(archive: BinaryIO) -> tuple[bytes, int]:
    """The seal that a bundle's archive should end with, and where it begins."""
    end = archive.seek(0, os.SEEK_END) - SEAL_BYTES
    whole, left = hashlib.sha256(), max(end, 0)
    archive.seek(0)
    while left and (piece := archive.read(min(left, _PIECE))):
        whole.update(piece)
        left -= len(piece)
    return b"sha256:" + whole.hexdigest().encode(), max(end, 0)


def is_sealed(archive: BinaryIO) -> bool:
    """Whether the bytes of a bundle's archive are those that were written."""
    seal, end = seal_of(archive)
    archive.seek(end)
    return archive.read() == seal


def _json(value: object) -> bytes:
    return (json.dumps(value, ensure_ascii=False, indent=2, sort_keys=True) + "\n").encode()
