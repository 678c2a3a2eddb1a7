"""Readings that tell nothing: values that no part has, and a temperature that stands still."""

from __future__ import annotations

from evenhand.rig.readings.sensor import POWER, TEMPERATURE, UNITS, Sensor

COLDEST_C, HOTTEST_C = -40.0, 150.0  # at these and beyond a sensor is not connected
MOST_W = 5000.0  # a reading beyond it is a counter that jumped
STILL_S = 120.0  # a part whose temperature has not moved at all for so long under load is not read
STILL_AGAIN_S = 600.0  # one that moved before may be steady, in whole degrees, for a few minutes


def raw(sensor: Sensor) -> float | None:
    """What a sensor says now, whatever it is; None where it says nothing or is gone."""
    try:
        return sensor.read()
    except OSError:
        return None


def sane(sensor: Sensor, value: float | None) -> float | None:
    """The value, or None where no part has it."""
    if value is None or (sensor.role == TEMPERATURE and not COLDEST_C < value < HOTTEST_C):
        return None
    return None if sensor.role == POWER and not 0 <= value <= MOST_W else value


def reading(sensor: Sensor) -> float | None:
    """What a sensor says now; None where it says nothing, is gone, or tells what no part has."""
    return sane(sensor, raw(sensor))


class Oddities:
    """What is odd about a trial's temperatures: each is told once, and kept for the record."""

    __slots__ = ("_at", "_moved", "_since", "_told", "kept")

    def __init__(self) -> None:
        self.kept: list[str] = []
        self._told: set[str] = set()
        self._at: float | None = None
        self._since, self._moved = 0.0, False

    def nonsense(self, sensor: Sensor, value: float | None) -> str:
        """That a sensor tells what no part has, where it does and was not told of before; "" else."""
        if value is None or sane(sensor, value) is not None:
            return ""
        return self._once(
            sensor.header, f"{sensor.about} read {value:g} {UNITS[sensor.role]}, which no part is"
        )

    def still(self, sensor: Sensor, value: float, held_s: float) -> str:
        """That the hottest reading stands still, where it does; "" else. Asked once a second under load."""
        if value != self._at:
            self._moved = self._moved or self._at is not None
            self._at, self._since = value, held_s
            self._told.discard("still")
            return ""
        least = STILL_AGAIN_S if self._moved else STILL_S
        if held_s - self._since < least:
            return ""
        return self._once(
            "still", f"{sensor.about} stood at {value:g} °C for {least:g} s, as if it were not read"
        )

    def _once(self, what: str, said: str) -> str:
        if what in self._told:
            return ""
        self._told.add(what)
        self.kept.append(said)
        return said
