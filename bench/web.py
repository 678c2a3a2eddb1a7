"""The workbench in the browser under load: ``python -m bench.web``.

Eight rigs send 50 logs of 12,000 frames each through the real server in a process of its own, as fast as it
takes them, while a page is asked for again and again. Then every page is asked for on a workbench of 1,000
runs, and `open` is timed from its start to its first page. Nothing here gates a test.
"""

from __future__ import annotations

import argparse
import hashlib
import http.client
import json
import os
import platform
import shutil
import tempfile
import threading
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import count
from pathlib import Path

import numpy as np
from validation.killed_imports import NOW, STUDY
from validation.killed_uploads import Server

from evenhand.desk.bench.admitting import admit
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.records.devices import Scope
from evenhand.records.runs import Decision, Reason, RunState
from evenhand.store import decisions
from evenhand.store.upkeep import check
from evenhand.store.workbench import Workbench, open_workbench

FRAMES = 12_000
PIECE = 2**20
PAGES = (
    "/brief", "/builds", "/bench", "/bench/plan", "/runs", "/compare", "/compare/left-out", "/compare/cards",
    "/causes", "/verdict", "/verdict/two", "/publish",
)  # fmt: skip
PARTS = ("/compare/cards?whole=1", "/verdict/two?whole=1")  # what their pages wait for
DECIDED = count(0, 7)  # which run is decided about next
LEFT_OUT = 40  # runs of the large study that are set aside in the end
ALONE = 10  # logs that one rig sends before the others begin
GOAL_LOG_S, GOAL_PAGE_S, GOAL_OPEN_S = 1.0, 0.1, 1.0


@dataclass(slots=True)
class Seen:
    """Seconds of each log from its first byte to its answer, of each page, and what went wrong."""

    logs: list[float] = field(default_factory=list)
    pages: list[float] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)


