"""A trial under a command of the user's, run again and again: an exit code other than 0 is an error.

Where it counts errors and goes on, and the user says by which pattern it tells them, they are added up; an
exit code other than 0 ends the trial then only where it counted none.
"""

from __future__ import annotations

import threading

from evenhand.rig.scripted import Outcome, Script, go
from evenhand.rig.trials.asked import CRASH, ERROR, STOPPED, End
from evenhand.rig.trials.counting import Count, Counted
from evenhand.rig.trials.doing import NotBegun, Signs

LONGEST_S = 400 * 24 * 3600.0  # the trial's own time ends it
LAST_LINE = 200  # characters of what it printed that are told


class Command:
    """The command, started without a shell as a scripted test is; one go after the other."""

    def __init__(self, command: str, folder: str = "", count: Count | None = None) -> None:
        self._count = count or Count()
        self._counted = Counted()
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
        last, seen = self._last, self._counted
        if last is None or self._stop.is_set():
            return Signs(rounds=(self._rounds,), errors=seen.errors, corrected=seen.corrected)
        if seen.trouble:
            return Signs(
                rounds=(self._rounds,), errors=seen.errors, corrected=seen.corrected,
                ended=End(outcome=STOPPED, why=seen.trouble),
            )  # fmt: skip
        if last.code is None:
            raise NotBegun(last.trouble, where=self._script.command, todo="correct it")
        outcome = CRASH if last.code < 0 else ERROR
        said = last.output.strip().splitlines()[-1:] or [""]
        why = f"{last.trouble}; the last it printed: {said[0][:LAST_LINE]}" if said[0] else last.trouble
        return Signs(
            rounds=(self._rounds,), errors=seen.errors + (outcome == ERROR), corrected=seen.corrected,
            ended=End(outcome=outcome, why=why),
        )  # fmt: skip

    def end(self) -> None:
        """Ends it with its children."""
        self._stop.set()
        if self._thread.ident is not None:
            self._thread.join()

    def _work(self) -> None:
        while not self._stop.is_set():
            gone = go(self._script, stop=self._stop)
            if self._stop.is_set() or not self._goes_on(gone):
                self._last = gone
                return
            self._rounds += 1

    def _goes_on(self, gone: Outcome) -> bool:
        """Adds up what it counted; whether it may be run once more."""
        if gone.code is None or gone.code < 0:
            return False
        now = self._count.of(gone.output) if self._count else Counted()
        so_far = self._counted
        self._counted = Counted(
            errors=so_far.errors + now.errors, corrected=so_far.corrected + now.corrected, trouble=now.trouble
        )
        return not now.trouble and (gone.code == 0 or now.errors > 0)


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
