"""Run a command that stands still for a known share of the time: `python throttled.py 0.06 command …`.

Every tenth of a second its process group is stopped (SIGSTOP) until it has stood still for that share of
all time so far, and let go on (SIGCONT). How long it really stood still is measured and told at the end.
With a share of 0 everything is the same but the stopping.
"""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time

EVERY_S = 0.1


def main() -> int:
    """The exit code of the command."""
    share, command = float(sys.argv[1]), sys.argv[2:]
    program = subprocess.Popen(command, start_new_session=True)
    begin, stood_s = time.perf_counter(), 0.0
    try:
        while not ended(program, EVERY_S):
            owed = share * (time.perf_counter() - begin) - stood_s
            if owed > 0:
                stood_s += stand_still(program.pid, owed)
    finally:
        if program.poll() is None:
            os.killpg(program.pid, signal.SIGKILL)
    took = time.perf_counter() - begin
    print(f"stood still {100 * stood_s / took:.2f} % of {took:.2f} s", flush=True)
    return program.returncode


def ended(program: subprocess.Popen[bytes], within_s: float) -> bool:
    """Whether it ends within so long."""
    try:
        program.wait(within_s)
    except subprocess.TimeoutExpired:
        return False
    return True


def stand_still(group: int, for_s: float) -> float:
    """Stops a process group for so long; how long it really was."""
    begin = time.perf_counter()
    os.killpg(group, signal.SIGSTOP)
    time.sleep(for_s)
    os.killpg(group, signal.SIGCONT)
    return time.perf_counter() - begin


if __name__ == "__main__":
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(143))
    sys.exit(main())
