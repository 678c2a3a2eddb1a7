"""How warm the machine was second by second, kept with a trial where that is asked for, and its way home."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from evenhand.rig.asking import Address, ask, refusal
from evenhand.rig.readings.sensor import CLOCK, FAN, POWER, TEMPERATURE, Sensor
from evenhand.rig.recording import layout_of, written
from evenhand.rig.spool import Parcel
from evenhand.rig.trials.doubtful import raw, sane
from evenhand.rig.trials.journal import whole
from evenhand.rig.trials.watching import clocks, meters, temperatures

KIND = "heat"
MOST_COLUMNS, MOST_ROWS = 12, 36_000  # ten hours: longer tells nothing more of how heat comes and goes
FEWEST_ROWS = 60  # less shows no time constant


class Warmth:
    """The readings that are kept: read once a second, for the log and for whoever watches alike.

    Counters of energy tell what was drawn since they were last read, so that nobody else may read them.
    """

    def __init__(self, sensors: Sequence[Sensor], *, part: str, word: str = "", power: str = "") -> None:
        found = [*temperatures(sensors, word), *meters(sensors, part, power), *clocks(sensors, part)]
        found += [each for each in sensors if each.role == FAN]
        self.kept = tuple({each.header: each for each in found}.values())[:MOST_COLUMNS]
        self._values: dict[str, float | None] = {}
        self._began = 0.0

    def shared(self, sensors: Sequence[Sensor]) -> tuple[Sensor, ...]:
        """The sensors, of which those that are kept say what was read last, also what no part has."""
        own = {each.header for each in self.kept}
        return tuple(self._told(each) if each.header in own else each for each in sensors)

    def _told(self, sensor: Sensor) -> Sensor:
        def last() -> float | None:
            return self._values.get(sensor.header)

        return Sensor(role=sensor.role, about=sensor.about, source=sensor.source, read=last)

    def begun(self, mono: float) -> dict[str, Any]:
        """The line that says what the columns are; time counts from now on."""
        self._began = mono
        return {"warmth": layout_of(self.kept)["columns"][1:]}

    def look(self, mono: float) -> dict[str, Any]:
        """Reads everything once; the line that keeps it."""
        self._values = {each.header: raw(each) for each in self.kept}
        told = (sane(each, self._values[each.header]) for each in self.kept)
        return {"warm": [round(mono - self._began, 3), *told]}


def log_of(path: Path) -> tuple[bytes, dict[str, Any]] | None:
    """The log that a journal holds, and what is told of its columns; None without one worth keeping."""
    columns: Sequence[Mapping[str, str]] = ()
    rows: list[Sequence[float | None]] = []
    for line in path.read_bytes().split(b"\n"):
        told = whole(line)
        columns = told.get("warmth", columns)
        row = told.get("warm")
        if isinstance(row, list) and len(row) == len(columns) and len(rows) < MOST_ROWS:
            rows.append(row)
    named = columns_named(columns, rows)
    if len(rows) < FEWEST_ROWS or not named:
        return None
    lines = [",".join(each["header"] for each in columns)]
    lines += [",".join(map(written, row)) for row in rows]
    told = {"layout": {"kind": "sensors", "columns": list(columns)}, "columns": named}
    return ("\n".join(lines) + "\n").encode(), told


def columns_named(
    columns: Sequence[Mapping[str, str]], rows: Sequence[Sequence[float | None]]
) -> dict[str, str]:
    """Which column is the part's temperature, watts, fan and clock: the warmest of the watched ones.

    "" where there is none, or several of which nobody knows which is the part's.
    """
    middles = [_middle([row[at] for row in rows]) for at in range(len(columns))]
    warm = [at for at, each in enumerate(columns) if each["role"] == TEMPERATURE and middles[at] is not None]
    if not warm:
        return {}
    hottest = max(warm, key=lambda at: middles[at] or 0.0)
    found = {"temperature": columns[hottest]["header"], "room": ""}
    for name, role in (("watts", POWER), ("fan", FAN), ("clock", CLOCK)):
        own = [each["header"] for each in columns if each["role"] == role]
        found[name] = own[0] if len(own) == 1 else ""
    return found


def _middle(values: Sequence[float | None]) -> float | None:
    known = sorted(value for value in values if value is not None)
    return known[len(known) // 2] if known else None


def is_heat(parcel: Parcel) -> bool:
    """Whether a parcel is the temperature log of a trial."""
    return parcel.facts.get("kind") == KIND


def land_heat(address: Address, parcel: Parcel) -> dict[str, Any]:
    """Says of a log that was sent which trial it is of; what the workbench says. Raises as `send` does."""
    body = {"name": parcel.name, "digest": parcel.digest, **parcel.facts["told"]}
    answer = ask(address, "POST", f"/api/rig/trials/{parcel.facts['trial']}/heat", body=body)
    if answer.status >= 400:
        raise refusal(answer, parcel.name)
    return answer.body if isinstance(answer.body, dict) else {}