def main() -> None:
    """Measure, and print markdown."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--rigs", type=int, default=8)
    asked.add_argument("--logs", type=int, default=50)
    asked.add_argument("--tests", type=int, default=25, help="tests that the logs are of")
    asked.add_argument("--runs", type=int, default=1000)
    asked.add_argument("--setups", type=int, default=2, help="setups of the large study, five at most")
    asked.add_argument("--only-pages", action="store_true", help="leave the rigs and their logs out")
    given = asked.parse_args()
    print(f"{platform.system()}, Python {platform.python_version()}, {os.cpu_count()} cores, {load()}")
    with tempfile.TemporaryDirectory() as name:
        place = Path(name)
        if not given.only_pages:
            print_day(place / "day", given.rigs, given.logs, given.tests)
        print_large(place / "large", given.runs, given.tests, given.setups)


def load() -> str:
    """How busy the machine is with everything, over the last minute."""
    return f"load {os.getloadavg()[0]:.1f}" if hasattr(os, "getloadavg") else "load unknown"


def print_day(place: Path, rigs: int, logs: int, tests: int) -> None:
    """All rigs at once, and a page meanwhile."""
    path = prepare(place, tests)
    with open_workbench(path) as wb:
        token = admit(wb, name="bench", scope=Scope.FULL, now=NOW).token
    server = Server(path)
    server.start()
    seen, ending = Seen(), threading.Event()
    watcher = threading.Thread(target=watch, args=(server, seen, ending))
    senders = [
        threading.Thread(target=rig, args=(server, at, logs, tests, seen, token)) for at in range(rigs)
    ]
    ask(server, "GET", "/studies/quay/bench")
    alone = Seen()
    rig(server, rigs, ALONE, tests, alone, token)
    begun, ours, theirs = time.monotonic(), time.process_time(), core_s(server)
    for thread in (watcher, *senders):
        thread.start()
    for thread in senders:
        thread.join()
    took, ours, theirs = time.monotonic() - begun, time.process_time() - ours, core_s(server) - theirs
    ending.set()
    watcher.join()
    server.kill()
    with open_workbench(path) as wb:
        kept = len(load_study(wb, "quay").runs) - tests - ALONE
    print(f"\n{rigs} rigs × {logs} logs of {FRAMES:,} frames, sent in {took:.0f} s ({load()})\n")
    print("| what | found | goal |\n|---|---|---|")
    print(f"| runs on record of {rigs * logs} sent | {kept} | all |")
    print(f"| check of the file | {'sound' if check(path).sound else 'NOT SOUND'} | sound |")
    print(f"| one log by itself, median of {ALONE}, s | {at(alone.logs, 50):.2f} | |")
    print(f"| log to its answer, median, s | {at(seen.logs, 50):.2f} | |")
    print(f"| log to its answer, p95, s | {at(seen.logs, 95):.2f} | ≤ {GOAL_LOG_S} |")
    print(f"| a log, {rigs} at once: seconds of the server each | {took / (rigs * logs):.3f} | |")
    print(f"| a log: core seconds of the server, its pages in them | {theirs / (rigs * logs):.3f} | |")
    print(f"| a log: core seconds of who makes, sends and asks | {ours / (rigs * logs):.3f} | |")
    print(f"| page meanwhile, median, s | {at(seen.pages, 50):.3f} | |")
    print(
        f"| page meanwhile, p95, s ({len(seen.pages)} asked) | {at(seen.pages, 95):.3f} | ≤ {GOAL_PAGE_S} |"
    )
    for wrong in seen.wrong[:5]:
        print(f"\nWRONG: {wrong}")


def core_s(server: Server) -> float:
    """Seconds of any core that the server, and what it began, have used; NaN where none is told."""
    own = server.process.pid if server.process else 0
    told = [words for stat in Path("/proc").glob("[0-9]*/stat") if (words := stat_words(stat))]
    ticks = [int(words[12]) + int(words[13]) for words in told if own in (int(words[0]), int(words[2]))]
    return sum(ticks) / os.sysconf("SC_CLK_TCK") if ticks else float("nan")


def stat_words(stat: Path) -> list[str]:
    """What the system tells of a process, without its name: its number, state, parent, and so on."""
    try:
        number, _, rest = stat.read_text().partition(" (")
    except OSError:  # it has ended
        return []
    return [number, *rest.rpartition(") ")[2].split()]


def at(values: list[float], percent: float) -> float:
    """A percentile; not a number where nothing was measured."""
    return float(np.percentile(values, percent)) if values else float("nan")


MORE = ("heron", "teal", "dunlin")


def prepare(place: Path, tests: int, runs: int = 1, setups: int = 2) -> Path:
    """A study of so many builds and tests, and so many runs of each test, in its own workbench."""
    folder = place / "study"
    folder.mkdir(parents=True)
    lines, every = [STUDY.partition("[[tests]]")[0]], ("wren", "plover", *MORE)[:setups]
    for slot, key in enumerate(every[2:], start=3):
        lines.append(f'[[builds]]\nkey = "{key}"\nname = "{key.capitalize()}"\nslot = {slot}\n')
        lines.append(f'[[setups]]\nkey = "{key}"\nbuild = "{key}"\n')
    for test in range(tests):
        lines.append(f'[[tests]]\nkey = "t{test}"\nname = "Tide {test}"\nmeasures = "frames"\n')
        lines.append('metric = "average_fps"\n')
        for number in range(runs):
            name, setup = f"t{test}-{number}.csv", every[number % len(every)]
            frames = FRAMES if runs == 1 else 1200
            (folder / name).write_bytes(log_bytes(900_000 + 1000 * test + number, frames))
            boot = number // len(every)
            lines.append(f'[[runs]]\ntest = "t{test}"\nsetup = "{setup}"\nlog = "{name}"\nboot = "{boot}"\n')
    (folder / "study.toml").write_text("".join(lines))
    with open_workbench(place / "bench.evenhand") as wb:
        import_folder(wb, folder, now=NOW)
    shutil.rmtree(folder)
    return place / "bench.evenhand"


def log_bytes(seed: int, frames: int = FRAMES) -> bytes:
    """A log of its own for each seed."""
    times = np.random.default_rng(seed).gamma(150.0, 0.066, frames)
    return "\n".join(["frame [ms]", *(f"{ms:.4f}" for ms in times), ""]).encode()


def ask(server: Server, method: str, path: str, body: bytes = b"", **headers: str) -> tuple[int, bytes]:
    """One request on a connection of its own."""
    conn = http.client.HTTPConnection(server.address, timeout=120)
    try:
        conn.request(method, path, body, {"Host": server.address, **headers})
        answer = conn.getresponse()
        return answer.status, answer.read()
    finally:
        conn.close()


def rig(server: Server, number: int, logs: int, tests: int, seen: Seen, token: str) -> None:
    """One rig: log after log, as the rig program sends them."""
    setup = ("wren", "plover")[number % 2]
    for one in range(logs):
        data = log_bytes(1000 * number + one)
        facts = {
            "kind": "frames",
            "study": "quay",
            "test": f"t{(one + number) % tests}",
            "setup": setup,
            "boot": f"{number}-{one}",
        }
        begun = time.monotonic()
        try:
            told = send(server, data, f"{number}-{one}.csv", facts, token)
        except (OSError, http.client.HTTPException, ValueError, KeyError) as error:
            seen.wrong.append(f"{number}-{one}: {error!r}")
            continue
        seen.logs.append(time.monotonic() - begun)
        if told.get("run") is None:
            seen.wrong.append(f"{number}-{one}: {told}")


def send(server: Server, data: bytes, name: str, facts: dict[str, str], token: str) -> dict[str, object]:
    """The whole way of one log; what the workbench made of it."""
    path = f"/api/uploads/{hashlib.sha256(data).hexdigest()}"
    key = {"Authorization": f"Bearer {token}"}
    have = json.loads(ask(server, "GET", path, b"", **key)[1])["have"]
    while have < len(data):
        piece = {"Upload-Offset": str(have), **key}
        have = json.loads(ask(server, "PATCH", path, data[have : have + PIECE], **piece)[1])["have"]
    body = json.dumps({"name": name, "facts": facts}).encode()
    found: dict[str, object] = json.loads(
        ask(server, "POST", f"{path}/land", body, **{"Content-Type": "application/json"}, **key)[1]
    )
    return found


def watch(server: Server, seen: Seen, ending: threading.Event) -> None:
    """Asks for the bench page twice a second, as somebody's open page does."""
    while not ending.wait(0.5):
        begun = time.monotonic()
        status, _ = ask(server, "GET", "/studies/quay/bench")
        seen.pages.append(time.monotonic() - begun)
        if status != 200:
            seen.wrong.append(f"the page answered {status}")


