"""Writes one and the same log in any dialect that Evenhand reads, for the tests."""

from __future__ import annotations

import gzip
import itertools
import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from evenhand.records.layouts import Column, Layout, LogKind, Role

HEADER = ("n", "t [s]", "frame [ms]", "gpu [ms]", "note")


@dataclass(frozen=True, kw_only=True)
class Dialect:
    """One way to write a table of numbers down."""

    delimiter: str = ","
    decimal: str = "."
    encoding: str = "utf-8"
    mark: bytes = b""
    line_end: str = "\n"
    comments: tuple[str, ...] = ()
    header: tuple[str, ...] = HEADER
    gz: bool = False
    last_end: bool = True
    quoted: bool = False
    json: bool = False

    def __str__(self) -> str:
        parts = [
            repr(self.delimiter),
            self.decimal,
            self.encoding,
            "mark" * bool(self.mark),
            repr(self.line_end),
        ]
        flags = ["comments" * bool(self.comments), "gz" * self.gz, "quoted" * self.quoted, "json" * self.json]
        return " ".join(p for p in (*parts, *flags) if p)


def number(value: float, decimal: str = ".") -> str:
    """A number that reads back exactly."""
    return repr(value).replace(".", decimal)


def write(dialect: Dialect, rows: Sequence[Sequence[float | str]]) -> bytes:
    """The bytes of a log."""
    lines = [_json_line(dialect, row) for row in rows] if dialect.json else _delimited(dialect, rows)
    text = dialect.line_end.join(lines) + dialect.line_end * dialect.last_end
    raw = dialect.mark + text.encode(dialect.encoding)
    return gzip.compress(raw, mtime=0) if dialect.gz else raw


def _json_line(dialect: Dialect, row: Sequence[float | str]) -> str:
    return json.dumps(dict(zip(dialect.header, row, strict=True)), ensure_ascii=False)


def _delimited(dialect: Dialect, rows: Sequence[Sequence[float | str]]) -> list[str]:
    def field(value: float | str) -> str:
        text = value if isinstance(value, str) else number(value, dialect.decimal)
        return f'"{text}"' if dialect.quoted else text

    body = [dialect.delimiter.join(field(v) for v in row) for row in rows]
    return [*dialect.comments, dialect.delimiter.join(field(h) for h in dialect.header), *body]


def every_dialect() -> Iterator[Dialect]:
    """Delimiters × decimal marks × encodings × line ends, then the rest of the ways one at a time."""
    encodings = (
        ("utf-8", b""),
        ("utf-8", b"\xef\xbb\xbf"),
        ("utf-16-le", b"\xff\xfe"),
        ("utf-16-be", b"\xfe\xff"),
        ("utf-16-le", b""),
        ("utf-16-be", b""),
        ("cp1252", b""),
    )
    for delimiter, decimal, (encoding, mark), line_end in itertools.product(
        (",", ";", "\t", "|"), (".", ","), encodings, ("\n", "\r\n", "\r")
    ):
        if delimiter != decimal:
            yield Dialect(
                delimiter=delimiter, decimal=decimal, encoding=encoding, mark=mark, line_end=line_end
            )
    spaced = Dialect(delimiter="  ", header=("n", "t[s]", "frame[ms]", "gpu[ms]", "note"))
    yield from (spaced, replace(spaced, decimal=","), replace(spaced, delimiter=" \t "))
    for base in (
        Dialect(),
        Dialect(delimiter=";", decimal=","),
        Dialect(delimiter="\t", encoding="utf-16-le"),
    ):
        for sign in ("#", "//", "!"):
            yield replace(base, comments=(f"{sign} Salt Causeway", f"{sign} vsync off, door shut"))
        yield replace(base, gz=True)
        yield replace(base, quoted=True)
        yield replace(base, last_end=False)
    yield Dialect(comments=("; Salt Causeway", "; vsync off"))
    yield Dialect(decimal=",", quoted=True)
    yield Dialect(json=True)
    yield Dialect(json=True, gz=True)
    yield Dialect(json=True, encoding="utf-16-le", mark=b"\xff\xfe")


def frame_layout(header: Sequence[str] = HEADER, *, clock: bool = True) -> Layout:
    """What a person would confirm for the table above."""
    columns = [Column(header=header[2], role=Role.FRAME_TIME, unit="ms")]
    if clock:
        columns.append(Column(header=header[1], role=Role.ELAPSED, unit="s"))
    columns.append(Column(header=header[3], role=Role.GRAPHICS_SHARE, unit="ms"))
    return Layout(fingerprint="", kind=LogKind.FRAMES, columns=tuple(columns))


def some_rows(n: int = 40, *, frame_ms: float = 16.5) -> list[list[float | str]]:
    """A clean log: counter, clock in s, frame time in ms, graphics share, a word beyond ASCII."""
    rows: list[list[float | str]] = []
    elapsed_ms = 0.0
    for k in range(n):
        time_ms = frame_ms + (k * 7 % 11) / 8
        rows.append([float(k), round(elapsed_ms / 1e3, 6), time_ms, time_ms / 2, "24°"])
        elapsed_ms += time_ms
    return rows
