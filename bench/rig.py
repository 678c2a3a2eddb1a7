"""What the rig program costs its machine: its share of one core and its memory, at one reading a second.

The real program as two processes against the real server: one waits for its turn, the other records every
sensor that it finds while its command sleeps. Read from the kernel's own counts (/proc/PID/stat,
/proc/PID/smaps_rollup), so that nothing is asked of the program itself. Linux. Run

    python -m bench.rig --seconds 60
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Mapping
from datetime import UTC, datetime
from pathlib import Path

from validation.killed_days import free_port
from validation.killed_uploads import Server

from evenhand.desk.bench.admitting import admit
from evenhand.desk.bench.plan_needs import Terms
from evenhand.desk.bench.planning import make_plan
from evenhand.desk.logs.importing import import_folder
from evenhand.records.devices import Scope
from evenhand.rig.bundle import NAME, bundle
from evenhand.rig.readings.machine import look
from evenhand.store.workbench import open_workbench

SHARE_PCT, MEMORY_MIB = 0.5, 30.0
SETTLED_S = 5.0  # the start itself is not counted
STUDY = """
[study]
key = "cost"
title = "What it costs"
[[builds]]
key = "awake"
name = "Awake"
slot = 1
[[builds]]
key = "waiting"
name = "Waiting"
slot = 2
[[setups]]
key = "awake"
build = "awake"
[[setups]]
key = "waiting"
build = "waiting"
[[tests]]
key = "sleep"
name = "Sleep"
measures = "score"
unit = "points"
direction = "higher"
minutes = 5.0
script = { command = "sleep 900", timeout_s = 1000.0 }
"""


def prepare(place: Path) -> tuple[Server, dict[str, list[str]]]:
    """A planned study that is served, and how each rig is started: one has a run, the other waits."""
    (place / "study").mkdir()
    (place / "study" / "study.toml").write_text(STUDY)
    (place / NAME).write_bytes(bundle())
    path, now = place / "cost.evenhand", datetime.now(UTC)
    with open_workbench(path) as wb:
        import_folder(wb, place / "study", now=now)
        make_plan(wb, "cost", Terms(looks=(3,)), seed=1, now=now)
        tokens = {
            key: admit(wb, name=key, scope=Scope.RIG, build=key, now=now).token
            for key in ("awake", "waiting")
        }
    port = free_port()
    address = f"http://127.0.0.1:{port}"
    commands = {
        key: [
            sys.executable,
            str(place / NAME),
            address,
            f"--token={token}",
            "--state",
            str(place / key),
            "--yes",
        ]
        for key, token in tokens.items()
    }
    return Server(path, "--port", str(port)), commands


def spent_s(pid: int) -> float:
    """The processor time of a process, its children left out."""
    words = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    return (int(words[11]) + int(words[12])) / os.sysconf("SC_CLK_TCK")


def memory_mib(pid: int) -> tuple[float, float]:
    """All that lies in memory for a process, and what of it is not shared with any other."""
    lines = Path(f"/proc/{pid}/smaps_rollup").read_text().splitlines()[1:]
    kib = {line.split(":")[0]: int(line.split()[1]) for line in lines}
    return kib["Rss"] / 1024, (kib["Private_Clean"] + kib["Private_Dirty"]) / 1024


def measured(rigs: Mapping[str, subprocess.Popen[bytes]], seconds: float) -> Iterator[tuple[str, bool]]:
    """A line for each rig, and whether it stays below what was promised."""
    before = {key: spent_s(rig.pid) for key, rig in rigs.items()}
    begin = time.monotonic()
    time.sleep(seconds)
    took = time.monotonic() - begin
    for key, rig in rigs.items():
        share = 100 * (spent_s(rig.pid) - before[key]) / took
        all_mib, own_mib = memory_mib(rig.pid)
        runs = subprocess.run(["pgrep", "-P", str(rig.pid)], capture_output=True, check=False).stdout
        about = "recording during a run" if runs else "waiting for its turn"
        memory = f"{all_mib:5.1f} MiB in memory, {own_mib:.1f} of them its own"
        line = f"{about:24s}{share:5.2f} % of one core  {memory}"
        yield line, share <= SHARE_PCT and all_mib <= MEMORY_MIB


def main() -> None:
    """One line for each of the two, and whether both stay below what was promised."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seconds", type=float, default=60.0)
    seconds = parser.parse_args().seconds
    print(
        f"{len(look().found.sensors)} sensors, Python {sys.version.split()[0]}, load {os.getloadavg()[0]:.1f}"
    )
    with tempfile.TemporaryDirectory() as name:
        server, commands = prepare(Path(name))
        server.start()
        nothing = subprocess.DEVNULL
        rigs = {
            key: subprocess.Popen(command, stdout=nothing, stdin=nothing) for key, command in commands.items()
        }
        try:
            time.sleep(SETTLED_S)
            found = list(measured(rigs, seconds))
        finally:
            for rig in rigs.values():
                rig.terminate()
                rig.wait(40)
            server.kill()
    for line, _ in found:
        print(line)
    kept = "kept" if all(below for _, below in found) else "NOT KEPT"
    print(f"promised: at most {SHARE_PCT} % and {MEMORY_MIB:.0f} MiB: {kept}")


if __name__ == "__main__":
    main()
