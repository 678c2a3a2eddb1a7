"""Run a scripted test: any command, warmed up, ended in time, its score found by the user's own pattern."""

from __future__ import annotations

import math
import os
import re
import shlex
import signal
import subprocess
import threading
import time
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from evenhand.errors import BadRecord
from evenhand.rig.patterns import last_match

MOST_OUTPUT = 4 * 2**20  # characters of output that are kept: the last of them
LOOK_S = 0.5  # how soon a command is ended that takes too long
GRACE_S = 5.0  # between asking a command to end and ending it


@dataclass(frozen=True, slots=True, kw_only=True)
class Script:
    """A command, and what is made of it.

    It is run `warm_up` times for nothing, then once for the run. `score` is a regular expression whose
    group `score` (or first group) holds the number; the last match in the output counts. Without one the
    score is how long the command took, in seconds. `timeout_s` ends a command that hangs.
    """

    command: str
    warm_up: int = 0
    timeout_s: float = 3600.0
    score: str = ""
    folder: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What one go of a command gave; `trouble` says in words why it does not count."""

    score: float | None
    duration_s: float
    code: int | None
    output: str
    trouble: str = ""


def script_from(told: Mapping[str, Any]) -> Script:
    """The script that the workbench sent. Raises BadRecord where its pattern is none."""
    script = Script(
        command=str(told["command"]),
        warm_up=int(told.get("warm_up", 0)),
        timeout_s=float(told.get("timeout_s", 3600.0)),
        score=str(told.get("score", "")),
        folder=str(told.get("folder", "")),
    )
    try:
        re.compile(script.score)
    except re.error as error:
        raise BadRecord(
            f"the pattern for the score cannot be read ({error})", where=script.score, todo="correct it"
        ) from error
    return script


def run(script: Script, *, stop: threading.Event) -> Outcome:
    """One go of the command, warm-ups first. Ends early, and says so, where `stop` is set."""
    for _ in range(script.warm_up):
        warm = go(script, stop=stop)
        if warm.trouble:
            return warm
    return go(script, stop=stop)


def go(script: Script, *, stop: threading.Event) -> Outcome:
    """The command once, as it is."""
    begin, begun = time.monotonic(), _Begun(script)
    try:
        program = begun.program()
        if program is None:
            return _failed(f"the command cannot be started ({begun.trouble})", begin)
        trouble = _wait(program, script, begin, stop)
    except BaseException:  # Ctrl+C must not leave the command running
        begun.end()
        raise
    output = begun.output()
    took = time.monotonic() - begin
    score = None
    if not trouble and program.returncode != 0:
        trouble = f"the command ended with exit code {program.returncode}"
    if not trouble:
        score, trouble = score_of(output, took, script)
    return Outcome(score=score, duration_s=took, code=program.returncode, output=output, trouble=trouble)


def score_of(output: str, took_s: float, script: Script) -> tuple[float | None, str]:
    r"""The score that an output holds, or why there is none.

    >>> score_of("pass 1: 10.5\npass 2: 11.0\n", 3.0, Script(command="x", score=r"pass \d: ([\d.]+)"))
    (11.0, '')
    """
    if not script.score:
        return took_s, ""
    try:
        found = last_match(script.score, output)
    except OSError as trouble:
        return None, str(trouble)
    if found is None:
        return None, "the output holds nothing that the pattern for the score fits"
    return number_of(found.text)


def number_of(text: str | None) -> tuple[float | None, str]:
    """The score that was taken, or why it is none."""
    if text is None:
        return None, "the group of the pattern for the score took no part in its last match"
    try:
        score = float(text.strip().replace(",", "."))
    except ValueError:
        return None, f"the pattern for the score found '{text}', which is no number"
    if not 0 < score < math.inf:
        return None, f"the pattern for the score found '{text}', and a score is more than nothing"
    return score, ""


class _Begun:
    """A command that a thread of its own starts: Ctrl+C, heard by the first alone, leaves none half begun."""

    def __init__(self, script: Script) -> None:
        self.trouble: Exception | None = None
        self._program: subprocess.Popen[str] | None = None
        self._kept: _Kept | None = None
        self._done = threading.Event()  # a join that Ctrl+C breaks off takes the thread for ended
        self._thread = threading.Thread(target=self._begin, args=(script,), daemon=True)

    def program(self) -> subprocess.Popen[str] | None:
        """The command, started; None where it cannot be."""
        self._thread.start()
        self._done.wait()
        return self._program

    def end(self) -> None:
        """Ends it, also where it is only just beginning."""
        if self._thread.ident is not None:
            self._done.wait()
        if self._program is not None:
            end(self._program)
            self.output()  # whoever reads it closes it: nobody else can know when it is read to its end

    def output(self) -> str:
        """The end of what it printed."""
        return "" if self._kept is None else self._kept.all()

    def _begin(self, script: Script) -> None:
        try:
            self._program = _start(script)
            self._kept = _Kept(self._program)
        except (OSError, ValueError) as error:
            self.trouble = error
        finally:
            self._done.set()


def _start(script: Script) -> subprocess.Popen[str]:
    """Starts the command without a shell, in a group of its own so that its children end with it."""
    words = shlex.split(script.command, posix=os.name != "nt")
    group: dict[str, Any] = (
        {"creationflags": subprocess.CREATE_NEW_PROCESS_GROUP}  # type: ignore[attr-defined,unused-ignore]
        if os.name == "nt"
        else {"start_new_session": True}
    )
    return subprocess.Popen(  # noqa: S603  (the user's own command, confirmed on this machine)
        words,
        cwd=Path(script.folder).expanduser() if script.folder else None,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        errors="replace",
        **group,
    )


def _wait(program: subprocess.Popen[str], script: Script, begin: float, stop: threading.Event) -> str:
    """Waits for the command; why it was ended early, or nothing.

    A thread sleeps until it has ended: to look often would disturb it, to look seldom add to its time.
    """
    ended = threading.Event()

    def follow() -> None:
        program.wait()
        ended.set()

    threading.Thread(target=follow, daemon=True).start()
    while not ended.wait(LOOK_S):
        if stop.is_set():
            end(program)
            return "it was stopped by hand"
        if time.monotonic() - begin > script.timeout_s:
            end(program)
            return f"it had not ended after {script.timeout_s:g} s"
    return ""


def end(program: subprocess.Popen[str]) -> None:
    """Asks a command and its children to end, and ends those that do not."""
    if os.name == "nt":
        subprocess.run(  # noqa: S603  (the system's own way to end a program with its children)
            ["taskkill", "/T", "/F", "/PID", str(program.pid)],  # noqa: S607
            capture_output=True, check=False,
        )  # fmt: skip
        program.wait(GRACE_S)
        return
    _tell(program, signal.SIGTERM)
    try:
        with suppress(subprocess.TimeoutExpired):
            program.wait(GRACE_S)
    finally:  # a second Ctrl+C is not to save it, and children may outlive the one that was started
        _tell(program, signal.SIGKILL)
    program.wait(GRACE_S)


def _tell(program: subprocess.Popen[str], wanted: signal.Signals) -> None:
    with suppress(ProcessLookupError, PermissionError):
        os.killpg(program.pid, wanted)


class _Kept:
    """The end of what a command prints, read as it prints so that it never waits for us."""

    def __init__(self, program: subprocess.Popen[str]) -> None:
        assert program.stdout is not None
        self._lines: list[str] = []
        self._length = 0
        self._out = program.stdout
        self._thread = threading.Thread(target=self._follow, daemon=True)
        self._thread.start()

    def all(self) -> str:
        """What is kept of it."""
        self._thread.join(GRACE_S)
        return "".join(self._lines)

    def _follow(self) -> None:
        for line in self._out:
            self._lines.append(line[:MOST_OUTPUT])
            self._length += len(self._lines[-1])
            while self._length > MOST_OUTPUT and len(self._lines) > 1:
                self._length -= len(self._lines.pop(0))
        self._out.close()


def _failed(words: str, begin: float) -> Outcome:
    return Outcome(score=None, duration_s=time.monotonic() - begin, code=None, output="", trouble=words)
