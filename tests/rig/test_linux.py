"""What a Linux machine shows in its files becomes sensors, each with its source, or a reason."""

from __future__ import annotations

from pathlib import Path

import pytest

from evenhand.rig.readings import linux
from evenhand.rig.readings.sensor import Found


def put(root: Path, name: str, text: str) -> Path:
    """A file below the root."""
    place = root / name
    place.parent.mkdir(parents=True, exist_ok=True)
    place.write_text(text, encoding="utf-8")
    return place


@pytest.fixture
def root(tmp_path: Path) -> Path:
    """A machine with two cores, a board with a fan, an energy counter and a graphics card."""
    put(tmp_path, "proc/stat", "cpu  100 0 100 800 0 0 0 0 0 0\ncpu0 1 2 3 4\n")
    put(tmp_path, "proc/meminfo", "MemTotal:       16777216 kB\nMemFree: 1 kB\nMemAvailable:   8388608 kB\n")
    for core, khz in (("cpu0", 4_700_000), ("cpu1", 4_100_000)):
        put(tmp_path, f"sys/devices/system/cpu/{core}/cpufreq/scaling_cur_freq", f"{khz}\n")
    put(tmp_path, "sys/class/hwmon/hwmon0/name", "board\n")
    put(tmp_path, "sys/class/hwmon/hwmon0/temp1_input", "61250\n")
    put(tmp_path, "sys/class/hwmon/hwmon0/temp1_label", "Die\n")
    put(tmp_path, "sys/class/hwmon/hwmon0/fan1_input", "1180\n")
    put(tmp_path, "sys/class/powercap/intel-rapl:0/name", "package-0\n")
    put(tmp_path, "sys/class/powercap/intel-rapl:0/energy_uj", "1000000\n")
    put(tmp_path, "sys/class/powercap/intel-rapl:0/max_energy_range_uj", "262143328850\n")
    put(tmp_path, "sys/class/drm/card1/device/gpu_busy_percent", "97\n")
    put(tmp_path, "sys/class/thermal/thermal_zone0/type", "case\n")
    put(tmp_path, "sys/class/thermal/thermal_zone0/temp", "34000\n")
    return tmp_path


def readings(found: Found) -> dict[str, float | None]:
    """What every sensor says now."""
    return {sensor.header: sensor.read() for sensor in found.sensors}


def test_every_file_becomes_a_quantity_in_its_unit(root: Path) -> None:
    found = readings(linux.find(root))
    assert found["clock of processor [MHz]"] == pytest.approx(4400)
    assert found["clock of fastest core [MHz]"] == pytest.approx(4700)
    assert found["memory of system [MiB]"] == pytest.approx(8192)
    assert found["temperature of board Die [°C]"] == pytest.approx(61.25)
    assert found["fan of board fan1 [rpm]"] == pytest.approx(1180)
    assert found["load of graphics card1 [%]"] == pytest.approx(97)
    assert found["temperature of zone case [°C]"] == pytest.approx(34)


def test_each_says_where_it_is_read(root: Path) -> None:
    sources = {s.header: s.source for s in linux.find(root).sensors}
    assert sources["temperature of board Die [°C]"] == "/sys/class/hwmon/hwmon0/temp1_input"


def test_load_is_the_share_since_it_was_last_asked(root: Path) -> None:
    load = linux.Load(root / "proc/stat")
    put(root, "proc/stat", "cpu  160 0 120 820 0 0 0 0 0 0\n")
    assert load() == pytest.approx(80.0)
    assert load() is None  # no time has passed


def test_power_is_energy_over_time_also_where_the_counter_begins_anew(root: Path) -> None:
    seconds = iter([0.0, 2.0, 4.0])
    file = root / "sys/class/powercap/intel-rapl:0/energy_uj"
    power = linux.Power(file, wraps=10_000_000, clock=lambda: next(seconds))
    file.write_text("9000000")
    assert power() == pytest.approx(4.0)
    file.write_text("1000000")
    assert power() == pytest.approx(1.0)


def test_what_may_not_be_read_is_told_with_its_reason(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(self: Path, **how: str) -> str:
        raise PermissionError(13, "Permission denied")

    file = root / "sys/class/powercap/intel-rapl:0/energy_uj"
    monkeypatch.setattr(type(file), "read_text", refuse)
    assert linux.why_not(file) == "may be read by the administrator only"


def test_a_machine_that_shows_nothing_says_so(tmp_path: Path) -> None:
    put(tmp_path, "proc/stat", "cpu  1 0 1 8 0 0 0 0 0 0\n")
    told = {each.what for each in linux.find(tmp_path).unreadable}
    assert told == {"clock of processor", "temperatures and fans"}


def test_a_monitor_that_gives_no_number_is_told(root: Path) -> None:
    put(root, "sys/class/hwmon/hwmon0/temp2_input", "n/a\n")
    (one,) = linux.find(root).unreadable
    assert one.what == "temperature of board temp2"
    assert one.why == "/sys/class/hwmon/hwmon0/temp2_input holds no number ('n/a')"


def test_the_machine_names_its_system_firmware_and_boot(tmp_path: Path) -> None:
    put(tmp_path, "etc/os-release", 'NAME="Tidewater"\nPRETTY_NAME="Tidewater 4"\n')
    put(tmp_path, "proc/sys/kernel/osrelease", "6.9.1\n")
    put(tmp_path, "sys/class/dmi/id/bios_version", "F3\n")
    put(tmp_path, "sys/class/dmi/id/bios_date", "05/04/2031\n")
    put(tmp_path, "proc/sys/kernel/random/boot_id", "ab-12\n")
    assert linux.stamps(tmp_path) == {"os": "Tidewater 4", "kernel": "6.9.1", "firmware": "F3 05/04/2031"}
    assert linux.boot(tmp_path) == "ab-12"


def test_two_readings_of_one_name_get_columns_of_their_own(root: Path) -> None:
    for part in ("name", "temp1_input", "temp1_label"):
        text = (root / f"sys/class/hwmon/hwmon0/{part}").read_text(encoding="utf-8")
        put(root, f"sys/class/hwmon/hwmon1/{part}", text)
    headers = [s.header for s in linux.find(root).sensors]
    assert len(headers) == len(set(headers))
    assert "temperature of board Die 2 [°C]" in headers
