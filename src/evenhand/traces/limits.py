"""How much a log may ask of the machine that reads it."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.errors import BadLog

MIB = 2**20


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """The bounds inside which a log is read; past them it is refused in words.

    `max_bytes`: the file as it lies on disk. Two hours at 500 frames a second and 200 bytes a row is
    720 MB; a file past 1 GiB is more likely not one run.
    `max_unpacked_bytes`: what a gzip archive may unpack to; the same bound, since the text is the same.
    `max_unpack_ratio`: unpacked over packed bytes, looked at once 16 MiB are out. Logs of numbers pack 3 to
    30 to one; an archive built to fill memory packs about 1,000 to one.
    `max_line_bytes`: the longest line; 4,096 columns of 64 characters fit four times over.
    `max_columns`: no program logs thousands of columns by intent; past this the delimiter is wrong.
    `max_rows`: two hours at 1,000 frames a second are 7.2 million; judging two such siblings takes 1.4 GB.

    >>> Limits().max_columns
    4096
    """

    max_bytes: int = 1024 * MIB
    max_unpacked_bytes: int = 1024 * MIB
    max_unpack_ratio: float = 200.0
    max_line_bytes: int = MIB
    max_columns: int = 4096
    max_rows: int = 10_000_000


DEFAULT_LIMITS = Limits()


def check_size(size_bytes: int, *, name: str, limits: Limits = DEFAULT_LIMITS) -> None:
    """Refuse a file by its size alone: ask this before reading it into memory.

    >>> check_size(3 * 1024**3, name="crowd.csv")
    Traceback (most recent call last):
    evenhand.errors.BadLog: crowd.csv: the file holds 3,072 MiB, past the limit of 1,024 MiB; ...
    """
    if size_bytes == 0:
        raise BadLog("the file is empty", where=name, todo="record the run again, or copy the file again")
    if size_bytes > limits.max_bytes:
        raise BadLog(
            f"the file holds {in_mib(size_bytes)}, past the limit of {in_mib(limits.max_bytes)}",
            where=name,
            todo="split it into one file a run",
        )


def too_many_rows(limits: Limits, *, where: str) -> BadLog:
    """The refusal of more rows than one run can have."""
    return BadLog(
        f"the log has more rows than one run can: past the limit of {limits.max_rows:,}",
        where=where,
        todo="split it into one file a run, or check that each row is a frame",
    )


def in_mib(size_bytes: float) -> str:
    """A size in words.

    >>> in_mib(3 * 2**20)
    '3 MiB'
    """
    return f"{size_bytes / MIB:,.0f} MiB" if size_bytes >= MIB else f"{size_bytes:,.0f} bytes"
