"""A further process: it ends with the one that asked, whatever either is at."""

from __future__ import annotations

import select
import subprocess
import sys
import time
from pathlib import Path

import pytest

BUSY = """
import fcntl, sys, time
from evenhand.desk.child import say, spared
spared()
held = open(sys.argv[1], "w")
fcntl.flock(held, fcntl.LOCK_EX)
say("at work")
time.sleep(60)
"""
ASKING = """
import sys, time
from evenhand.desk.child import Child
child = Child("busy", sys.argv[1])
print(child.hear(), flush=True)
time.sleep(60)
"""


@pytest.mark.skipif(not hasattr(select, "poll"), reason="this system cannot be asked who has hung up")
def test_a_further_process_that_is_at_work_ends_at_once_where_who_asked_was_killed(tmp_path: Path) -> None:
    import fcntl

    (tmp_path / "busy.py").write_text(BUSY, encoding="utf-8")
    mark = tmp_path / "held"
    code = f"import sys; sys.path.insert(0, {str(tmp_path)!r})\n{ASKING}"
    command = [sys.executable, "-c", code, str(mark)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as asking:
        assert asking.stdout is not None
        assert asking.stdout.readline() == "at work\n"
        asking.kill()
    with mark.open() as held:
        until = time.monotonic() + 30  # a lock is let go of where its process ends
        while time.monotonic() < until:
            try:
                fcntl.flock(held, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except BlockingIOError:
                time.sleep(0.02)
            else:
                return
    pytest.fail("it went on working for nobody")
