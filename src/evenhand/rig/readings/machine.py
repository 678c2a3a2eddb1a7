"""This machine, whichever system it runs: its sensors, its stamps, its boot, and what we cost it."""

from __future__ import annotations

import platform
import sys
from collections.abc import Callable
from dataclasses import dataclass, field

from evenhand.rig.readings import (
    graphics_library,
    inventory_linux,
    inventory_macos,
    inventory_windows,
    linux,
    macos,
    windows,
)
from evenhand.rig.readings.inventory import Inventory, untold
from evenhand.rig.readings.sensor import Found, Unreadable, told_apart


@dataclass(frozen=True, slots=True, kw_only=True)
class Machine:
    """What can be read, what the machine says of itself, what names its present start, what it is made of."""

    found: Found
    stamps: dict[str, str]
    boot: str | None
    inventory: Inventory = field(default_factory=Inventory)


def look(system: str = sys.platform) -> Machine:
    """This machine as it is now."""
    room = {"linux": linux, "win32": windows, "darwin": macos}.get(system)
    library = graphics_library.load(system)
    if room is None:
        found = Found(unreadable=(Unreadable(what="everything", why=f"{system} is not known here"),))
        stamps, boot = {"os": platform.platform()}, None
    else:
        found, stamps, boot = room.find(), room.stamps(), room.boot()
    found += graphics_library.find(library)
    return Machine(
        found=Found(sensors=told_apart(found.sensors), unreadable=found.unreadable),
        stamps={**stamps, **graphics_library.stamps(library)},
        boot=boot,
        inventory=inventory(system),
    )


def inventory(system: str = sys.platform) -> Inventory:
    """What this machine is made of; what goes wrong on the way keeps nobody from taking part."""
    rooms: dict[str, Callable[[], Inventory]] = {
        "linux": inventory_linux.parts,
        "win32": inventory_windows.parts,
        "darwin": inventory_macos.parts,
    }
    if system not in rooms:
        return Inventory(untold=(untold("its parts", f"{system} is not known here"),))
    try:
        return rooms[system]()
    except (OSError, ValueError) as error:
        return Inventory(untold=(untold("its parts", f"they could not be read ({error})"),))


def own_memory_mib() -> float | None:
    """This process's memory in MiB, where the system tells."""
    return linux.own_memory_mib() if sys.platform == "linux" else None
