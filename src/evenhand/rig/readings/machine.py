"""This machine, whichever system it runs: its sensors, its stamps, its boot, and what we cost it."""

from __future__ import annotations

import platform
import sys
from dataclasses import dataclass

from evenhand.rig.readings import graphics_library, linux, macos, windows
from evenhand.rig.readings.sensor import Found, Unreadable, told_apart


@dataclass(frozen=True, slots=True, kw_only=True)
class Machine:
    """What can be read, what the machine says of itself, and what names its present start."""

    found: Found
    stamps: dict[str, str]
    boot: str | None


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
    )


def own_memory_mib() -> float | None:
    """This process's memory in MiB, where the system tells."""
    return linux.own_memory_mib() if sys.platform == "linux" else None