def print_large(place: Path, runs: int, tests: int, setups: int) -> None:
    """Every page of a large study, and how long `open` takes with it."""
    path = prepare(place, tests, runs // tests, setups)
    server = Server(path)
    begun = time.monotonic()
    server.start()
    told = time.monotonic() - begun
    ask(server, "GET", "/")
    first = time.monotonic() - begun
    ask(server, "GET", "/devices")
    whole = time.monotonic() - begun
    print(
        f"\n{runs} runs of {setups} setups in one study, {path.stat().st_size / 2**20:.0f} MiB ({load()})\n"
    )
    print("| what | first, s | then, median of 7, s | after a change, median of 5, s | goal |")
    print("|---|---|---|---|---|")
    print(f"| `open`, process start to its address | {told:.2f} | | | |")
    print(f"| `open`, process start to the first page | {first:.2f} | | | ≤ {GOAL_OPEN_S} |")
    print(f"| `open`, process start to any other page | {whole:.2f} | | | |")
    for address in ("/", "/inbox", "/devices", *(f"/studies/quay{page}" for page in PAGES)):
        print(f"| {address} | {told_s(server, path, address)} | ≤ {GOAL_PAGE_S} |")
    for address in PARTS:
        seen_s = told_s(server, path, f"/studies/quay{address}")
        print(f"| {address}, a part that its page waits for | {seen_s} | |")
    with open_workbench(path) as wb:
        for each in load_study(wb, "quay").runs[:: max(1, runs // LEFT_OUT)]:
            set_aside(wb, each.run.id)
    taken = list(times(server, "/studies/quay/compare/left-out"))
    print(f"| the view of {LEFT_OUT} runs left out | {taken[0]:.3f} | {at(taken[1:], 50):.3f} | | |")
    server.kill()


def told_s(server: Server, path: Path, address: str) -> str:
    """Seconds of the first time, of seven more, and of five after a change each, every one of another run."""
    taken = list(times(server, address))
    anew = [after_a_change(server, path, address, of=next(DECIDED)) for _ in range(5)]
    return f"{taken[0]:.3f} | {at(taken[1:], 50):.3f} | {at(anew, 50):.3f}"


def after_a_change(server: Server, path: Path, address: str, *, of: int) -> float:
    """Seconds of asking once another run is left out than ever before: what is said is worked out anew."""
    with open_workbench(path) as wb:
        runs = load_study(wb, "quay").runs
        for each in runs:
            if each.state is RunState.SET_ASIDE:
                keep(wb, each.run.id)
        set_aside(wb, runs[of % len(runs)].run.id)
    begun = time.monotonic()
    status, _ = ask(server, "GET", address)
    return time.monotonic() - begun if status == 200 else float("nan")


def set_aside(wb: Workbench, run: str) -> None:
    """Decide that a run does not count."""
    decisions.add_decision(wb, Decision(run=run, at=NOW, state=RunState.SET_ASIDE, reason=Reason.OTHER))


def keep(wb: Workbench, run: str) -> None:
    """Decide that it counts after all."""
    decisions.add_decision(wb, Decision(run=run, at=NOW, state=RunState.KEPT))


def times(server: Server, address: str) -> Iterator[float]:
    """Seconds of the first and seven further times of asking."""
    for _ in range(8):
        begun = time.monotonic()
        status, _ = ask(server, "GET", address)
        yield time.monotonic() - begun if status == 200 else float("nan")


if __name__ == "__main__":
    main()
