"""A machine's files as its kernel shows them: a temperature that follows its watts, an energy counter."""

from __future__ import annotations

import math
from pathlib import Path

from evenhand.rig.readings import linux
from evenhand.rig.readings.machine import Machine
from evenhand.rig.readings.sensor import Found
from evenhand.rig.trials.stopping import Stop

ROOM, C_PER_W, TAU_S = 23.5, 0.3, 45.0
REST_W, LOAD_W = 20.0, 150.0
WRAPS_UJ = 262_143_328_850


class Tree:
    """A monitor with one temperature and one package that counts its energy, below a folder.

    Seconds pass by `pass_s`; `watts` are drawn meanwhile. Where `read` is a text, the file of the temperature
    holds it in place of what the part is at; where it is None, there is no file.
    """

    def __init__(self, root: Path) -> None:
        self.root, self.s, self.watts = root, 100.0, REST_W
        self.heat_c = ROOM + C_PER_W * REST_W
        self.energy_uj = 5_000_000_000
        self.read: str | None = ""
        self.file = root / "sys/class/hwmon/hwmon0/temp1_input"
        self.counter = root / "sys/class/powercap/zone:0/energy_uj"
        for path, text in (
            (self.file.with_name("name"), "board"), (self.file.with_name("temp1_label"), "Package"),
            (self.counter.with_name("name"), "package-0"),
            (self.counter.with_name("max_energy_range_uj"), str(WRAPS_UJ)),
        ):  # fmt: skip
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(f"{text}\n", encoding="ascii")
        self.write()

    def pass_s(self, seconds: float) -> None:
        """Time passes: it warms up or cools down, and counts what it draws."""
        steady = ROOM + C_PER_W * self.watts
        self.heat_c = steady + (self.heat_c - steady) * math.exp(-seconds / TAU_S)
        self.energy_uj = (self.energy_uj + round(1e6 * self.watts * seconds)) % WRAPS_UJ
        self.s += seconds
        self.write()

    def write(self) -> None:
        """Its files as they are now; the temperature in whole degrees, as most sensors tell it."""
        self.counter.write_text(f"{self.energy_uj}\n", encoding="ascii")
        if self.read is None:
            self.file.unlink(missing_ok=True)
        else:
            self.file.write_text(self.read or f"{round(self.heat_c) * 1000}\n", encoding="ascii")

    def found(self) -> Found:
        """What the rig program finds there."""
        return linux.find(self.root, clock=lambda: self.s)

    def machine(self) -> Machine:
        """The machine."""
        return Machine(found=self.found(), stamps={}, boot="first")


class Passing(Stop):
    """A stop whose waiting lets time pass on a tree."""

    def __init__(self, folder: Path, tree: Tree) -> None:
        super().__init__(folder)
        self.tree = tree

    def wait(self, seconds: float) -> None:
        self.tree.pass_s(max(seconds, 0.0))
