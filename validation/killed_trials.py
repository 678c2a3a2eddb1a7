"""End the rig program in the middle of a trial, in every way that can be played, and look at the record.

It is the real program as a process of its own, with its real journal and one real worker; only its beats come
a hundred times as often, so that many ends fall into the writing of one. It is killed (SIGKILL), asked to end
(SIGTERM), or stopped (Ctrl+C) at a random moment. A restart of the machine is played by another name of its
start, a power cut by a last line that is cut off anywhere in the middle. The start after that is killed at a
random moment, too; the next one sends home what it finds. What must hold: the workbench gets one trial, with
the outcome that was played, which held at least until the last beat that was acknowledged as on the disk, and
not longer than the process lived. Run

    python -m validation.killed_trials --tries 100

The tests use a few. SIGKILL leaves the system's own buffers standing: no power cut was tried for real.
"""

from __future__ import annotations

import argparse
import json
import signal
import subprocess
import sys
import tempfile
import threading
import time
from collections import Counter
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import numpy as np

LONGEST_S = 0.6  # from the first beat to the end
BEAT_S = 0.01
KINDS = ("killed", "restarted", "power cut", "asked to end", "stopped")
OUTCOMES = {
    "killed": "crash",
    "restarted": "reboot",
    "power cut": "reboot",
    "asked to end": "stopped",
    "stopped": "stopped",
}

# The real program, but for the name of the start, the pace of its beats, and that it says which are kept.
PROGRAM = """
import sys
from evenhand.rig import main
from evenhand.rig.readings.machine import Machine
from evenhand.rig.readings.sensor import Found
from evenhand.rig.trials import journal, running, trying
main.look = lambda: Machine(found=Found(), stamps={}, boot=sys.argv[1])
running.EVERY_S = float(sys.argv[2])
trying.cores = lambda: (None,)
written = journal.Journal.write
def write(self, told):
    written(self, told)
    if "beat" in told:
        print("kept", told["beat"]["held_s"], flush=True)
journal.Journal.write = write
sys.exit(main.main(sys.argv[3:]))
"""


class Bench:
    """A workbench that takes trials, keeps them by key, names one point to try, and hears how one stands.

    `stop` is what it answers to that; `refuse` the status with which it refuses everything.
    """

    def __init__(self, following: dict[str, Any] | None = None) -> None:
        self.trials: dict[str, dict[str, Any]] = {}
        self.sent = 0
        self.following = following or {"why": "nothing is planned"}
        self.refuse = 0
        self.heard: list[dict[str, Any]] = []
        self.stop = ""
        bench = self

        class Handler(BaseHTTPRequestHandler):
            def do_GET(self) -> None:
                self.answer(200, bench.following)

            def do_POST(self) -> None:
                told = json.loads(self.rfile.read(int(self.headers["Content-Length"])))
                if bench.refuse:
                    self.answer(bench.refuse, {"error": {"found": "no such setup", "todo": "name another"}})
                    return
                if self.path.endswith("/here"):
                    bench.heard.append(told)
                    self.answer(200, {"stop": bench.stop})
                    return
                bench.sent += 1
                again = told["key"] in bench.trials
                bench.trials[told["key"]] = told
                self.answer(200, {"id": len(bench.trials), "key": told["key"], "again": again})

            def answer(self, status: int, body: dict[str, Any]) -> None:
                data = json.dumps(body).encode()
                self.send_response(status)
                self.send_header("Content-Length", str(len(data)))
                self.end_headers()
                self.wfile.write(data)

            def log_message(self, *_: object) -> None:
                """Says nothing."""

        self._server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
        self.url = f"http://127.0.0.1:{self._server.server_port}"
        self._thread = threading.Thread(target=self._server.serve_forever, args=(0.02,), daemon=True)

    def __enter__(self) -> Bench:
        self._thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._server.shutdown()
        self._server.server_close()
        self._thread.join()


@dataclass(slots=True)
class Told:
    """What the tries gave so far."""

    tries: Counter[str] = field(default_factory=Counter)
    right: int = 0
    beats: int = 0
    lag_s: list[float] = field(default_factory=list)  # from the last acknowledged beat to the end


def start(state: Path, boot: str, *words: str, beat_s: float = BEAT_S) -> subprocess.Popen[str]:
    """Starts the program."""
    command = [sys.executable, "-c", PROGRAM, boot, str(beat_s), "try", "--state", str(state), *words]
    return subprocess.Popen(
        command, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True
    )


