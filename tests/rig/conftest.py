"""A planned study of two machines with one scripted test, served; rigs that take part in it."""

from __future__ import annotations

import queue
import sys
from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from tests.copies import copy_of
from tests.web.conftest import serving
from tests.web.looking import Served

from evenhand.desk.bench.admitting import admit
from evenhand.desk.bench.plan_needs import Terms
from evenhand.desk.bench.planning import make_plan
from evenhand.desk.opening import Desk, open_desk
from evenhand.records.builds import Build, Setup
from evenhand.records.devices import Scope
from evenhand.records.studies import Study
from evenhand.records.tests import Direction, Measures, Script, Test
from evenhand.rig import day, main, sending, session
from evenhand.rig.asking import Address
from evenhand.rig.readings.machine import Machine
from evenhand.rig.readings.sensor import Found, Sensor
from evenhand.rig.session import Rig
from evenhand.rig.state import State
from evenhand.rig.uploading import Arrived, drain
from evenhand.store import shelves

NOW = datetime.now(UTC)
COMMAND = f'"{sys.executable}" -c "import time; time.sleep(1.2); print(\'rate\', 41.5)"'
BATCH = Test(
    key="batch", name="Photo batch", measures=Measures.SCORE, metric="score", unit="jobs/h",
    direction=Direction.HIGHER, minutes=0.1, script=Script(command=COMMAND, score=r"rate (?P<score>[\d.]+)"),
)  # fmt: skip


@pytest.fixture(scope="session")
def lab_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A workbench with a study of two machines and one scripted test, planned, and no run yet."""
    place = tmp_path_factory.mktemp("lab") / "lab.evenhand"
    with open_desk(place) as wb:
        for slot, (key, name) in enumerate((("left", "Left"), ("right", "Right")), start=1):
            shelves.save(wb, Build(key=key, name=name, slot=slot), now=NOW)
            shelves.save(wb, Setup(key=f"{key}-stock", name=f"{name}, stock", build=key), now=NOW)
        shelves.save(wb, BATCH, now=NOW)
        study = Study(key="lab", title="Two rigs", setups=("left-stock", "right-stock"), tests=("batch",))
        shelves.save(wb, study, now=NOW)
        make_plan(wb, "lab", Terms(looks=(3, 5, 8)), seed=1, now=NOW)
    return place


@pytest.fixture
def lab(lab_file: Path, tmp_path: Path) -> Iterator[Desk]:
    yield from copy_of(lab_file, tmp_path / "lab.evenhand")


@pytest.fixture
def served(lab: Desk) -> Iterator[Served]:
    with serving(lab) as there:
        yield there


def machine(boot: str = "boot-1") -> Machine:
    """A machine with one sensor."""
    clock = Sensor(role="clock", about="processor", source="here", read=lambda: 4700.0)
    return Machine(found=Found(sensors=(clock,)), stamps={"os": "Tidewater 4"}, boot=boot)


def joined(served: Served, state: Path, *, boot: str = "boot-1") -> Rig:
    """A rig that any build may be, joined."""
    token = admit(served.wb, name="left bench", scope=Scope.RIG, now=NOW).token
    address = Address(url=served.url, token=token)
    return session.hello(address, State(folder=state), machine(boot))


def send_home(rig: Rig) -> list[Arrived]:
    """Everything in the spool, sent; what the workbench said of each parcel."""
    told: list[Arrived] = []
    assert drain(rig.address, rig.state.spool, told.append) == 0
    return told


Start = Callable[..., int]


@pytest.fixture
def keyboard(monkeypatch: pytest.MonkeyPatch) -> queue.Queue[str]:
    """What is put here is typed."""
    lines: queue.Queue[str] = queue.Queue()
    monkeypatch.setattr("evenhand.rig.operator.Keys.line", lambda *_: lines.get(timeout=30))
    monkeypatch.setattr(day, "AGAIN_S", 0.1)
    monkeypatch.setattr(day, "SOON_S", 0.2)
    monkeypatch.setattr(sending, "AGAIN_S", 0.1)
    return lines


@pytest.fixture
def start(
    served: Served, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, keyboard: queue.Queue[str]
) -> Start:
    """Starts the program against a served workbench; its exit code."""
    token = admit(served.wb, name="left bench", scope=Scope.RIG, now=NOW).token
    found = {"machine": machine()}
    monkeypatch.setattr(main, "look", lambda: found["machine"])

    def started(*more: str, of: Machine | None = None, runs: int | None = 1) -> int:
        found["machine"] = of or found["machine"]
        limit = [] if runs is None else ["--runs", str(runs)]
        return main.main([served.url, "--token", token, "--state", str(tmp_path / "state"), *limit, *more])

    return started
