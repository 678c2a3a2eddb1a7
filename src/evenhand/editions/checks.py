"""Whether a bundle's files are those that its own list tells of, and its tables what its snapshot says."""

from __future__ import annotations

import hashlib
import io
import re
from collections.abc import Iterator, Mapping
from pathlib import Path

import pyarrow as pa
import pyarrow.parquet as pq

from evenhand.editions.bundle import SUMS, TABLES
from evenhand.editions.snapshot import Snapshot
from evenhand.editions.tables import tables_of, to_csv, to_parquet

_SUM = re.compile(r"([0-9a-f]{64})  (.+)")


def damaged_files(folder: Path, names: tuple[str, ...]) -> Iterator[str]:
    """What is wrong with the files of a bundle by its own checksums, as sentences that name each.

    A list that was mended along with a file agrees with it: only a digest told elsewhere shows that.
    """
    place = folder / SUMS
    if not place.is_file():
        yield f"{SUMS} is missing, so that nothing can be held against it"
        return
    rows = place.read_text("utf-8", "replace").splitlines()
    spoilt = [i for i, row in enumerate(rows, start=1) if not _SUM.fullmatch(row)]
    yield from (f"{SUMS}, line {i}, is no checksum: the list itself was altered" for i in spoilt)
    told = {row[2]: row[1] for row in map(_SUM.fullmatch, rows) if row is not None}
    for name in sorted({*told, *names} - {SUMS}):
        if name not in told and not spoilt:
            yield f"{name} is not in {SUMS}: it was added later, or the list was altered"
        elif name not in names:
            yield f"{name} is missing"
        elif name in told and hashlib.sha256((folder / name).read_bytes()).hexdigest() != told[name]:
            yield f"{name} and its checksum in {SUMS} disagree: one of the two was altered"


def listed_sums(folder: Path) -> dict[str, str]:
    """SHA-256 of each file by its path, as the list of checksums says."""
    rows = map(_SUM.fullmatch, (folder / SUMS).read_text("utf-8", "replace").splitlines())
    return {row[2]: row[1] for row in rows if row is not None}


def digest_of_all(folder: Path) -> str:
    """SHA-256 of the list of checksums, which stands for every file of the bundle."""
    return hashlib.sha256((folder / SUMS).read_bytes()).hexdigest()


def differing_tables(snapshot: Snapshot, files: Mapping[str, bytes]) -> Iterator[str]:
    """Which tables do not say what the snapshot says, as sentences; CSV to the byte, Parquet by content."""
    for table in tables_of(snapshot):
        plain, packed = f"{TABLES}{table.name}.csv", f"{TABLES}{table.name}.parquet"
        if files.get(plain) != to_csv(table):
            yield f"{plain} does not say what the snapshot says"
        if packed not in files or not _alike(files[packed], to_parquet(table)):
            yield f"{packed} does not say what the snapshot says"


def _alike(one: bytes, other: bytes) -> bool:
    """Whether two Parquet files hold the same table, whatever library wrote them."""
    try:
        read = [pq.read_table(io.BytesIO(data)) for data in (one, other)]
    except (OSError, ValueError, MemoryError, pa.ArrowException):
        return False
    return bool(read[0].equals(read[1]))