def one_try(
    bench: Bench, place: Path, kind: str, rng: np.random.Generator, told: Told, *, longest_s: float
) -> None:
    """One trial, its end, and the starts after it. Raises AssertionError where the record is not right."""
    point = ["--setup", "wren", "--clock", "5200", "--voltage", "1250", "--hours", "1", "--attended"]
    program = start(place, "first", bench.url, "--token", "t", *point)
    assert program.stdout is not None
    begin = None
    for line in program.stdout:
        if line.startswith("kept"):
            begin = time.monotonic()
            break
        assert "Traceback" not in line
    assert begin is not None
    workers = children(program.pid)
    time.sleep(float(rng.uniform(0, longest_s)))
    program.send_signal({"asked to end": signal.SIGTERM, "stopped": signal.SIGINT}.get(kind, signal.SIGKILL))
    rest = program.communicate()[0]
    lived_s = time.monotonic() - begin + 0.5  # it may have begun a little before its first beat was heard
    assert "Traceback" not in rest, rest
    # What was cut off in the middle of a line was not acknowledged.
    kept = [float(line.split()[1]) for line in rest.split("\n")[:-1] if line.startswith("kept")]
    told.beats += len(kept) + 1
    see_gone(workers)
    if kind == "power cut":
        cut_off(place, rng)
    come_back(bench, place, "first" if kind == "killed" else "second", rng)
    look(bench, place, kind, held_s=max(kept, default=0.0), lived_s=lived_s)
    told.tries[kind] += 1
    told.right += 1


def children(pid: int) -> list[Path]:
    """Where the kernel shows the processes that one has started."""
    told = Path(f"/proc/{pid}/task/{pid}/children")
    return [Path(f"/proc/{each}") for each in told.read_text().split()] if told.exists() else []


def see_gone(workers: list[Path]) -> None:
    """Waits until no worker is left. Raises AssertionError where one outlives whoever started it."""
    until = time.monotonic() + 10.0
    while any(each.exists() for each in workers) and time.monotonic() < until:
        time.sleep(0.02)
    assert not any(each.exists() for each in workers)


def cut_off(place: Path, rng: np.random.Generator) -> None:
    """Adds a line that a power cut has left half on the disk: some of its bytes, and perhaps zeros behind."""
    (journal,) = (place / "trials").glob("*.trial")
    line = b'\n{"beat": {"trial": "x", "held_s": 3599.0, "mono": 1.0, "errors": 7}}\n'
    half = line[: int(rng.integers(1, len(line) - 2))] + bytes(int(rng.integers(0, 64)))
    with journal.open("ab") as file:
        file.write(half)


def come_back(bench: Bench, place: Path, boot: str, rng: np.random.Generator) -> None:
    """Starts the program again: perhaps killed while it tidies up and sends, then left to end."""
    for _ in range(int(rng.integers(0, 2))):
        cut = start(place, boot, bench.url, "--token", "t", "--setup", "wren")
        time.sleep(float(rng.uniform(0.1, 0.5)))
        cut.kill()
        assert "Traceback" not in cut.communicate()[0]
    last = start(place, boot, bench.url, "--token", "t", "--setup", "wren")
    words = last.communicate()[0]
    assert "Traceback" not in words, words
    assert last.returncode == 2, words  # it has nothing to try, and says so


def look(bench: Bench, place: Path, kind: str, *, held_s: float, lived_s: float) -> None:
    """Looks at what came home. Raises AssertionError where that is not the trial that was played."""
    (record,) = bench.trials.values()
    assert record["outcome"] == OUTCOMES[kind], (kind, record)
    assert held_s - 0.01 <= record["hours"] * 3600 <= lived_s, (held_s, lived_s, record)
    found = record["found_after_h"]
    assert (found is None) == (record["outcome"] == "stopped"), record
    assert found is None or found > record["hours"], record
    assert not record["errors"], record
    assert not list((place / "trials").glob("*.trial"))
    assert not list((place / "spool").glob("[0-9]*"))


def tries(many: int, *, seed: int, told: Told, longest_s: float = LONGEST_S) -> None:
    """So many tries, of each kind in turn."""
    rng = np.random.default_rng(seed)
    for number in range(many):
        with tempfile.TemporaryDirectory() as name, Bench() as bench:
            one_try(bench, Path(name), KINDS[number % len(KINDS)], rng, told, longest_s=longest_s)


def main() -> None:
    """Prints how many left a right record."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--tries", type=int, default=100)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    told = Told()
    tries(given.tries, seed=given.seed, told=told)
    kinds = ", ".join(f"{count} {kind}" for kind, count in told.tries.items())
    print(
        f"{told.right} of {given.tries} left a right record ({kinds}); {told.beats} beats were acknowledged"
    )


if __name__ == "__main__":
    main()
