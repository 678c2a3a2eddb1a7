"""Linux: the kernel's own files under /proc and /sys, whose forms are documented with the kernel."""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Iterator
from pathlib import Path

from evenhand.rig.readings.sensor import (
    CLOCK,
    FAN,
    LOAD,
    MEMORY,
    POWER,
    TEMPERATURE,
    Found,
    Sensor,
    Unreadable,
    told_apart,
)

KHZ, MILLI, MICRO, MIB = 1e-3, 1e-3, 1e-6, 2**20


def find(root: Path = Path("/"), *, clock: Callable[[], float] = time.monotonic) -> Found:
    """Everything readable below `root`; `clock` counts seconds."""
    processor = of_processor(root)
    monitored = of_monitors(root / "sys/class/hwmon")
    zones = of_zones(root / "sys/class/thermal")
    energy = of_energy(root / "sys/class/powercap", clock)
    graphics = of_graphics(root / "sys/class/drm")
    found = processor + monitored + zones + energy + graphics
    return Found(sensors=told_apart(found.sensors), unreadable=found.unreadable)


def of_processor(root: Path) -> Found:
    """Load and clock of the processor, and memory in use."""
    sensors = [
        Sensor(role=LOAD, about="processor", source="/proc/stat", read=Load(root / "proc/stat")),
        Sensor(role=MEMORY, about="system", source="/proc/meminfo", read=lambda: memory_mib(root)),
    ]
    files = sorted((root / "sys/devices/system/cpu").glob("cpu[0-9]*/cpufreq/scaling_cur_freq"))
    if not files:
        why = "the kernel offers no clock under /sys/devices/system/cpu"
        return Found(sensors=tuple(sensors), unreadable=(Unreadable(what="clock of processor", why=why),))
    where = "/sys/devices/system/cpu/cpu*/cpufreq/scaling_cur_freq"
    sensors.append(Sensor(role=CLOCK, about="processor", source=f"{where}, mean", read=lambda: mean(files)))
    sensors.append(
        Sensor(role=CLOCK, about="fastest core", source=f"{where}, greatest", read=lambda: greatest(files))
    )
    return Found(sensors=tuple(sensors))


class Load:
    """The share of time that the processor was not idle, since it was last asked."""

    __slots__ = ("_before", "_file")

    def __init__(self, file: Path) -> None:
        self._file = file
        self._before = times(file)

    def __call__(self) -> float | None:
        """In percent; None where no time has passed."""
        now = times(self._file)
        if now is None or self._before is None:
            return None
        whole, idle = (after - before for after, before in zip(now, self._before, strict=True))
        self._before = now
        return 100.0 * (whole - idle) / whole if whole > 0 else None


def times(file: Path) -> tuple[int, int] | None:
    """Ticks in all and idle ones, since the machine was started."""
    text = text_of(file)
    if not text or not text.startswith("cpu "):
        return None
    ticks = [int(word) for word in text.splitlines()[0].split()[1:9]]
    return sum(ticks), ticks[3] + ticks[4]


def memory_mib(root: Path) -> float | None:
    """Memory in use: all of it less what is available."""
    text = text_of(root / "proc/meminfo") or ""
    said = {line.split(":")[0]: line.split()[1] for line in text.splitlines() if ":" in line}
    try:
        return (int(said["MemTotal"]) - int(said["MemAvailable"])) / 1024
    except (KeyError, ValueError):
        return None


def mean(files: list[Path]) -> float | None:
    """The mean of files that hold kHz, in MHz."""
    values = [value for value in map(number_of, files) if value is not None]
    return sum(values) / len(values) * KHZ if values else None


def greatest(files: list[Path]) -> float | None:
    """The greatest of files that hold kHz, in MHz."""
    values = [value for value in map(number_of, files) if value is not None]
    return max(values) * KHZ if values else None


_MONITORED = (
    ("temp*_input", TEMPERATURE, MILLI),
    ("fan*_input", FAN, 1.0),
    ("power*_average", POWER, MICRO),
    ("power*_input", POWER, MICRO),
    ("freq*_input", CLOCK, MICRO),
)


def of_monitors(folder: Path) -> Found:
    """Temperatures, fans, power and clocks of the kernel's hardware monitors, under the names they give."""
    sensors, unreadable = [], []
    for chip in sorted(folder.glob("hwmon*")):
        name = (text_of(chip / "name") or chip.name).strip()
        for pattern, role, scale in _MONITORED:
            for file in sorted(chip.glob(pattern)):
                about = f"{name} {label_of(file)}"
                source = f"/sys/class/hwmon/{chip.name}/{file.name}"
                if number_of(file) is None:
                    unreadable.append(Unreadable(what=f"{role} of {about}", why=f"{source} {why_not(file)}"))
                else:
                    sensors.append(Sensor(role=role, about=about, source=source, read=scaled(file, scale)))
    if not sensors:
        why = "the kernel shows no hardware monitor"
        unreadable.append(Unreadable(what="temperatures and fans", why=why))
    return Found(sensors=tuple(sensors), unreadable=tuple(unreadable))


