"""What runs during a trial: signs of how it stands, whichever load it is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from evenhand.errors import EvenhandError
from evenhand.rig.trials.asked import End


class NotBegun(EvenhandError):
    """A load that cannot be begun: nothing was tried, so that nothing is recorded."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Signs:
    """How a load stands: rounds of each worker, wrong answers and errors so far, why it is over if it is.

    Of the errors `corrected` were put right by something.

    The moment of `ended` is filled in by whoever asks; `quiet_s` says that it may have come so long ago.
    """

    rounds: tuple[int, ...] = ()
    errors: int = 0
    corrected: int = 0
    ended: End | None = None
    quiet_s: float = 0.0


class Doing(Protocol):
    """A load from its begin to its end."""

    def prepare(self) -> object:
        """Gets it ready. Raises NotBegun or NoAnswers where it cannot be begun."""

    def begin(self) -> None:
        """Lets it go."""

    def signs(self) -> Signs:
        """How it stands now. Does not wait."""

    def end(self) -> None:
        """Ends it with all that it has started; again does no harm."""
