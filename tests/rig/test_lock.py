"""Two rig programs on one folder would send and sweep under each other: the second is told who is there."""

from __future__ import annotations

import errno
import os
import signal
import subprocess
import sys
import types
from io import BytesIO
from pathlib import Path
from typing import IO

import pytest

from evenhand.rig import main
from evenhand.rig.lock import FAR, NAME, Held, alone_on, lock_for, lock_posix, lock_windows

posix = pytest.mark.skipif(sys.platform == "win32", reason="kills as POSIX does")
HOLDS = """
import sys, time
from pathlib import Path
from evenhand.rig.lock import alone_on
with alone_on(Path(sys.argv[1])):
    print("held", flush=True)
    time.sleep(60)
"""


def holder(folder: Path) -> subprocess.Popen[str]:
    """Another process that holds the folder."""
    started = subprocess.Popen([sys.executable, "-c", HOLDS, str(folder)], stdout=subprocess.PIPE, text=True)
    assert started.stdout
    assert started.stdout.readline() == "held\n"
    return started


def test_the_second_is_told_which_process_holds_it_and_what_to_do(tmp_path: Path) -> None:
    first = holder(tmp_path)
    try:
        with pytest.raises(Held) as told, alone_on(tmp_path):
            pytest.fail("two work on one folder")
        assert f"process {first.pid}" in told.value.found
        assert told.value.where == str(tmp_path)
        assert "--state another folder" in told.value.todo
    finally:
        first.kill()
        first.communicate()


def test_another_folder_is_free(tmp_path: Path) -> None:
    with alone_on(tmp_path / "left"), alone_on(tmp_path / "right"):
        assert (tmp_path / "left" / NAME).exists()


@posix
def test_what_a_killed_one_left_behind_is_no_obstacle(tmp_path: Path) -> None:
    first = holder(tmp_path)
    os.kill(first.pid, signal.SIGKILL)
    first.communicate()
    assert str(first.pid) in (tmp_path / NAME).read_text()
    with alone_on(tmp_path):
        assert str(os.getpid()) in (tmp_path / NAME).read_text()
    with alone_on(tmp_path):
        pass


@posix
def test_a_command_that_outlives_its_rig_program_holds_nothing(tmp_path: Path) -> None:
    with alone_on(tmp_path):
        left = subprocess.Popen([sys.executable, "-c", "import time; time.sleep(60)"])
    try:
        with alone_on(tmp_path):
            pass
    finally:
        left.kill()
        left.wait()


def test_who_did_not_say_its_number_is_told_of_all_the_same(tmp_path: Path) -> None:
    def taken(_: IO[bytes]) -> None:
        raise OSError(errno.EACCES, "locked")

    (tmp_path / NAME).write_bytes(b"\x00")
    with pytest.raises(Held, match="a process that did not say its number"), alone_on(tmp_path, lock=taken):
        pass


def test_a_disk_that_knows_no_locks_keeps_nobody_away(tmp_path: Path) -> None:
    def unknown(_: IO[bytes]) -> None:
        raise OSError(errno.ENOLCK, "no locks here")

    with alone_on(tmp_path, lock=unknown):
        assert (tmp_path / NAME).exists()


def test_each_system_has_its_way() -> None:
    assert [lock_for(system) for system in ("linux", "darwin", "win32")] == [
        lock_posix, lock_posix, lock_windows,
    ]  # fmt: skip


def test_windows_locks_a_byte_that_nobody_reads(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[tuple[int, int, int]] = []
    stand_in = types.SimpleNamespace(LK_NBLCK=2, locking=lambda *of: asked.append(of))
    monkeypatch.setitem(sys.modules, "msvcrt", stand_in)

    class Opened(BytesIO):
        def fileno(self) -> int:
            return 7

    file = Opened()
    lock_windows(file)
    assert (asked, file.tell()) == ([(7, 2, 1)], FAR)


def test_the_rig_program_says_it_in_the_terminal(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    first = holder(tmp_path)
    try:
        asked = ["http://127.0.0.1:9/", "--token", "t", "--state", str(tmp_path)]
        assert main.main(asked) == main.TROUBLE
        told = capsys.readouterr()
        assert f"process {first.pid}" in told.out + told.err
    finally:
        first.kill()
        first.communicate()
