"""A trial under a command of the user's, run again and again: an exit code other than 0 is an error."""

from __future__ import annotations

import threading

from evenhand.rig.scripted import Outcome, Script, go
from evenhand.rig.trials.asked import CRASH, ERROR, End
from evenhand.rig.trials.doing import NotBegun, Signs

LONGEST_S = 400 * 24 * 3600.0  # the trial's own time ends it
LAST_LINE = 200  # characters of what it printed that are told


class Command:
    """The command, started without a shell as a scripted test is; one go after the other."""

    def __init__(self, command: str, folder: str = "") -> None:
        self._script = Script(command=command, folder=folder, timeout_s=LONGEST_S)
        self._stop = threading.Event()
        self._rounds = 0
        self._last: Outcome | None = None
        self._thread = threading.Thread(target=self._work, daemon=True)

    def prepare(self) -> None:
        """Nothing to get ready."""

    def begin(self) -> None:
        """Starts it."""
        self._thread.start()

    def signs(self) -> Signs:
        """How often it has ended well, and whether it has ended otherwise.

        Raises NotBegun where it cannot be started at all.
        """
        last = self._last
        if last is None or self._stop.is_set():
            return Signs(rounds=(self._rounds,))
        if last.code is None:
            raise NotBegun(last.trouble, where=self._script.command, todo="correct it")
        outcome = CRASH if last.code < 0 else ERROR
        said = last.output.strip().splitlines()[-1:] or [""]
        why = f"{last.trouble}; the last it printed: {said[0][:LAST_LINE]}" if said[0] else last.trouble
        return Signs(rounds=(self._rounds,), errors=outcome == ERROR, ended=End(outcome=outcome, why=why))

    def end(self) -> None:
        """Ends it with its children."""
        self._stop.set()
        if self._thread.ident is not None:
            self._thread.join()

    def _work(self) -> None:
        while not self._stop.is_set():
            gone = go(self._script, stop=self._stop)
            if gone.code != 0 or self._stop.is_set():
                self._last = gone
                return
            self._rounds += 1


class ByHand:
    """Whatever the person at the rig runs by other means: only the beats are ours."""

    def prepare(self) -> None:
        """Nothing to get ready."""

    def begin(self) -> None:
        """Nothing to start."""

    def signs(self) -> Signs:
        """Nothing is known of it."""
        return Signs()

    def end(self) -> None:
        """Nothing to end."""
