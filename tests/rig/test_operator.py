"""Whoever stands at the terminal is asked one thing at a time, and heard meanwhile."""

from __future__ import annotations

import os
import queue
import subprocess
import sys
import time
from collections.abc import Callable

import pytest

from evenhand.rig.operator import Keys, NobodyThere, Operator


def typing(monkeypatch: pytest.MonkeyPatch) -> queue.Queue[str]:
    """A keyboard: what is put here is typed."""
    lines: queue.Queue[str] = queue.Queue()
    monkeypatch.setattr("evenhand.rig.operator.Keys.line", lambda *_: lines.get(timeout=20))
    return lines


def soon(what: Callable[[], bool]) -> bool:
    """Whether it comes true within a while."""
    end = time.monotonic() + 5
    while not what():
        if time.monotonic() > end:
            return False
        time.sleep(0.01)
    return True


def test_what_is_typed_is_the_answer(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    typing(monkeypatch).put("yes")
    assert Operator().ask("Well? ") == "yes"
    assert capsys.readouterr().out == "Well? "


def test_a_key_is_heard_while_something_else_goes_on(monkeypatch: pytest.MonkeyPatch) -> None:
    keyboard, operator = typing(monkeypatch), Operator()
    assert not operator.pressed()
    keyboard.put("")
    assert soon(operator.pressed)


def test_a_question_is_answered_by_what_is_typed_after_it(monkeypatch: pytest.MonkeyPatch) -> None:
    keyboard, operator = typing(monkeypatch), Operator()
    assert not operator.pressed()
    keyboard.put("too early")
    assert soon(lambda: not operator._lines.empty())
    keyboard.put("in time")
    assert operator.ask("? ") == "in time"


def test_a_question_may_have_an_end_and_what_is_typed_later_answers_the_next(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    keyboard, operator = typing(monkeypatch), Operator()
    with pytest.raises(NobodyThere, match="nobody has answered in time"):
        operator.ask("? ", longest_s=0.05)
    keyboard.put("late")
    assert soon(lambda: not operator._lines.empty())
    keyboard.put("in time")
    assert operator.ask("? ") == "in time"


def test_nobody_there_is_no_answer(monkeypatch: pytest.MonkeyPatch) -> None:
    def closed(*_: object) -> str:
        raise EOFError

    monkeypatch.setattr("evenhand.rig.operator.Keys.line", closed)
    operator = Operator()
    assert not operator.pressed()
    with pytest.raises(NobodyThere, match="nobody answers"):
        operator.ask("? ")
    assert not operator.pressed()


def test_lines_of_a_pipe_are_heard_one_by_one_whatever_pieces_they_come_in(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    out, into = os.pipe()
    with os.fdopen(out, encoding="utf-8") as stdin:
        monkeypatch.setattr("sys.stdin", stdin)
        os.write(into, "yes\r\n\nÄpfel".encode())
        os.close(into)
        keys = Keys()
        assert [keys.line() for _ in range(3)] == ["yes", "", "Äpfel"]
        with pytest.raises(EOFError):
            keys.line()


def test_the_program_ends_as_it_wants_to_while_a_pipe_may_still_bring_a_key() -> None:
    listening = (
        "import sys, time; from evenhand.rig.operator import Operator; "
        "Operator().pressed(); time.sleep(0.3); sys.exit(3)"
    )
    with subprocess.Popen(
        [sys.executable, "-c", listening], stdin=subprocess.PIPE, stderr=subprocess.PIPE
    ) as program:
        assert program.wait(30) == 3
        assert program.stderr is not None
        assert program.stderr.read() == b""