def label_of(file: Path) -> str:
    """What a monitor calls one of its readings, or the file's own stem."""
    stem = file.name.rsplit("_", 1)[0]
    return (text_of(file.with_name(f"{stem}_label")) or stem).strip()


def of_zones(folder: Path) -> Found:
    """Temperatures of thermal zones, under their types."""
    sensors = []
    for zone in sorted(folder.glob("thermal_zone*")):
        file = zone / "temp"
        if number_of(file) is not None:
            about = f"zone {(text_of(zone / 'type') or zone.name).strip()}"
            source = f"/sys/class/thermal/{zone.name}/temp"
            sensors.append(Sensor(role=TEMPERATURE, about=about, source=source, read=scaled(file, MILLI)))
    return Found(sensors=tuple(sensors))


def of_energy(folder: Path, clock: Callable[[], float]) -> Found:
    """Power from the kernel's energy counters, of whole packages only."""
    sensors, unreadable = [], []
    for domain in sorted(folder.glob("*:[0-9]")):
        file = domain / "energy_uj"
        name = (text_of(domain / "name") or domain.name).strip()
        source = f"/sys/class/powercap/{domain.name}/energy_uj"
        if number_of(file) is None:
            unreadable.append(Unreadable(what=f"power of {name}", why=f"{source} {why_not(file)}"))
        else:
            wraps = number_of(domain / "max_energy_range_uj") or 2.0**32
            read = Power(file, wraps=wraps, clock=clock)
            sensors.append(Sensor(role=POWER, about=name, source=source, read=read))
    return Found(sensors=tuple(sensors), unreadable=tuple(unreadable))


class Power:
    """Watts from a counter of microjoules that begins anew at `wraps`."""

    __slots__ = ("_before", "_clock", "_file", "_wraps")

    def __init__(self, file: Path, *, wraps: float, clock: Callable[[], float]) -> None:
        self._file, self._wraps, self._clock = file, wraps, clock
        self._before = (clock(), number_of(file))

    def __call__(self) -> float | None:
        """The mean since it was last asked; None where no time has passed."""
        now, energy = self._clock(), number_of(self._file)
        then, before = self._before
        self._before = (now, energy)
        if energy is None or before is None or now <= then:
            return None
        return (energy - before) % self._wraps * MICRO / (now - then)


def of_graphics(folder: Path) -> Found:
    """Load and memory of graphics cards whose driver shows them in files."""
    sensors = []
    for card in sorted(folder.glob("card[0-9]")):
        for file, role, scale in (("gpu_busy_percent", LOAD, 1.0), ("mem_info_vram_used", MEMORY, 1 / MIB)):
            place = card / "device" / file
            if number_of(place) is not None:
                source = f"/sys/class/drm/{card.name}/device/{file}"
                about = f"graphics {card.name}"
                sensors.append(Sensor(role=role, about=about, source=source, read=scaled(place, scale)))
    return Found(sensors=tuple(sensors))


def scaled(file: Path, scale: float) -> Callable[[], float | None]:
    """Reads a number from a file and brings it to its unit."""

    def read() -> float | None:
        value = number_of(file)
        return None if value is None else value * scale

    return read


def number_of(file: Path) -> float | None:
    """The number a file holds, or None."""
    try:
        return float(file.read_text(encoding="ascii"))
    except (OSError, ValueError):
        return None


def text_of(file: Path) -> str | None:
    """The text a file holds, or None."""
    try:
        return file.read_text(encoding="utf-8", errors="replace")
    except OSError:
        return None


def why_not(file: Path) -> str:
    """Why a file gives no number, in words."""
    try:
        text = file.read_text(encoding="ascii", errors="replace").strip()
    except PermissionError:
        return "may be read by the administrator only"
    except OSError as error:
        return f"cannot be read ({error.strerror})"
    return f"holds no number ('{text[:20]}')"


def stamps(root: Path = Path("/")) -> dict[str, str]:
    """System, kernel and firmware as the machine names them; what cannot be read is left out."""
    release = dict(_assignments(text_of(root / "etc/os-release") or ""))
    board = root / "sys/class/dmi/id"
    found = {
        "os": release.get("PRETTY_NAME", ""),
        "kernel": (text_of(root / "proc/sys/kernel/osrelease") or "").strip(),
        "firmware": " ".join(
            (text_of(board / part) or "").strip() for part in ("bios_version", "bios_date")
        ).strip(),
        "power plan": (text_of(root / "sys/devices/system/cpu/cpu0/cpufreq/scaling_governor") or "").strip(),
    }
    return {key: value for key, value in found.items() if value}


def _assignments(text: str) -> Iterator[tuple[str, str]]:
    for line in text.splitlines():
        key, equals, value = line.partition("=")
        if equals:
            yield key.strip(), value.strip().strip('"')


def boot(root: Path = Path("/")) -> str | None:
    """What names this start of the machine."""
    return (text_of(root / "proc/sys/kernel/random/boot_id") or "").strip() or None


def own_memory_mib() -> float:
    """This process's memory, what it shares with others included."""
    pages = (text_of(Path("/proc/self/statm")) or "0 0").split()[1]
    return int(pages) * os.sysconf("SC_PAGE_SIZE") / MIB
