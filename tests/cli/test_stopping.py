"""A wish to stop that comes in where Python can only print it is heard all the same."""

from __future__ import annotations

import signal
import subprocess
import sys
import textwrap

import pytest

pytestmark = pytest.mark.skipif(
    sys.platform == "win32", reason="the system ends a program there without asking"
)

PROGRAM = """
    import os, signal, time
    from evenhand.cli.stopping import heed

    class Tidied:
        def __del__(self):
            os.kill(os.getpid(), signal.{name})
            for _ in range(1000):  # here it is raised, and lost
                pass

    signal.signal(signal.SIGINT, signal.default_int_handler)  # whoever starts it may have it ignored
    heed()
    try:
        thing = Tidied()
        del thing
        time.sleep(20)
        print("went on")
    except KeyboardInterrupt as wish:
        print("heard", type(wish).__name__)
"""


@pytest.mark.parametrize(
    ("how", "heard"), [(signal.SIGTERM, "heard Ended"), (signal.SIGINT, "heard KeyboardInterrupt")]
)
def test_a_wish_that_comes_while_an_object_is_tidied_away_is_heard(how: signal.Signals, heard: str) -> None:
    program = textwrap.dedent(PROGRAM).format(name=how.name)
    done = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=False, timeout=60
    )
    assert (done.stdout.strip(), done.stderr) == (heard, "")


def test_all_else_that_nobody_can_catch_is_printed() -> None:
    program = """
        from evenhand.cli.stopping import heed

        class Tidied:
            def __del__(self):
                raise ValueError("odd")

        heed()
        Tidied()
    """
    done = subprocess.run(
        [sys.executable, "-c", textwrap.dedent(program)],
        capture_output=True,
        text=True,
        check=True,
        timeout=60,
    )
    assert "ValueError: odd" in done.stderr
