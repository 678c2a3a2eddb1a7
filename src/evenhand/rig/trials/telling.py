"""Tells the workbench how a trial stands, in a thread of its own, and hears whether it is to be ended.

Nothing here can hold a trial up: whatever the network does, beats are written and the load goes on.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Mapping
from typing import Any

from evenhand.rig.asking import Address, Refused, ShutOut, Unreachable, ask, refusal
from evenhand.rig.operator import say
from evenhand.rig.trials.asked import Asked, asked_of, hours

PLACE = "/api/rig/trials/here"
EVERY_S = 5.0  # the reviewer looks at a page; the journal keeps each second
LONGEST_WAIT_S = 30.0  # between two attempts while nobody answers
PARTING_S = 3.0  # what is told last may take so long
LONGEST_WORDS = 500


class Teller:
    """Works while its `with` block lasts; without an address it tells nobody.

    `stop` is called with who wants the trial ended.
    """

    def __init__(
        self, address: Address | None, trial: Asked, stop: Callable[[str], None], *, every_s: float = EVERY_S
    ) -> None:
        self._address, self._trial, self._stop, self._every_s = address, trial, stop, every_s
        self._beat: Mapping[str, Any] = {}
        self._over = False
        self._begun = threading.Event()
        self._wake = threading.Event()
        self._silent = False
        self._thread = threading.Thread(target=self._work, daemon=True)

    def __enter__(self) -> Teller:
        if self._address is not None:
            self._thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self.over()
        if self._thread.is_alive():
            self._thread.join(PARTING_S)

    def note(self, beat: Mapping[str, Any]) -> None:
        """How it stands now; told with the next word. Does not wait."""
        self._beat = beat
        self._begun.set()

    def over(self) -> None:
        """It has ended: that is told at once, if anything was told. Does not wait."""
        self._over = True
        self._begun.set()
        self._wake.set()

    def _work(self) -> None:
        self._begun.wait()
        wait_s = self._every_s
        while self._beat:
            last = self._over
            try:
                self._tell(last=last)
                wait_s = self._every_s
            except Unreachable:
                self._told_trouble("The workbench is not told how this trial stands: it does not answer now.")
                wait_s = min(2 * wait_s, LONGEST_WAIT_S)
            except (Refused, ShutOut) as error:
                say(f"  The workbench does not show this trial, and has no button for it: {error}.")
                return
            except Exception as error:  # noqa: BLE001  (whatever it is, the trial goes on)
                say(f"  The workbench is told no more how this trial stands ({error!r}).")
                return
            if last:
                return
            self._wake.wait(wait_s)

    def _tell(self, *, last: bool) -> None:
        assert self._address is not None
        answer = ask(self._address, "POST", PLACE, body=told(self._trial, self._beat, over=last))
        if answer.status >= 400:
            raise refusal(answer, self._trial.words)
        if self._silent:
            self._silent = False
            say("  The workbench answers again.")
        wanted = answer.body.get("stop") if isinstance(answer.body, dict) else ""
        if wanted and not last:
            self._stop(str(wanted)[:LONGEST_WORDS])

    def _told_trouble(self, words: str) -> None:
        if not self._silent and not self._over:
            say(f"  {words} The trial goes on.")
        self._silent = True


def told(trial: Asked, beat: Mapping[str, Any], *, over: bool) -> dict[str, Any]:
    """What the workbench is told."""
    return {
        **asked_of(trial),
        "hours": hours(float(beat.get("held_s", 0.0))),
        "errors": int(beat.get("errors", 0)),
        "hottest_c": beat.get("hottest_c"),
        "over": over,
    }
