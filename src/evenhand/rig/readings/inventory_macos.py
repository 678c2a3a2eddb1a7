"""What a Mac is made of, as far as `sysctl` tells: processor and memory.

Written from the system's manual pages and tested against outputs of that form; not yet tried on such a
machine.
"""

from __future__ import annotations

from collections.abc import Callable

from evenhand.rig.readings.inventory import Inventory, PartTold, gathered, named, untold
from evenhand.rig.readings.programs import said_by
from evenhand.rig.readings.sensor import Unreadable


def said_of(name: str) -> str:
    """One value of the kernel's; "" where it has none such."""
    return said_by(["sysctl", "-n", name]).strip()


def parts(ask: Callable[[str], str] = said_of) -> Inventory:
    """Processor and memory."""
    found: list[PartTold | Unreadable] = []
    name = named(ask("machdep.cpu.brand_string"))
    counts = {"cores": ask("hw.physicalcpu"), "threads": ask("hw.logicalcpu")}
    facts = {key: int(value) for key, value in counts.items() if value.isdigit()}
    if name:
        found.append(PartTold(kind="processor", name=name, source="sysctl", facts=facts))
    else:
        found.append(untold("processor", "sysctl does not name it"))
    size = ask("hw.memsize")
    if size.isdigit():
        found.append(PartTold(kind="memory", name=f"{int(size) / 2**30:g} GiB in all", source="sysctl"))
    why = "what the system tells of it has serial numbers in it, and is not asked"
    found += [untold(what, why) for what in ("board", "graphics", "storage")]
    return gathered(found)
