"""Any command is run, ended in time, and its score found by the user's own pattern."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path
from typing import Any

import pytest

from evenhand.errors import BadRecord
from evenhand.rig.scripted import Outcome, Script, run, script_from

NOBODY_STOPS = threading.Event()


def python(code: str) -> str:
    """A command that runs a little Python."""
    return f'"{sys.executable}" -c "{code}"'


def outcome(code: str, **about: object) -> Outcome:
    """What comes of it."""
    return run(script_from({"command": python(code), **about}), stop=NOBODY_STOPS)


def test_the_last_match_of_the_pattern_is_the_score() -> None:
    found = outcome("print('pass 10.5'); print('pass 11,25')", score=r"pass ([\d.,]+)")
    assert (found.score, found.code, found.trouble) == (11.25, 0, "")


def test_a_named_group_is_preferred() -> None:
    assert outcome("print('3 of 7.5')", score=r"(\d) of (?P<score>[\d.]+)").score == 7.5


def test_without_a_pattern_the_time_is_the_score() -> None:
    found = outcome("import time; time.sleep(0.2)")
    assert found.score is not None
    assert 0.2 <= found.score < 5


def test_warm_ups_run_first_and_count_for_nothing(tmp_path: Path) -> None:
    file = tmp_path / "count"
    code = f"f = open(r'{file}', 'a'); f.write('x'); print(open(r'{file}').read().count('x'))"
    assert outcome(code.replace("print", "f.close(); print"), warm_up=2, score=r"(\d+)").score == 3


@pytest.mark.parametrize(
    ("code", "about", "trouble"),
    [
        ("raise SystemExit(3)", {}, "exit code 3"),
        ("print('no number')", {"score": r"score (\d+)"}, "holds nothing that the pattern"),
        ("print('score x')", {"score": r"score (\w)"}, "found 'x', which is no number"),
        ("import time; time.sleep(60)", {"timeout_s": 0.3}, "had not ended after 0.3 s"),
    ],
)
def test_a_go_that_does_not_count_says_why(code: str, about: dict[str, object], trouble: str) -> None:
    found = outcome(code, **about)
    assert trouble in found.trouble
    assert found.score is None


def test_a_command_that_is_not_there_says_so() -> None:
    found = run(Script(command="no-such-program-here --fast"), stop=NOBODY_STOPS)
    assert "cannot be started" in found.trouble


def test_a_pattern_that_cannot_be_read_is_refused() -> None:
    with pytest.raises(BadRecord, match="cannot be read"):
        script_from({"command": "x", "score": "("})


def test_it_can_be_stopped_by_hand_with_its_children() -> None:
    stop = threading.Event()
    threading.Timer(0.3, stop.set).start()
    begin = time.monotonic()
    found = run(Script(command=python("import time; time.sleep(60)")), stop=stop)
    assert "stopped by hand" in found.trouble
    assert time.monotonic() - begin < 10


def test_a_command_that_prints_without_end_fills_no_memory(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("evenhand.rig.scripted.MOST_OUTPUT", 1000)
    found = outcome("[print('line', i) for i in range(2000)]", score=r"line (\d+)")
    assert found.score == 1999
    assert len(found.output) < 1100


def test_ctrl_c_while_a_command_is_only_just_beginning_leaves_none_running(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    begun: list[subprocess.Popen[str]] = []

    class Slow(subprocess.Popen[str]):
        """Begun for the system, and not yet for whoever asked: there Ctrl+C comes."""

        def __init__(self, *words: Any, **how: Any) -> None:
            super().__init__(*words, **how)
            begun.append(self)
            os.kill(os.getpid(), signal.SIGINT)
            time.sleep(0.2)

    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    monkeypatch.setattr(subprocess, "Popen", Slow)
    try:
        with pytest.raises(KeyboardInterrupt):
            outcome("import time; time.sleep(60)")
    finally:
        signal.signal(signal.SIGINT, before)
    (command,) = begun
    assert command.poll() is not None
