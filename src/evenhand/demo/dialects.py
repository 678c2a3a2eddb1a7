"""Frame logs as seven programs of no particular name might write them."""

from __future__ import annotations

import gzip
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from evenhand.demo.fixed_point import Whole, decimals, joined
from evenhand.folders.study_folder import LayoutEntry
from evenhand.records.layouts import Column, LogKind, Role

Floats = npt.NDArray[np.float64]
_Write = Callable[[Whole, str], bytes]

TICKS_PER_MS = 10_000  # 0.1 µs
_BYTE_ORDER_MARK = b"\xef\xbb\xbf"


@dataclass(frozen=True, slots=True, kw_only=True)
class Dialect:
    """One way to write frames down: its layout, the end of its file names, and its writer."""

    layout: LayoutEntry
    ending: str
    write: _Write


def frame_log(dialect: Dialect, frame_times_ms: Floats, title: str) -> bytes:
    """One run's frames, shape (n,), as the bytes of a log; `title` goes where the dialect has remarks."""
    return dialect.write(np.rint(frame_times_ms * TICKS_PER_MS).astype(np.int64), title)


def _begins(ticks: Whole) -> Whole:
    """When each frame begins, in ticks from the first."""
    return np.cumsum(ticks) - ticks


def _microseconds(ticks: Whole) -> Whole:
    return (ticks + 5) // 10


def _comma(ticks: Whole, _title: str) -> bytes:
    """Point decimals, a row number, and the shares of processor and graphics."""
    graphics = ticks - ticks // 40 - 900
    processor = ticks * 2 // 5 + 12_000
    rows = joined(
        decimals(np.arange(ticks.size), 0), b",", decimals(_microseconds(_begins(ticks)), 6), b",",
        decimals(ticks, 4), b",", decimals(processor, 4), b",", decimals(graphics, 4), b"\n",
    )  # fmt: skip
    return b"row,time_s,frame_ms,processor_ms,graphics_ms\n" + rows


def _semicolon(ticks: Whole, _title: str) -> bytes:
    """Decimal commas, CRLF, and a byte-order mark before everything."""
    rows = joined(
        decimals(np.arange(1, ticks.size + 1), 0), b";",
        decimals(_microseconds(_begins(ticks)), 6, mark=b","), b";", decimals(ticks, 4, mark=b","), b"\r\n",
    )  # fmt: skip
    return _BYTE_ORDER_MARK + b"no;elapsed [s];frame [ms]\r\n" + rows


def _tab(ticks: Whole, title: str) -> bytes:
    """UTF-16 with two remarks above the header."""
    rows = joined(
        decimals(np.arange(ticks.size), 0), b"\t", decimals(_microseconds(_begins(ticks)), 6),
        b"\t", decimals(ticks, 4), b"\n",
    )  # fmt: skip
    head = f"# {title}\n# screen sync off, sound on\nn\tt [s]\tframe time [ms]\n"
    return b"\xff\xfe" + (head + rows.decode("ascii")).encode("utf-16-le")


def _pipe(ticks: Whole, _title: str) -> bytes:
    """Whole microseconds, and the clock behind the frame."""
    rows = joined(decimals(_microseconds(ticks), 0), b"|", decimals(_microseconds(_begins(ticks)), 0), b"\n")
    return b"frame_us|since_start_us\n" + rows


def _json_lines(ticks: Whole, _title: str) -> bytes:
    """One object a line."""
    return joined(
        b'{"at_s": ', decimals(_microseconds(_begins(ticks)), 6), b', "took_ms": ', decimals(ticks, 4), b"}\n"
    )


def _spaces(ticks: Whole, title: str) -> bytes:
    """Columns set to the right by spaces, under a remark."""
    rows = joined(decimals(_microseconds(_begins(ticks)), 6, width=11), decimals(ticks, 4, width=11), b"\n")
    return f"# {title}\n       t[s]     dt[ms]\n".encode("ascii") + rows


def _shown_at(ticks: Whole, _title: str) -> bytes:
    """Only when each picture was shown, gzipped: frame times are the steps between."""
    shown = np.concatenate(([0], np.cumsum(ticks)))
    rows = joined(decimals(np.arange(shown.size), 0), b",", decimals(shown, 7), b"\n")
    return gzip.compress(b"picture,shown_at_s\n" + rows, compresslevel=1, mtime=0)


def _layout(name: str, *columns: tuple[str, Role, str]) -> LayoutEntry:
    used = tuple(Column(header=header, role=role, unit=unit) for header, role, unit in columns)
    return LayoutEntry(name=f"frames, {name}", kind=LogKind.FRAMES, columns=used)


_FRAME, _CLOCK = Role.FRAME_TIME, Role.ELAPSED

DIALECTS: Mapping[str, Dialect] = {
    "comma": Dialect(
        layout=_layout(
            "comma",
            ("frame_ms", _FRAME, "ms"),
            ("time_s", _CLOCK, "s"),
            ("processor_ms", Role.PROCESSOR_SHARE, "ms"),
            ("graphics_ms", Role.GRAPHICS_SHARE, "ms"),
        ),
        ending=".csv",
        write=_comma,
    ),
    "semicolon": Dialect(
        layout=_layout("semicolon", ("frame [ms]", _FRAME, "ms"), ("elapsed [s]", _CLOCK, "s")),
        ending=".csv",
        write=_semicolon,
    ),
    "tab": Dialect(
        layout=_layout("tab", ("frame time [ms]", _FRAME, "ms"), ("t [s]", _CLOCK, "s")),
        ending=".tsv",
        write=_tab,
    ),
    "pipe": Dialect(
        layout=_layout("pipe", ("frame_us", _FRAME, "us"), ("since_start_us", _CLOCK, "us")),
        ending=".txt",
        write=_pipe,
    ),
    "json lines": Dialect(
        layout=_layout("json lines", ("took_ms", _FRAME, "ms"), ("at_s", _CLOCK, "s")),
        ending=".jsonl",
        write=_json_lines,
    ),
    "spaces": Dialect(
        layout=_layout("spaces", ("dt[ms]", _FRAME, "ms"), ("t[s]", _CLOCK, "s")),
        ending=".log",
        write=_spaces,
    ),
    "shown at": Dialect(
        layout=_layout("shown at", ("shown_at_s", _CLOCK, "s")), ending=".csv.gz", write=_shown_at
    ),
}
