"""A small invented study as a folder: two setups, two tests of frames, one of scores, three runs of each."""

from __future__ import annotations

import hashlib
import sqlite3
from collections.abc import Mapping
from copy import deepcopy
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import tomli_w

NOW = datetime(2031, 5, 4, 9, 30, tzinfo=UTC)
LATER = NOW + timedelta(days=1)

FPS = {"causeway": {"wren": 100.0, "plover": 125.0}, "tramlines": {"wren": 90.0, "plover": 90.5}}
MINUTES = {"wren": 12.0, "plover": 10.0}
FRAMES = 800
FRAME_COLUMNS = {"frame_time": {"column": "frame [ms]", "unit": "ms"}, "elapsed_time": {"column": "t [s]"}}


@dataclass
class Folder:
    """A study folder before it is written: the tables of its study.toml, and its files."""

    document: dict[str, Any]
    files: dict[str, bytes] = field(default_factory=dict)

    @property
    def runs(self) -> list[dict[str, Any]]:
        runs: list[dict[str, Any]] = self.document["runs"]
        return runs

    def run(self, label: str) -> dict[str, Any]:
        return next(run for run in self.runs if run["label"] == label)

    @property
    def digest(self) -> str:
        """The same for folders that would be written the same."""
        whole = hashlib.sha256(tomli_w.dumps(self.document).encode())
        for name, content in sorted(self.files.items()):
            whole.update(f"{name} {hashlib.sha256(content).hexdigest()}\n".encode())
        return whole.hexdigest()

    def without(self, *labels: str) -> Folder:
        """The same folder with fewer runs."""
        left = deepcopy(self)
        left.document["runs"] = [run for run in left.runs if run["label"] not in labels]
        return left

    def write(self, folder: Path) -> Path:
        folder.mkdir(parents=True, exist_ok=True)
        for name, content in self.files.items():
            (folder / name).parent.mkdir(parents=True, exist_ok=True)
            (folder / name).write_bytes(content)
        (folder / "study.toml").write_text(tomli_w.dumps(self.document), encoding="utf-8")
        return folder


def frame_log(times_ms: np.ndarray, header: str = "t [s],frame [ms]") -> bytes:
    """A log with a clock and a frame time in each row."""
    ends_s = np.cumsum(times_ms) / 1000
    rows = (f"{end:.6f},{time:.4f}" for end, time in zip(ends_s, times_ms, strict=True))
    return "\n".join([header, *rows, ""]).encode()


def frames(fps: float, *, seed: int, n: int = FRAMES) -> np.ndarray:
    """Frame times in ms that scatter by 8 %, about a rate that scatters by 0.5 % from run to run."""
    rng = np.random.default_rng(seed)
    times = rng.gamma(150.0, 1.0, n)
    scattered: np.ndarray = times / times.mean() * 1000 / (fps * (1 + 0.005 * rng.standard_normal()))
    return scattered


def small_folder(key: str = "quay", *, seed: int = 1) -> Folder:
    """Three sound runs of each test on each setup, in turns, with a boot for each round."""
    return deepcopy(_made(key, seed))


@cache
def _made(key: str, seed: int) -> Folder:
    """The same, worked out once for whoever changes a copy of it."""
    files: dict[str, bytes] = {}
    runs: list[dict[str, Any]] = []
    for number in (1, 2, 3):
        for at, setup in enumerate(("wren", "plover") if number % 2 else ("plover", "wren")):
            about = {"setup": setup, "boot": f"{setup}-{number}", "ambient_c": 23.0 + 0.1 * number}
            for place, test in enumerate(FPS):
                name = f"logs/{setup}-{test}-{number}.csv"
                of_run = [seed, number, at, place, FRAMES]
                files[name] = frame_log(frames(FPS[test][setup], seed=of_run))  # type: ignore[arg-type]
                runs.append({"test": test, "label": f"{setup} {test} {number}", "log": name, **about})
            score = MINUTES[setup] * (1 + 0.004 * (number - 2) + 0.0001 * seed)
            runs.append({"test": "render", "label": f"{setup} render {number}", "score": score, **about})
    for order, run in enumerate(runs, start=1):
        run["order"] = order
    return Folder(document=document(key, runs), files=files)


def document(key: str, runs: list[dict[str, Any]]) -> dict[str, Any]:
    """The tables around the runs."""
    game = {"measures": "frames", "metric": "average_fps", "group": "games", "also": ["low_1pct"]}
    return {
        "study": {"key": key, "title": f"The study {key}", "ambient_c": [22.0, 26.0]},
        "parts": [{"key": "k6", "kind": "processor", "name": "Brellow K6"}],
        "builds": [
            {"key": "wren", "name": "Wren", "slot": 1, "parts": ["k6"]},
            {"key": "plover", "name": "Plover", "slot": 2},
        ],
        "setups": [
            {"key": "wren", "build": "wren", "stamps": {"os": "Tern 9"}},
            {"key": "plover", "build": "plover"},
        ],
        "tests": [
            {"key": "causeway", "name": "Salt Causeway", **game},
            {"key": "tramlines", "name": "Nine Tramlines", **game},
            {"key": "render", "name": "Night render", "measures": "score", "unit": "min",
             "direction": "lower", "minutes": 12.0},
        ],
        "layouts": [{"name": "bench log", "kind": "frames", "columns": deepcopy(FRAME_COLUMNS)}],
        "runs": runs,
    }  # fmt: skip


def weighed(folder: Folder) -> Folder:
    """The same with somebody to judge for, what the builds cost, and how one of them sounds."""
    folder.document["study"] |= {
        "currency": {"symbol": "dl", "decimals": 0},
        "audiences": [{"key": "play", "name": "Mostly play", "groups": {"games": 4}, "tests": {"render": 1}}],
    }
    folder.document["prices"] = [
        {"build": build, "price": price, "on": NOW.date()}
        for build, price in (("wren", 742), ("plover", 998))
    ]
    folder.document["sound"] = [{"setup": "wren", "level_db": 38.0, "background_db": 27.0}] * 2
    return folder


def digest(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()


def everything(path: Path) -> Mapping[str, list[tuple[Any, ...]]]:
    """All rows of all tables of a workbench file, in order of arrival where they have one."""
    conn = sqlite3.connect(path)
    try:
        names = [r[0] for r in conn.execute("SELECT name FROM sqlite_schema WHERE type = 'table'")]
        return {name: sorted(conn.execute(f"SELECT * FROM {name}"), key=repr) for name in names}
    finally:
        conn.close()


def changed_tables(before: Mapping[str, Any], after: Mapping[str, Any]) -> set[str]:
    """The tables that differ between two such dumps."""
    return {name for name in after if before.get(name) != after[name]}


def day_log(*, hot_from_s: float, hours: float = 3.0) -> bytes:
    """Two readings a minute over some hours: 50 °C at first, 80 °C from a moment on."""
    seconds = np.arange(0.0, hours * 3600, 2.0).tolist()
    times = ((NOW + timedelta(seconds=s)).strftime("%Y-%m-%d %H:%M:%S") for s in seconds)
    rows = (f"{t},{80 if s >= hot_from_s else 50},4500" for s, t in zip(seconds, times, strict=True))
    return "\n".join(["time,board [°C],core [MHz]", *rows, ""]).encode()
