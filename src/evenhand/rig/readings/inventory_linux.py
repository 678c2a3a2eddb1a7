"""What a Linux machine is made of: the kernel's own files under /proc and /sys, which everybody may read."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from evenhand.rig.readings.inventory import Inventory, PartTold, gathered, named, untold
from evenhand.rig.readings.linux import number_of, text_of
from evenhand.rig.readings.sensor import Unreadable

SECTOR_BYTES = 512  # in which /sys/block tells sizes, whatever the drive's own are
DISPLAY = "0x03"  # how the class of a display adapter begins, in the PCI code and ID assignment
MOST_LANES = 16
PCI_NAMES = ("usr/share/misc/pci.ids", "usr/share/hwdata/pci.ids")
OUTPUTS = {"HDMI": "HDMI", "DP": "DisplayPort", "DVI": "DVI", "VGA": "VGA"}
NOT_BUILT_IN = ("loop", "ram", "zram", "dm-", "md", "sr", "fd", "nbd")

Told = Iterator[PartTold | Unreadable]


def parts(root: Path = Path("/")) -> Inventory:
    """Everything that is told below `root`."""
    found = [*processors(root), *board(root), *memory(root), *graphics(root), *drives(root)]
    return gathered(found)


def processors(root: Path) -> Told:
    """Each processor with its cores and threads."""
    sockets: dict[str, dict[str, str]] = {}
    threads: dict[str, int] = {}
    for block in (text_of(root / "proc/cpuinfo") or "").split("\n\n"):
        told = dict(_pairs(block))
        if "processor" in told:
            socket = told.get("physical id", "0")
            sockets.setdefault(socket, told)
            threads[socket] = threads.get(socket, 0) + 1
    for socket, told in sorted(sockets.items()):
        name = named(told.get("model name"))
        if name:
            cores = told.get("cpu cores", "")
            facts = {"cores": int(cores)} if cores.isdigit() else {}
            yield PartTold(
                kind="processor", name=name, source="/proc/cpuinfo",
                facts={**facts, "threads": threads[socket]},
            )  # fmt: skip
    if not any(named(told.get("model name")) for told in sockets.values()):
        yield untold("processor", "the kernel does not name its model in /proc/cpuinfo")


def _pairs(block: str) -> Iterator[tuple[str, str]]:
    for line in block.splitlines():
        key, colon, value = line.partition(":")
        if colon:
            yield key.strip(), value.strip()


def board(root: Path) -> Told:
    """The board with its firmware, as the firmware's own tables name them."""
    told = root / "sys/class/dmi/id"
    words = [named(text_of(told / part)) for part in ("board_vendor", "board_name", "board_version")]
    name = " ".join(filter(None, words)) if words[1] else ""
    if not name:
        yield untold("board", "its firmware does not name it under /sys/class/dmi/id")
        return
    firmware = named(text_of(told / "bios_version"))
    facts = {"firmware": firmware} if firmware else {}
    yield PartTold(kind="board", name=name, source="/sys/class/dmi/id", facts=facts)


def memory(root: Path) -> Told:
    """How much memory there is in all: more is told to the administrator only."""
    said = dict(_pairs(text_of(root / "proc/meminfo") or "")).get("MemTotal", "").split()
    if not said or not said[0].isdigit():
        yield untold("memory", "the kernel does not tell how much there is in /proc/meminfo")
        return
    gib = int(said[0]) / 2**20
    yield PartTold(
        kind="memory",
        name=f"{gib:.1f} GiB in all, less what firmware and graphics keep",
        source="/proc/meminfo",
    )
    yield untold("modules of memory", "the system tells of them to the administrator only")


def graphics(root: Path) -> Told:
    """Each display adapter with its lanes and outputs; those inside a processor are told as well."""
    devices = sorted((root / "sys/bus/pci/devices").glob("*"))
    found = [each for each in devices if (text_of(each / "class") or "").startswith(DISPLAY)]
    for device in found:
        lanes = number_of(device / "max_link_width") or 0
        outputs = list(dict.fromkeys(_outputs(root, device)))
        facts = {"lanes": int(lanes)} if 1 <= lanes <= MOST_LANES else {}
        yield PartTold(
            kind="graphics", name=_pci_name(root, device), source="/sys/bus/pci, /sys/class/drm",
            facts={**facts, **({"outputs": outputs} if outputs else {})},
        )  # fmt: skip
    if not found:
        yield untold("graphics", "no display adapter is under /sys/bus/pci")


def _outputs(root: Path, device: Path) -> Iterator[str]:
    """The connectors of a card that lead to the outside."""
    for card in sorted((root / "sys/class/drm").glob("card[0-9]*")):
        number, dash, connector = card.name.partition("-")
        place = root / "sys/class/drm" / number / "device"
        if dash and place.exists() and place.resolve().name == device.resolve().name:
            kind = connector.split("-")[0]
            if kind in OUTPUTS:
                yield OUTPUTS[kind]


def _pci_name(root: Path, device: Path) -> str:
    """Its name in the system's own list of PCI numbers, else the numbers."""
    vendor, model = (
        (text_of(device / part) or "").strip().removeprefix("0x") for part in ("vendor", "device")
    )
    for place in PCI_NAMES:
        listed = text_of(root / place)
        name = _listed(listed, vendor, model) if listed else ""
        if name:
            return name
    return f"display adapter {vendor}:{model}"


def _listed(text: str, vendor: str, model: str) -> str:
    r"""A name out of such a list: makers stand at the margin, their models behind a tab.

    >>> _listed("1234  Nimtal\n\t0001  Lantern 36\n5678  Osk\n\t0001  Other\n", "1234", "0001")
    'Nimtal Lantern 36'
    """
    maker = ""
    for line in text.splitlines():
        if line[:1] not in ("\t", "#", ""):
            maker = line[4:].strip() if line.startswith(f"{vendor} ") else ""
        elif maker and line.startswith(f"\t{model} "):
            return named(f"{maker} {line[5:].strip()}")
    return ""


def drives(root: Path) -> Told:
    """Each drive that is built in: its model, its interface and its size."""
    found = False
    for place in sorted((root / "sys/block").glob("*")):
        if place.name.startswith(NOT_BUILT_IN) or number_of(place / "removable"):
            continue
        where, name = str(place.resolve()), named(text_of(place / "device/model"))
        if "/usb" in where or not name:
            continue
        found = True
        interface = "NVMe" if place.name.startswith("nvme") else "SATA" if "/ata" in where else ""
        size = round((number_of(place / "size") or 0) * SECTOR_BYTES / 1e9)
        facts = {**({"interface": interface} if interface else {}), **({"capacity_gb": size} if size else {})}
        yield PartTold(kind="storage", name=name, source="/sys/block", facts=facts)
    if not found:
        yield untold("storage", "no drive that is built in is under /sys/block")
