"""A bench day on this rig: say hello, show the next run, make it, and put what came of it on its way."""

from __future__ import annotations

import tempfile
import threading
import time
from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from evenhand import __version__
from evenhand.rig.asking import Address, ask, refusal
from evenhand.rig.clock import Clock
from evenhand.rig.cost import Cost
from evenhand.rig.readings.machine import Machine
from evenhand.rig.recording import Recorder, layout_of
from evenhand.rig.scripted import Outcome, run, script_from
from evenhand.rig.spool import Parcel
from evenhand.rig.state import ROOM, State

RUN_FACTS = ("study", "plan", "slot", "test", "setup", "boot", "order")


@dataclass(frozen=True, slots=True, kw_only=True)
class Rig:
    """This rig once it has said hello: whom it talks to, what it is, and the workbench's time."""

    address: Address
    state: State
    machine: Machine
    name: str
    clock: Clock

    def now(self) -> datetime:
        """The workbench's time."""
        return self.clock.now()


def hello(address: Address, state: State, machine: Machine) -> Rig:
    """Tells the workbench what this machine is, and learns its name and the workbench's time."""
    state.join(address)
    clock = Clock()
    told = asked(address, "POST", "/api/rig/hello", clock=clock, body=introduction(state, machine))
    return Rig(address=address, state=state, machine=machine, name=told.get("name", "rig"), clock=clock)


def introduction(state: State, machine: Machine) -> dict[str, Any]:
    """What a rig says of itself: everything with its source, or that it could not be read."""
    return {
        "version": __version__,
        "stamps": machine.stamps,
        "boot": machine.boot,
        "boots": state.boots(machine.boot),
        "sensors": [{"header": s.header, "source": s.source} for s in machine.found.sensors],
        "unreadable": [{"what": u.what, "why": u.why} for u in machine.found.unreadable],
        "parts": [asdict(part) for part in machine.inventory.parts],
        "untold": [{"what": u.what, "why": u.why} for u in machine.inventory.untold],
    }


def here(rig: Rig, cost: Cost, *, slot: tuple[int, int] | None = None, ended: bool = False) -> None:
    """Lets the workbench know that this rig is there, what that costs it, and which run it makes."""
    plan, number = slot or (None, None)
    costs = {"share_pct": cost.share_pct, "memory_mib": cost.memory_mib}
    said = {**costs, "plan": plan, "slot": number, "ended": ended}
    asked(rig.address, "POST", "/api/rig/here", clock=rig.clock, body=said)


def next_run(rig: Rig) -> dict[str, Any]:
    """What the workbench says: `run` that the plan wants from this rig next, or None and `words` why none."""
    told = asked(rig.address, "GET", "/api/rig/next", clock=rig.clock)
    return {"run": told.get("run"), "words": told.get("words") or "Nothing is planned for this rig now."}


def asked(
    address: Address, method: str, path: str, *, clock: Clock, body: Mapping[str, Any] | None = None
) -> dict[str, Any]:
    """What the workbench answers; its time is taken over. Raises Unreachable, ShutOut or Refused."""
    begin = time.monotonic()
    answer = ask(address, method, path, body=body)
    if answer.status >= 400:
        raise refusal(answer, address.url)
    told = answer.body if isinstance(answer.body, dict) else {}
    if "time" in told:
        clock.set(datetime.fromisoformat(told["time"]), asked=begin, answered=time.monotonic())
    return told


def needs_restart(rig: Rig, wanted: Mapping[str, Any]) -> bool:
    """Whether the plan wants a fresh start of this machine before this run."""
    planned = f"{wanted.get('plan')} {wanted.get('setup')} {wanted.get('boot')}"
    known = rig.state.planned_boots()
    if rig.machine.boot is None or known.get(planned) == rig.machine.boot:
        return False
    if rig.machine.boot in known.values():
        return True
    rig.state.note_planned_boot(planned, rig.machine.boot)
    return False


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """A run that was made: when, how long, and what its sensors said, where there are any."""

    started_at: datetime
    duration_s: float
    sensors: bytes | None


def recorded(rig: Rig, doing: Callable[[], object]) -> Made:
    """Does something while the sensors are recorded."""
    sensors = rig.machine.found.sensors
    started_at, begin = rig.now(), time.monotonic()
    with tempfile.TemporaryDirectory(dir=rig.state.folder, prefix=ROOM) as room:
        recorder = Recorder(sensors, Path(room) / "sensors.csv", now=rig.now)
        with recorder:
            doing()
        duration_s = time.monotonic() - begin
        log = recorder.log()
    return Made(started_at=started_at, duration_s=duration_s, sensors=log if sensors else None)


def make_scripted(rig: Rig, wanted: Mapping[str, Any], *, stop: threading.Event) -> Outcome:
    """Runs the command of a planned run; a good outcome is on its way when this returns."""
    script = script_from(wanted["script"])
    outcomes: list[Outcome] = []
    made = recorded(rig, lambda: outcomes.append(run(script, stop=stop)))
    outcome = outcomes[0]
    if not outcome.trouble and outcome.score is not None:
        facts = facts_of(rig, wanted, made) | {"kind": "score", "score": outcome.score}
        name = f"{wanted['test']}-{wanted['setup']}-{made.started_at:%Y%m%d-%H%M%S}.txt"
        rig.state.spool.add(outcome.output.encode(), name=name, facts=facts)
    return outcome


def begun(rig: Rig, wanted: Mapping[str, Any]) -> dict[str, Any]:
    """What is known of a run that begins now."""
    found = {key: wanted[key] for key in RUN_FACTS if wanted.get(key) is not None}
    return found | {
        "started_at": rig.now().isoformat(),
        "stamps": rig.machine.stamps,
        "boot_id": rig.machine.boot,
        "boots": rig.state.boots(rig.machine.boot),
    }


def facts_of(rig: Rig, wanted: Mapping[str, Any], made: Made) -> dict[str, Any]:
    """All that is known of a run that was made. Its sensor log is on its way when this returns."""
    found = begun(rig, wanted) | {
        "started_at": made.started_at.isoformat(),
        "duration_s": max(round(made.duration_s, 3), 0.001),
    }
    if made.sensors is not None:
        layout = layout_of(rig.machine.found.sensors)
        name = f"sensors-{made.started_at:%Y%m%d-%H%M%S}.csv"
        parcel = rig.state.spool.add(made.sensors, name=name, facts={"kind": "sensors", "layout": layout})
        found["sensors"] = parcel.digest
    return found


def send_log(rig: Rig, path: Path, facts: Mapping[str, Any]) -> Parcel:
    """Puts a log that appeared on its way: of frames where it is known which run it is of, else astray."""
    kind = {"kind": "frames"} if facts else {"astray": "yes"}
    return rig.state.spool.add(path.read_bytes(), name=path.name, facts={**kind, **facts})
