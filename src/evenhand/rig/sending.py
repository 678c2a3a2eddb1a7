"""Send what lies on disk, in a thread of its own, and tell the workbench now and then that we are here."""

from __future__ import annotations

import threading
import time

from evenhand.errors import EvenhandError
from evenhand.rig import session
from evenhand.rig.asking import Refused, ShutOut, Unreachable
from evenhand.rig.cost import Meter
from evenhand.rig.operator import say
from evenhand.rig.session import Rig
from evenhand.rig.uploading import Arrived, drain

BEAT_S = 30.0  # how often the workbench hears of us while a run goes on
AGAIN_S = 2.0
LONGEST_WAIT_S = 60.0
PARTING_S = 15.0  # what is sent when we are stopped may take so long


class Sender:
    """Works while its `with` block lasts. `slot` (plan and number) is the run being made, if any."""

    def __init__(self, rig: Rig) -> None:
        self.rig = rig
        self.meter = Meter()
        self.slot: tuple[int, int] | None = None
        self._shut_out: ShutOut | None = None
        self._ending = False
        self._wake = threading.Event()
        self._thread = threading.Thread(target=self._work, daemon=True)

    def __enter__(self) -> Sender:
        self._thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self.slot, self._ending = None, True
        self._wake.set()
        self._thread.join(PARTING_S)

    def home(self) -> None:
        """Waits until nothing is left to send. Raises ShutOut where this rig is not let in any more."""
        while any(True for _ in self.rig.state.spool.parcels()):
            if self._shut_out is not None:
                raise self._shut_out
            if not self._thread.is_alive():
                raise EvenhandError(
                    "sending has stopped", where=str(self.rig.state.folder), todo="start this program again"
                )
            self._wake.set()
            time.sleep(0.1)

    def wake(self) -> None:
        """Sends what there is to send now, and not with the next beat. Does not wait."""
        self._wake.set()

    def _work(self) -> None:
        wait_s = AGAIN_S
        while True:
            last = self._ending
            try:
                drain(self.rig.address, self.rig.state.spool, tell_arrival, tell_refusal)
                wait_s = BEAT_S
                session.here(self.rig, self.meter.cost(), slot=self.slot, ended=last)
            except Refused:  # a workbench that does not ask for this takes the runs all the same
                wait_s = BEAT_S
            except Unreachable:
                wait_s = min(2 * wait_s, LONGEST_WAIT_S) if wait_s != BEAT_S else AGAIN_S
            except ShutOut as error:
                self._shut_out = error
                return
            if last:
                return
            if self._pause(wait_s):
                wait_s = AGAIN_S

    def _pause(self, wait_s: float) -> bool:
        """Waits so long, or until there is something to send; whether it was woken."""
        woken = self._wake.wait(wait_s)
        self._wake.clear()
        return woken


def tell_arrival(arrived: Arrived) -> None:
    """What the workbench made of a parcel, in a line; nothing of a sensor log, which goes with its run."""
    words = arrived.told.get("words")
    if words and any(arrived.told.get(key) for key in ("run", "waits", "again")):
        say(f"  {words}")


def tell_refusal(refused: Refused, kept: str) -> None:
    """What the workbench does not want, and where it lies."""
    say(f"  Not taken: {refused}. It lies in {kept}.")
