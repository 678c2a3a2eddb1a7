"""The bytes of every log as they came, compressed, under their SHA-256, for good."""

from __future__ import annotations

import hashlib
import struct
from collections.abc import Mapping

import pyarrow as pa

from evenhand.errors import BadRecord, NotFound, StoreProblem
from evenhand.store.rows import Saved, insert
from evenhand.store.seals import seal
from evenhand.store.workbench import Workbench

ZSTD_LEVEL = 1
_FORM = 1
_HEAD = struct.Struct("<BQ")  # the form of the packing, and the length of the bytes as they came


def pack_original(data: bytes) -> bytes:
    """The bytes compressed as they are kept. Pure, and free of the interpreter lock: fit for a thread pool.

    >>> unpack_original(pack_original(b"frame,ms"))
    b'frame,ms'
    """
    codec = pa.Codec("zstd", compression_level=ZSTD_LEVEL)
    return _HEAD.pack(_FORM, len(data)) + bytes(codec.compress(data, asbytes=True))


def unpack_original(packed: bytes) -> bytes:
    """The bytes as they came. Raises StoreProblem where the packed ones are damaged."""
    try:
        form, length = _HEAD.unpack_from(packed)
        if form != _FORM:
            raise StoreProblem(f"an original is packed in form {form}, unknown here", todo="update Evenhand")
        body = memoryview(packed)[_HEAD.size :]
        return bytes(pa.Codec("zstd").decompress(body, decompressed_size=length, asbytes=True))
    except (struct.error, OSError, ValueError, TypeError, MemoryError, OverflowError) as error:
        raise StoreProblem("an original is damaged", todo="go on from the latest backup") from error


def keep(wb: Workbench, data: bytes, *, name: str, digest: str) -> Saved:
    """Keeps a log's bytes under `digest` (SHA-256 in hex) and the name they were seen under.

    Bytes already on record are not compressed or stored twice; only the name is added where it is new.
    Raises BadRecord where the digest is not that of the bytes.
    """
    if hashlib.sha256(data).hexdigest() != digest:
        raise BadRecord("the hash given is not that of the bytes", where=name, todo="hash the bytes again")
    packed = b"" if on_record(wb, digest) else pack_original(data)
    return keep_packed(wb, packed, name=name, digest=digest)


def keep_unnamed(wb: Workbench, data: bytes) -> str:
    """Keeps bytes that never came in under a name: files that went out. Their SHA-256."""
    digest = hashlib.sha256(data).hexdigest()
    if not on_record(wb, digest):
        packed = pack_original(data)
        with wb.writing() as conn:
            if not on_record(wb, digest):
                insert(conn, "originals", {"digest": digest, "raw_bytes": len(data), "packed": packed})
    return digest


def keep_all_unnamed(wb: Workbench, made: Mapping[str, bytes]) -> None:
    """Keeps bytes that go out under their SHA-256, all of them in one transaction or none."""
    packed = {digest: pack_original(data) for digest, data in made.items() if not on_record(wb, digest)}
    with wb.writing() as conn:
        for digest, small in packed.items():
            if not on_record(wb, digest):
                raw = len(made[digest])
                insert(conn, "originals", {"digest": digest, "raw_bytes": raw, "packed": small})


def keep_packed(wb: Workbench, packed: bytes, *, name: str, digest: str) -> Saved:
    """As `keep`, for bytes that `pack_original` has compressed elsewhere; the digest is taken on trust.

    `packed` may be empty where the bytes are on record already.
    """
    # File names need not be text everywhere; what cannot be written as text is spelt out.
    written = name.encode("utf-8", "backslashreplace").decode("utf-8")
    with wb.writing() as conn:
        known = on_record(wb, digest)
        if not known:
            _, length = _HEAD.unpack_from(packed)
            insert(conn, "originals", {"digest": digest, "raw_bytes": length, "packed": packed})
        seen = conn.execute(
            "INSERT OR IGNORE INTO original_names (digest, name) VALUES (?, ?)", (digest, written)
        ).rowcount
        if seen:
            seal(conn, "original_names", digest)
    if not known:
        return Saved.NEW
    return Saved.CHANGED if seen else Saved.SAME


def on_record(wb: Workbench, digest: str) -> bool:
    """Whether bytes with this hash are kept."""
    with wb.reading() as conn:
        return conn.execute("SELECT 1 FROM originals WHERE digest = ?", (digest,)).fetchone() is not None


def size_of(wb: Workbench, digest: str) -> int:
    """How many bytes there are under this hash, as they came; 0 where none are kept."""
    with wb.reading() as conn:
        row = conn.execute("SELECT raw_bytes FROM originals WHERE digest = ?", (digest,)).fetchone()
        return 0 if row is None else int(row["raw_bytes"])


def original(wb: Workbench, digest: str) -> bytes:
    """The bytes as they came. Raises NotFound, or StoreProblem where they are damaged."""
    with wb.reading() as conn:
        row = conn.execute("SELECT packed FROM originals WHERE digest = ?", (digest,)).fetchone()
    if row is None:
        raise NotFound(f"no original has the hash {digest}", where=str(wb.path), todo="import the log again")
    return unpack_original(row["packed"])


def beginning(wb: Workbench, digest: str, size: int) -> bytes:
    """The first bytes as they came, without unpacking the rest. Raises as `original` does."""
    with wb.reading() as conn:
        row = conn.execute("SELECT raw_bytes, packed FROM originals WHERE digest = ?", (digest,)).fetchone()
    if row is None or row["raw_bytes"] <= size:
        return original(wb, digest)
    try:
        packed = pa.BufferReader(memoryview(row["packed"])[_HEAD.size :])
        with pa.CompressedInputStream(packed, "zstd") as stream:
            return bytes(stream.read(size))
    except (OSError, ValueError) as error:
        raise StoreProblem("an original is damaged", todo="go on from the latest backup") from error


def names(wb: Workbench, digest: str) -> tuple[str, ...]:
    """The names under which these bytes were seen, in alphabetical order."""
    with wb.reading() as conn:
        rows = conn.execute("SELECT name FROM original_names WHERE digest = ? ORDER BY name", (digest,))
        return tuple(row["name"] for row in rows)
