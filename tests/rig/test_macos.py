"""What macOS' own programs print becomes readings; the outputs here have the form of its manual pages."""

from __future__ import annotations

import pytest

from evenhand.rig.readings import macos

VM_STAT = """\
Mach Virtual Memory Statistics: (page size of 16384 bytes)
    free   active   specul inactive throttle    wired  prgable   faults
  102400    65536     6400   300000        0    64000     1000    12345
"""


def test_memory_in_use_is_pages_times_their_size() -> None:
    reader = macos.MemoryReader()
    found = [reader(line) for line in VM_STAT.splitlines()]
    assert found[:2] == [{}, {}]
    assert found[2]["memory"] == pytest.approx((65536 + 6400 + 64000) * 16384 / 2**20)


def test_lines_before_any_names_are_no_reading() -> None:
    assert macos.MemoryReader()("1 2 3") == {}


def test_what_only_the_administrator_gets_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    def missing(*_: object) -> None:
        raise FileNotFoundError

    monkeypatch.setattr(macos, "Stream", missing)
    found = macos.find()
    assert found.sensors == ()
    assert {each.what for each in found.unreadable} >= {"temperatures", "fans", "clock of processor"}
