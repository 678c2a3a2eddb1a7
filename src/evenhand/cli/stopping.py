"""A wish to stop, from the keyboard or the system, is heard wherever it comes in.

Python raises it between any two steps, and what is raised while it tidies an object away is only printed and
then forgotten. Such a wish is uttered once more, a moment later.
"""

from __future__ import annotations

import signal
import sys

STOPPED, ENDED = 130, 143  # exit codes: by the keyboard, by the system
AGAIN_S = 0.05  # by then the object is tidied away


class Ended(KeyboardInterrupt):
    """The system asked us to end: everything is left as where the keyboard did."""


def heed() -> None:
    """From now on the system's wish is heard as the keyboard's, and neither is lost."""
    if signal.getsignal(signal.SIGTERM) is signal.SIG_DFL:
        signal.signal(signal.SIGTERM, end)
    if hasattr(signal, "setitimer"):  # elsewhere the system ends a program without asking it
        sys.unraisablehook = unheard


def end(_signal: int, _frame: object) -> None:
    """Leave as from the keyboard, so that further processes are ended too and it is said what was kept."""
    raise Ended


def unheard(about: sys.UnraisableHookArgs) -> None:
    """A wish to stop that was raised where nobody could catch it is uttered again; all else is printed."""
    kind = about.exc_type
    if not issubclass(kind, KeyboardInterrupt):
        sys.__unraisablehook__(about)
        return

    def again(_signal: int, _frame: object) -> None:
        raise kind

    signal.signal(signal.SIGALRM, again)
    signal.setitimer(signal.ITIMER_REAL, AGAIN_S)
