"""Graphics cards whose driver brings NVML, a C library documented by its maker; used where it is there."""

from __future__ import annotations

import ctypes
import sys
from collections.abc import Callable
from typing import Any

from evenhand.rig.readings.sensor import CLOCK, LOAD, MEMORY, POWER, TEMPERATURE, Found, Sensor, Unreadable

LIBRARIES = {"linux": "libnvidia-ml.so.1", "win32": "nvml.dll"}
DONE = 0
GRAPHICS_CLOCK, MEMORY_CLOCK = 0, 2
ON_DIE = 0
LONGEST_NAME = 96
MIB = 2**20


class _Utilisation(ctypes.Structure):
    _fields_ = (("gpu", ctypes.c_uint), ("memory", ctypes.c_uint))


class _Memory(ctypes.Structure):
    _fields_ = (("total", ctypes.c_ulonglong), ("free", ctypes.c_ulonglong), ("used", ctypes.c_ulonglong))


class _MemorySplit(ctypes.Structure):
    """The second form, which tells what the driver keeps for itself from what programs use."""

    _fields_ = (
        ("version", ctypes.c_uint),
        ("total", ctypes.c_ulonglong),
        ("reserved", ctypes.c_ulonglong),
        ("free", ctypes.c_ulonglong),
        ("used", ctypes.c_ulonglong),
    )


SECOND_FORM = ctypes.sizeof(_MemorySplit) | (2 << 24)  # how the library's header numbers it


def load(platform: str = sys.platform) -> Any | None:
    """The library, begun; None where it is not there or does not begin."""
    name = LIBRARIES.get(platform)
    try:
        library = ctypes.CDLL(name) if name else None
    except OSError:
        return None
    return library if library is not None and library.nvmlInit_v2() == DONE else None


def find(library: Any | None) -> Found:
    """What the library can read of every card."""
    if library is None:
        return Found()
    count = ctypes.c_uint()
    if library.nvmlDeviceGetCount_v2(ctypes.byref(count)) != DONE:
        why = "its driver's library counts no card"
        return Found(unreadable=(Unreadable(what="graphics", why=why),))
    found = Found()
    for index in range(count.value):
        card = ctypes.c_void_p()
        if library.nvmlDeviceGetHandleByIndex_v2(index, ctypes.byref(card)) == DONE:
            about = "graphics" if count.value == 1 else f"graphics {index + 1}"
            found += of_card(library, card, about)
    return found


def of_card(library: Any, card: Any, about: str) -> Found:
    """Clocks, temperature, power, load, memory and fan of one card, those it gives."""
    ways: tuple[tuple[str, str, str, Callable[[], float | None]], ...] = (
        (CLOCK, about, "nvmlDeviceGetClockInfo", lambda: clock_mhz(library, card, GRAPHICS_CLOCK)),
        (CLOCK, f"{about} memory", "nvmlDeviceGetClockInfo", lambda: clock_mhz(library, card, MEMORY_CLOCK)),
        (TEMPERATURE, about, "nvmlDeviceGetTemperature", lambda: temperature_c(library, card)),
        (POWER, about, "nvmlDeviceGetPowerUsage", lambda: power_w(library, card)),
        (LOAD, about, "nvmlDeviceGetUtilizationRates", lambda: load_pct(library, card)),
        (MEMORY, about, "nvmlDeviceGetMemoryInfo", lambda: memory_mib(library, card)),
    )  # fmt: skip
    sensors, unreadable = [], []
    for role, what, source, read in ways:
        if read() is not None:
            sensors.append(Sensor(role=role, about=what, source=source, read=read))
        else:
            unreadable.append(Unreadable(what=f"{role} of {what}", why=f"{source} gives none"))
    return Found(sensors=tuple(sensors), unreadable=tuple(unreadable))


def clock_mhz(library: Any, card: Any, which: int) -> float | None:
    """A clock of a card."""
    return _number(library.nvmlDeviceGetClockInfo, card, which)


def temperature_c(library: Any, card: Any) -> float | None:
    """The temperature on the card's die."""
    return _number(library.nvmlDeviceGetTemperature, card, ON_DIE)


def power_w(library: Any, card: Any) -> float | None:
    """The card's power; the library gives milliwatts."""
    milliwatts = _number(library.nvmlDeviceGetPowerUsage, card)
    return None if milliwatts is None else milliwatts / 1000


def load_pct(library: Any, card: Any) -> float | None:
    """The share of time in which the card had work."""
    used = _Utilisation()
    done = library.nvmlDeviceGetUtilizationRates(card, ctypes.byref(used)) == DONE
    return float(used.gpu) if done else None


def memory_mib(library: Any, card: Any) -> float | None:
    """The card's memory in use; an older driver counts in what it keeps for itself."""
    ask = getattr(library, "nvmlDeviceGetMemoryInfo_v2", None)
    split = _MemorySplit(version=SECOND_FORM)
    if ask is not None and ask(card, ctypes.byref(split)) == DONE:
        return float(split.used) / MIB
    memory = _Memory()
    done = library.nvmlDeviceGetMemoryInfo(card, ctypes.byref(memory)) == DONE
    return float(memory.used) / MIB if done else None


def stamps(library: Any | None) -> dict[str, str]:
    """The version of the graphics driver."""
    if library is None:
        return {}
    text = ctypes.create_string_buffer(LONGEST_NAME)
    done = library.nvmlSystemGetDriverVersion(text, LONGEST_NAME) == DONE
    return {"driver": text.value.decode(errors="replace")} if done else {}


def _number(ask: Any, card: Any, *which: int) -> float | None:
    value = ctypes.c_uint()
    return float(value.value) if ask(card, *which, ctypes.byref(value)) == DONE else None
