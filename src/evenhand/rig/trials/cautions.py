"""What whoever stands at the machine is told before a point is tried, and asked the first time."""

from __future__ import annotations

from pathlib import Path

from evenhand.errors import EvenhandError
from evenhand.rig.keeping import read_json, write_json
from evenhand.rig.operator import Operator, say
from evenhand.rig.trials.asked import Asked

FILE = "attended.json"
CAUTIONS = (
    "Clocks and voltages are set by you, in the firmware; this program sets none.",
    "Wrong answers can reach whatever is written: use a spare installation, without a disk that you need.",
    "See that a backup of everything else is there, and can be read.",
    "Stay within the makers' limits of voltage, current and temperature: past them parts age or break.",
    "See that fans and pump turn, and that air can pass, before and while it runs.",
    "Tuning can end a warranty. What guards the machine is its own protection, not this program.",
    "Stay with it: Ctrl+C ends the trial, the switch at the wall ends everything.",
)


class NotAttended(EvenhandError):
    """Nobody says that they stay with the machine."""


def see_to(folder: Path, trial: Asked, operator: Operator, *, attended: bool) -> None:
    """Says what to heed; asks at the first trial of a point. Raises NotAttended where nobody stays."""
    for each in CAUTIONS:
        say(f"  - {each}")
    known = read_json(folder / FILE, [])
    settings = sorted(trial.settings.items())
    mark = f"{trial.setup}/{trial.part}/{trial.clock_mhz:g}/{trial.voltage_mv:g}/{settings}"
    if mark in known:
        return
    if not attended:
        answer = operator.ask(
            "  This point has not run here yet. Is it set, and do you stay with it? (yes/no) "
        )
        if answer.strip().lower() not in ("y", "yes"):
            raise NotAttended("nobody stays with the machine", todo="start this again when somebody does")
    write_json(folder / FILE, [*known, mark])
