"""The corridor against a straightforward peer, in one run: ``python -m bench.corridor``.

Prints stage times, ratios, peak memory and file size as markdown. Both sides run in processes of
their own over the same 210 logs, in turn, a few rounds. Of each number the least is told: what else the
machine does can only add to it. Nothing here gates a test.
"""

from __future__ import annotations

import argparse
import json
import os
import platform
import subprocess
import sys
import tempfile
import threading
from pathlib import Path
from typing import Any

from bench import logs
from bench.ours import STAGES

HERE = Path(__file__).resolve().parent.parent


def main() -> None:
    """Run the rounds and print the tables."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--folder", type=Path, default=HERE / "bench" / "out" / "study")
    asked.add_argument("--rounds", type=int, default=3)
    asked.add_argument("--without-triage", action="store_true", help="leave triage out")
    asked.add_argument(
        "--bootstrap", type=int, default=0, help="also run the peer's block bootstrap, B replicates"
    )
    given = asked.parse_args()
    raw = logs.main(given.folder)
    with tempfile.TemporaryDirectory() as scratch:
        workbench = Path(scratch) / "bench.evenhand"
        what = "without triage" if given.without_triage else "whole"
        rounds = [one_round(given.folder, workbench, what) for _ in range(given.rounds)]
        peaks = peaks_mib(given.folder, workbench, what)
    print(machine(raw))
    print_stages(rounds)
    print_ratios(rounds, raw)
    print_peaks(peaks)
    if given.bootstrap:
        print_bootstrap(given.folder, rounds, given.bootstrap)


def one_round(folder: Path, workbench: Path, what: str) -> dict[str, Any]:
    """Each program once, in turn."""
    return {
        "parse": python("bench.ours", folder, workbench, "parse"),
        "stages": python("bench.ours", folder, workbench, "stages"),
        "ours": python("bench.ours", folder, workbench, what),
        "peer": python("bench.peer", folder),
    }


def peaks_mib(folder: Path, workbench: Path, what: str) -> dict[str, float]:
    """The most memory that each side holds, in MiB: of a further run, since looking takes time."""
    return {
        "ours": python("bench.ours", folder, workbench, what, look=True)["peak_mib"],
        "peer": python("bench.peer", folder, look=True)["peak_mib"],
    }


def python(module: str, *arguments: object, look: bool = False) -> dict[str, float]:
    """Run a module in a process of its own; its JSON, with its peak memory where that is looked at."""
    environment = {k: v for k, v in os.environ.items() if not k.startswith("OPENBLAS_")}
    child = subprocess.Popen(
        [sys.executable, "-m", module, *map(str, arguments)],
        cwd=HERE,
        stdout=subprocess.PIPE,
        text=True,
        env=environment,
    )
    peak = PeakMemory(child.pid) if look else None
    out, _ = child.communicate()
    if child.returncode:
        raise SystemExit(f"{module} failed")
    return {**json.loads(out), "peak_mib": peak.stop() if peak else 0.0}


class PeakMemory:
    """Asks the system, while a process runs, how much memory it and the processes that it started hold.

    What these share with it, the code of libraries, is counted once.
    """

    def __init__(self, pid: int) -> None:
        self._pid = pid
        self._peak = 0.0
        self._done = threading.Event()
        self._thread = threading.Thread(target=self._look, daemon=True)
        self._thread.start()

    def _look(self) -> None:
        while not self._done.wait(0.02):
            try:
                own, _ = resident_mib(self._pid)
                others = sum(all_of - shared for all_of, shared in map(resident_mib, children(self._pid)))
            except OSError:
                continue  # one of them has just ended
            self._peak = max(self._peak, own + others)

    def stop(self) -> float:
        """The peak in MiB; 0 where the system does not tell."""
        self._done.set()
        self._thread.join()
        return self._peak


def resident_mib(pid: int) -> tuple[float, float]:
    """Memory of a process in MiB: all of it, and what it may share with others."""
    pages = Path(f"/proc/{pid}/statm").read_text().split()
    page_mib = os.sysconf("SC_PAGESIZE") / 2**20
    return int(pages[1]) * page_mib, int(pages[2]) * page_mib


def children(pid: int) -> list[int]:
    """The processes that a process has started and not seen end."""
    threads = Path(f"/proc/{pid}/task").iterdir()
    return [int(child) for each in threads for child in (each / "children").read_text().split()]


def machine(raw: int) -> str:
    """Where and on what this was measured."""
    return (
        f"{os.cpu_count()} cores, Python {platform.python_version()}, {platform.system()}; "
        f"210 logs, {raw / 1e6:.0f} MB, {logs.FRAMES * 210 / 1e6:.2f} M rows, {len(logs.HEADER)} columns\n"
    )


def least(rounds: list[dict[str, Any]], side: str, *keys: str) -> float:
    """The least over the rounds of what these stages take together."""
    return float(min(sum(one[side][key] for key in keys) for one in rounds))


def print_stages(rounds: list[dict[str, Any]]) -> None:
    """Seconds for each stage of both sides."""
    print("| stage | ours, s | peer, s |\n|---|---|---|")
    for key in STAGES:
        print(f"| {key}, one thread | {least(rounds, 'stages', key):.2f} | |")
    stored = least(rounds, "ours", "raw to stored")
    print(f"| raw to stored, with numbers and within-run intervals | {stored:.2f} | |")
    for key in ("triage", "triage, core seconds"):
        print(f"| {key} | {least(rounds, 'ours', key):.2f} | |")
    print(f"| read | | {least(rounds, 'peer', 'read'):.2f} |")
    print(f"| numbers | | {least(rounds, 'peer', 'metrics'):.2f} |")
    for key in ("findings", "core seconds"):
        ours, peer = (least(rounds, side, key) for side in ("ours", "peer"))
        print(f"| {key}{TOLD.get(key, '')} | {ours:.2f} | {peer:.2f} |")
    floor = least(rounds, "stages", *FLOOR) / (os.cpu_count() or 1)
    print(f"| file, hash, table library and pack original, spread over all cores | {floor:.2f} | |\n")


TOLD = {"core seconds": ", all but triage"}
FLOOR = ("file", "hash", "parse: the table library's part", "pack original")
PEER = ("read", "metrics", "findings")
CORRIDOR = ("raw to stored", "findings")


def print_ratios(rounds: list[dict[str, Any]], raw: int) -> None:
    """What the goals ask for, from the least of each side."""
    corridor, triage = least(rounds, "ours", *CORRIDOR), least(rounds, "ours", "triage")
    peer, parse = least(rounds, "peer", *PEER), least(rounds, "parse", "parse")
    cores = [least(rounds, side, "core seconds") for side in ("peer", "ours")]
    pairs = {
        "peer without within-run intervals ÷ ours without triage": peer / corridor,
        "the same in core seconds": cores[0] / cores[1],
        "peer without within-run intervals ÷ ours with triage": peer / (corridor + triage),
        "ours without triage ÷ our raw parse on one thread": corridor / parse,
        "ours with triage ÷ our raw parse on one thread": (corridor + triage) / parse,
        "triage ÷ our raw parse on one thread": triage / parse,
    }
    print("| ratio | |\n|---|---|")
    for name, value in pairs.items():
        print(f"| {name} | {value:.2f} |")
    size = least(rounds, "ours", "workbench_bytes")
    print(f"| workbench ÷ raw bytes | {size / raw:.1%} |")


def print_peaks(peaks: dict[str, float]) -> None:
    """The last rows of the ratios: memory, of all processes of a side."""
    for side, mib in peaks.items():
        print(f"| peak memory, {side}, all processes | {mib:.0f} MiB |")
    print()


def print_bootstrap(folder: Path, rounds: list[dict[str, Any]], replicates: int) -> None:
    """The peer with a block bootstrap from a resampling library, over all logs."""
    peer = python("bench.peer", folder, replicates)
    whole = sum(peer[key] for key in (*PEER, "within"))
    ours = least(rounds, "ours", *CORRIDOR)
    print(f"peer with a block bootstrap, B = {replicates:,}: {whole:.0f} s; {whole / ours:.0f} times ours")


if __name__ == "__main__":
    main()
