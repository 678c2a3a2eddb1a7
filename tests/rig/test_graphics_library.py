"""A graphics driver's library is asked in the forms of its header; an older one in the older form."""

from __future__ import annotations

import ctypes
from typing import Any

from evenhand.rig.readings import graphics_library as room
from evenhand.rig.readings.graphics_library import DONE, SECOND_FORM, find, memory_mib, stamps

NOT_KNOWN = 13


class Library:
    """A driver's library with one card."""

    second = True

    def nvmlDeviceGetCount_v2(self, count: Any) -> int:  # noqa: N802
        count._obj.value = 1
        return DONE

    def nvmlDeviceGetHandleByIndex_v2(self, index: int, card: Any) -> int:  # noqa: N802
        card._obj.value = 7 + index
        return DONE

    def nvmlDeviceGetClockInfo(self, card: Any, which: int, value: Any) -> int:  # noqa: N802
        value._obj.value = {0: 1500, 2: 3201}[which]
        return DONE

    def nvmlDeviceGetTemperature(self, card: Any, where: int, value: Any) -> int:  # noqa: N802
        value._obj.value = 54
        return DONE

    def nvmlDeviceGetPowerUsage(self, card: Any, value: Any) -> int:  # noqa: N802
        value._obj.value = 693_260
        return DONE

    def nvmlDeviceGetUtilizationRates(self, card: Any, used: Any) -> int:  # noqa: N802
        return NOT_KNOWN

    def nvmlDeviceGetMemoryInfo(self, card: Any, memory: Any) -> int:  # noqa: N802
        memory._obj.used = 1625 * 2**20
        return DONE

    def nvmlDeviceGetMemoryInfo_v2(self, card: Any, memory: Any) -> int:  # noqa: N802
        if not self.second or memory._obj.version != SECOND_FORM:
            return NOT_KNOWN
        memory._obj.used = 1010 * 2**20
        return DONE

    def nvmlSystemGetDriverVersion(self, text: Any, size: int) -> int:  # noqa: N802
        text.value = b"580.1"
        return DONE


def test_what_a_card_gives_is_read_in_our_units() -> None:
    found = find(Library())
    assert {s.header: s.read() for s in found.sensors} == {
        "clock of graphics [MHz]": 1500.0,
        "clock of graphics memory [MHz]": 3201.0,
        "temperature of graphics [°C]": 54.0,
        "power of graphics [W]": 693.26,
        "memory of graphics [MiB]": 1010.0,
    }


def test_what_it_does_not_give_is_told() -> None:
    (missing,) = find(Library()).unreadable
    assert missing.what == "load of graphics"


def test_an_older_driver_is_asked_in_the_older_form() -> None:
    library = Library()
    library.second = False
    assert memory_mib(library, ctypes.c_void_p(7)) == 1625.0


def test_the_second_form_is_numbered_as_the_header_does() -> None:
    assert ctypes.sizeof(room._MemorySplit) == 40
    assert SECOND_FORM == 0x02000028


def test_without_a_library_nothing_is_read() -> None:
    assert find(None).sensors == ()
    assert stamps(None) == {}
    assert stamps(Library()) == {"driver": "580.1"}
