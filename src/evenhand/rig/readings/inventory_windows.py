"""What a Windows machine is made of: the system's own information classes, asked for models alone.

Written from the system's documentation and tested against outputs of that form; not yet tried on such a
machine.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping

from evenhand.rig.readings.inventory import Inventory, PartTold, gathered, named, untold
from evenhand.rig.readings.programs import said_by
from evenhand.rig.readings.sensor import Unreadable

MEMORY_TYPES = {"24": "DDR3", "26": "DDR4", "34": "DDR5"}  # as the SMBIOS specification numbers them
FORMS = {"8": "DIMM", "12": "SO-DIMM"}
NOT_BUILT_IN = ("usb", "1394")

Fields = Mapping[str, str]
Told = Iterator[PartTold | Unreadable]
Asking = Callable[[str], str]


def parts(ask: Asking | None = None) -> Inventory:
    """Everything that is told; `ask` gives what the system prints of a class as JSON."""
    asked = ask or said_of
    return gathered([*processors(asked), *board(asked), *memory(asked), *graphics(asked), *drives(asked)])


CLASSES = {
    "Win32_Processor": ("Name", "NumberOfCores", "NumberOfLogicalProcessors"),
    "Win32_BaseBoard": ("Manufacturer", "Product", "Version"),
    "Win32_BIOS": ("SMBIOSBIOSVersion",),
    "Win32_PhysicalMemory": ("Capacity", "Speed", "SMBIOSMemoryType", "FormFactor"),
    "Win32_VideoController": ("Name",),
    "Win32_DiskDrive": ("Model", "Size", "InterfaceType", "MediaType"),
}
"""The classes that are asked, and all fields that are asked of each: none tells one machine from another."""


def said_of(name: str) -> str:
    """What the system prints of a class; "" where it does not."""
    fields = ", ".join(CLASSES[name])
    ask = f"Get-CimInstance {name} | Select-Object {fields} | ConvertTo-Json -Compress"
    return said_by(["powershell", "-NoProfile", "-NonInteractive", "-Command", ask])


def every(text: str) -> list[Fields]:
    """The fields of each JSON object, one or several, as text.

    >>> every('{"Name":"A","NumberOfCores":8}'), every('[{"Name":"A"},{"Name":null}]'), every("no such class")
    ([{'Name': 'A', 'NumberOfCores': '8'}], [{'Name': 'A'}, {}], [])
    """
    try:
        found = json.loads(text)
    except ValueError:
        return []
    objects = found if isinstance(found, list) else [found]
    return [
        {str(key): str(value).strip() for key, value in each.items() if value is not None}
        for each in objects
        if isinstance(each, dict)
    ]


def processors(ask: Asking) -> Told:
    """Each processor with its cores and threads."""
    found = [each for each in every(ask("Win32_Processor")) if named(each.get("Name"))]
    for each in found:
        facts = _counts(each, cores="NumberOfCores", threads="NumberOfLogicalProcessors")
        yield PartTold(kind="processor", name=named(each["Name"]), source="Win32_Processor", facts=facts)
    if not found:
        yield untold("processor", "the system did not answer for Win32_Processor")


def board(ask: Asking) -> Told:
    """The board with its firmware."""
    told = next(iter(every(ask("Win32_BaseBoard"))), {})
    firmware = named(next(iter(every(ask("Win32_BIOS"))), {}).get("SMBIOSBIOSVersion"))
    words = [named(told.get(part)) for part in ("Manufacturer", "Product", "Version")]
    if not words[1]:
        yield untold(
            "board", "the system did not answer for Win32_BaseBoard, or its firmware does not name it"
        )
        return
    facts = {"firmware": firmware} if firmware else {}
    yield PartTold(kind="board", name=" ".join(filter(None, words)), source="Win32_BaseBoard", facts=facts)


def memory(ask: Asking) -> Told:
    """All modules together as one set, where they are alike."""
    found = [each for each in every(ask("Win32_PhysicalMemory")) if each.get("Capacity", "").isdigit()]
    if not found:
        yield untold("memory", "the system did not answer for Win32_PhysicalMemory")
        return
    sizes = [int(each["Capacity"]) / 2**30 for each in found]
    name = f"{len(found)} modules, {sum(sizes):g} GiB in all"
    facts: dict[str, object] = {"modules": len(found)} if len(set(sizes)) == 1 else {}
    facts |= {"module_gb": sizes[0]} if len(set(sizes)) == 1 else {}
    for key, field, words in (("type", "SMBIOSMemoryType", MEMORY_TYPES), ("form", "FormFactor", FORMS)):
        said = {words.get(each.get(field, ""), "") for each in found}
        facts |= {key: said.pop()} if len(said) == 1 and "" not in said else {}
    yield PartTold(kind="memory", name=name, source="Win32_PhysicalMemory", facts=facts)


def graphics(ask: Asking) -> Told:
    """Each display adapter by its name."""
    names = [named(each.get("Name")) for each in every(ask("Win32_VideoController"))]
    for name in filter(None, names):
        yield PartTold(kind="graphics", name=name, source="Win32_VideoController")
    if not any(names):
        yield untold("graphics", "the system did not answer for Win32_VideoController")


def drives(ask: Asking) -> Told:
    """Each drive that is built in."""
    found = [
        each
        for each in every(ask("Win32_DiskDrive"))
        if named(each.get("Model"))
        and each.get("InterfaceType", "").casefold() not in NOT_BUILT_IN
        and "removable" not in each.get("MediaType", "").casefold()
    ]
    for each in found:
        size = each.get("Size", "")
        facts = {"capacity_gb": round(int(size) / 1e9)} if size.isdigit() else {}
        yield PartTold(kind="storage", name=named(each["Model"]), source="Win32_DiskDrive", facts=facts)
    if not found:
        yield untold("storage", "the system did not answer for Win32_DiskDrive")


def _counts(told: Fields, **fields: str) -> dict[str, int]:
    return {key: int(told[name]) for key, name in fields.items() if told.get(name, "").isdigit()}
