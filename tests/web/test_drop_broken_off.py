"""Drops that break off: what was acknowledged is there exactly once, and nothing is half there."""

from __future__ import annotations

import os
import random
import re
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import httpx2 as httpx
import pytest
from tests.desk.landing_cases import STUDY, log
from tests.desk.small_folder import NOW, small_folder
from tests.web.conftest import serving

from evenhand.desk.bench.inbox import inbox
from evenhand.desk.logs.importing import import_folder
from evenhand.desk.on_record import load_study
from evenhand.desk.opening import Desk, open_desk
from evenhand.store import arrivals

SCRIPT = {"Accept": "application/json"}
KILLS = 2


@pytest.fixture
def quay(tmp_path: Path) -> Iterator[Desk]:
    with open_desk(tmp_path / "bench.evenhand") as opened:
        import_folder(opened, small_folder().write(tmp_path / STUDY), now=NOW)
        yield opened


def test_a_sender_that_goes_away_half_way_leaves_nothing_and_holds_up_nobody(quay: Desk) -> None:
    with serving(quay) as there:
        host, port = there.url.removeprefix("http://").split(":")
        start = (
            f"POST /drop HTTP/1.1\r\nHost: {host}:{port}\r\nContent-Length: 200000\r\n"
            "Content-Type: multipart/form-data; boundary=x\r\n\r\n"
            '--x\r\nContent-Disposition: form-data; name="files"; filename="wren causeway.csv"\r\n\r\n'
        )
        for _ in range(3):
            with socket.create_connection((host, int(port))) as sender:
                sender.sendall(start.encode() + log(9)[:5000])
        sent = {"files": ("capture.csv", log(9))}
        assert httpx.post(f"{there.url}/drop", files=sent, headers=SCRIPT).json()[0]["sort"] == "waits"
    assert [each.arrival.name for each in inbox(quay)] == ["capture.csv"]
    assert len(load_study(quay, STUDY).runs) == 18


class Opened:
    """The program itself, answering in a process of its own that can be killed."""

    def __init__(self, place: Path) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-m", "evenhand", "--workbench", str(place), "open", "--no-browser"],
            stdout=subprocess.PIPE,
            text=True,
        )
        assert self.process.stdout
        found = re.search(r"http://\S+", self.process.stdout.readline())
        assert found
        self.url = found[0].rstrip("/")

    def kill(self) -> None:
        os.kill(self.process.pid, signal.SIGKILL)
        self.process.wait(10)
        assert self.process.stdout
        self.process.stdout.close()


def test_what_was_acknowledged_before_a_kill_is_there_exactly_once(tmp_path: Path) -> None:
    place = tmp_path / "bench.evenhand"
    with open_desk(place) as wb:
        import_folder(wb, small_folder().write(tmp_path / STUDY), now=NOW)
    chance = random.Random(5)
    acknowledged: set[str] = set()
    for round_ in range(KILLS):
        site = Opened(place)
        until = chance.randrange(1, 5)
        for n in range(until + 1):
            name = f"wren causeway {round_}-{n}.csv"
            sent = {"files": (name, log(1000 + 10 * round_ + n))}
            if n == until:
                with suppress(httpx.TimeoutException):
                    httpx.post(f"{site.url}/drop", files=sent, timeout=chance.uniform(0.001, 0.05))
                break
            told = httpx.post(f"{site.url}/drop", files=sent, headers=SCRIPT, timeout=30).json()[0]
            assert told["sort"] == "filed"
            acknowledged.add(told["address"].rpartition("/")[2])
        site.kill()
    with open_desk(place) as wb:
        runs = [each.run for each in load_study(wb, STUDY).runs]
        ids = [run.id for run in runs]
        assert len(set(ids)) == len(ids)
        assert acknowledged <= set(ids)
        logs = [run.log for run in runs if run.log]
        assert len(set(logs)) == len(logs)
        for waiting in inbox(wb):  # cut off between being kept and being filed: it is not lost
            assert arrivals.arrivals_of(wb, waiting.arrival.digest)
