"""What a machine is made of, as its system tells, and nothing that tells it from another one."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from tests.rig.test_linux import put

from evenhand.rig.readings import inventory_linux, inventory_macos, inventory_windows, machine
from evenhand.rig.readings.inventory import HIDDEN, Inventory, PartTold, named

CORE = "processor\t: {}\nmodel name\t: Brellow Ash 6\nphysical id\t: 0\ncpu cores\t: 2\n"
SECRETS = ("0042-SECRET", "SECRET-UUID", "SECRET-HOST")


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """A machine with a processor, a named board, a card of three outputs, two drives and a memory stick."""
    put(tmp_path, "proc/cpuinfo", "\n".join(CORE.format(n) for n in range(4)))
    put(tmp_path, "proc/meminfo", "MemTotal:       32670748 kB\n")
    dmi = "sys/class/dmi/id"
    for name, text in (
        ("board_vendor", "Nimtal\n"), ("board_name", "Quay B\n"), ("board_version", "Default string\n"),
        ("bios_version", "1.20\n"), ("bios_date", "05/04/2031\n"), ("board_serial", "0042-SECRET\n"),
        ("product_uuid", "SECRET-UUID\n"), ("chassis_asset_tag", "SECRET-HOST\n"),
    ):  # fmt: skip
        put(tmp_path, f"{dmi}/{name}", text)
    card = "sys/bus/pci/devices/0000:01:00.0"
    for name, text in (("class", "0x030000\n"), ("vendor", "0x1234\n"), ("device", "0x0001\n"),
                       ("max_link_width", "16\n")):  # fmt: skip
        put(tmp_path, f"{card}/{name}", text)
    put(tmp_path, "sys/bus/pci/devices/0000:02:00.0/class", "0x020000\n")
    put(tmp_path, "usr/share/misc/pci.ids", "# a list\n1234  Harrowfen\n\t0001  Lantern 40\n")
    drm = tmp_path / "sys/class/drm"
    for connector in ("card1-HDMI-A-1", "card1-DP-1", "card1-DP-2", "card1-Writeback-1", "card1-eDP-1"):
        put(tmp_path, f"sys/class/drm/{connector}/status", "connected\n")
    (drm / "card1").mkdir()
    (drm / "card1/device").symlink_to(tmp_path / card)
    put(tmp_path, "sys/block/nvme0n1/device/model", "Harrowfen Slate 1 TB   \n")
    put(tmp_path, "sys/block/nvme0n1/device/serial", "0042-SECRET\n")
    put(tmp_path, "sys/block/nvme0n1/size", "1953525168\n")
    put(tmp_path, "sys/devices/pci0/ata1/block/sda/device/model", "Osk Disc 4\n")
    put(tmp_path, "sys/devices/pci0/ata1/block/sda/size", "7814037168\n")
    (tmp_path / "sys/block/sda").symlink_to(tmp_path / "sys/devices/pci0/ata1/block/sda")
    put(tmp_path, "sys/block/sdb/device/model", "A stick\n")
    put(tmp_path, "sys/block/sdb/removable", "1\n")
    put(tmp_path, "sys/block/loop0/size", "8\n")
    return tmp_path


def by_kind(found: Inventory) -> dict[str, list[PartTold]]:
    kinds: dict[str, list[PartTold]] = {}
    for part in found.parts:
        kinds.setdefault(part.kind, []).append(part)
    return kinds


def test_every_part_that_the_kernel_names_is_told_with_its_facts(root: Path) -> None:
    found = by_kind(inventory_linux.parts(root))
    told = {kind: [(part.name, part.facts) for part in own] for kind, own in found.items()}
    assert told == {
        "processor": [("Brellow Ash 6", {"cores": 2, "threads": 4})],
        "board": [("Nimtal Quay B", {"firmware": "1.20"})],
        "memory": [("31.2 GiB in all, less what firmware and graphics keep", {})],
        "graphics": [("Harrowfen Lantern 40", {"lanes": 16, "outputs": ["DisplayPort", "HDMI"]})],
        "storage": [
            ("Harrowfen Slate 1 TB", {"interface": "NVMe", "capacity_gb": 1000}),
            ("Osk Disc 4", {"interface": "SATA", "capacity_gb": 4001}),
        ],
    }


def test_no_serial_number_is_in_it_though_they_lie_beside(root: Path) -> None:
    told = repr(inventory_linux.parts(root))
    assert not [secret for secret in SECRETS if secret in told]


def test_of_an_empty_machine_everything_is_said_not_to_be_told(tmp_path: Path) -> None:
    found = inventory_linux.parts(tmp_path)
    assert found.parts == ()
    assert [each.what for each in found.untold] == ["processor", "board", "memory", "graphics", "storage"]
    assert all(each.why for each in found.untold)


def test_a_card_that_no_list_names_goes_by_its_numbers(root: Path) -> None:
    (root / "usr/share/misc/pci.ids").write_bytes(b"\xff\xfe nonsense")
    (card,) = by_kind(inventory_linux.parts(root))["graphics"]
    assert card.name == "display adapter 1234:0001"


@pytest.mark.parametrize("text", ["255\n", "0\n", "wide\n", ""])
def test_lanes_that_cannot_be_are_not_told(root: Path, text: str) -> None:
    put(root, "sys/bus/pci/devices/0000:01:00.0/max_link_width", text)
    (card,) = by_kind(inventory_linux.parts(root))["graphics"]
    assert "lanes" not in card.facts


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("Slate 00:1a:2b:3c:4d:5e", f"Slate {HIDDEN}"),
        ("Slate 123456789012", f"Slate {HIDDEN}"),
        ("Slate of ada@example.org", f"Slate of {HIDDEN}"),
        ("Slate at 10.0.0.7", f"Slate at {HIDDEN}"),
        ("N/A", ""),
        (None, ""),
        ("Q" * 300, "Q" * 120),
        ("two\nlines\x00\x1b[31m", "two lines [31m"),
    ],
)
def test_what_tells_one_machine_from_another_is_taken_out_of_names(text: str | None, said: str) -> None:
    assert named(text) == said


WINDOWS = {
    "Win32_Processor": {"Name": "Brellow Elm 8", "NumberOfCores": 8, "NumberOfLogicalProcessors": 16},
    "Win32_BaseBoard": {"Manufacturer": "Nimtal", "Product": "Mole X", "Version": "x.x"},
    "Win32_BIOS": {"SMBIOSBIOSVersion": "X3"},
    "Win32_PhysicalMemory": [
        {"Capacity": 17179869184, "Speed": 6000, "SMBIOSMemoryType": 34, "FormFactor": 8}
    ] * 2,
    "Win32_VideoController": {"Name": "Harrowfen Lantern 36"},
    "Win32_DiskDrive": [
        {"Model": "Harrowfen Slate 1 TB", "Size": 1000202273280, "InterfaceType": "SCSI"},
        {"Model": "A stick", "Size": 1, "InterfaceType": "USB", "MediaType": "Removable Media"},
    ],
}  # fmt: skip


def test_windows_tells_the_same_by_its_classes() -> None:
    found = by_kind(inventory_windows.parts(lambda name: json.dumps(WINDOWS[name])))
    told = {kind: [(part.name, part.facts) for part in own] for kind, own in found.items()}
    assert told == {
        "processor": [("Brellow Elm 8", {"cores": 8, "threads": 16})],
        "board": [("Nimtal Mole X", {"firmware": "X3"})],
        "memory": [
            (
                "2 modules, 32 GiB in all",
                {"modules": 2, "module_gb": 16.0, "type": "DDR5", "form": "DIMM"},
            )
        ],
        "graphics": [("Harrowfen Lantern 36", {})],
        "storage": [("Harrowfen Slate 1 TB", {"capacity_gb": 1000})],
    }


@pytest.mark.parametrize("printed", ["", "Get-CimInstance : not recognised", "null", "[1, 2]"])
def test_where_windows_does_not_answer_nothing_is_told(printed: str) -> None:
    found = inventory_windows.parts(lambda _: printed)
    assert found.parts == ()
    assert [each.what for each in found.untold] == ["processor", "board", "memory", "graphics", "storage"]


def test_windows_is_asked_for_no_serial_number() -> None:
    asked = " ".join(field for fields in inventory_windows.CLASSES.values() for field in fields).casefold()
    assert not [word for word in ("serial", "uuid", "user", "caption", "pnp", "address") if word in asked]


def test_a_mac_tells_of_processor_and_memory_alone() -> None:
    said = {"machdep.cpu.brand_string": "Brellow Fen", "hw.physicalcpu": "8", "hw.memsize": "17179869184"}
    found = inventory_macos.parts(lambda name: said.get(name, ""))
    assert [(part.name, part.facts) for part in found.parts] == [
        ("Brellow Fen", {"cores": 8}),
        ("16 GiB in all", {}),
    ]
    assert [each.what for each in found.untold] == ["board", "graphics", "storage"]


def test_what_goes_wrong_on_the_way_keeps_nobody_from_taking_part(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken() -> Inventory:
        raise OSError("the disk is gone")

    monkeypatch.setattr(inventory_linux, "parts", broken)
    (told,) = machine.inventory("linux").untold
    assert told.why == "they could not be read (the disk is gone)"
    assert machine.inventory("plan9").untold[0].why == "plan9 is not known here"
