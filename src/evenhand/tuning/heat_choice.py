"""Which of a part's temperature logs is believed: the one that tells most, and of those the last.

Watts that change tell time constants, and °C per watt apart from a room that was read wrong; a load at one
power tells where it settles at that power and no more. So a later log of one power does not take the place of
one whose power changed: where it settled is held against what that one says.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

import numpy as np

from evenhand.tuning.bands import Band, Known
from evenhand.tuning.heat_doubts import HOLD, Doubt
from evenhand.tuning.heat_forecast import steady
from evenhand.tuning.heat_load import load_of
from evenhand.tuning.heat_trials import AGREE_C
from evenhand.tuning.network_fit import Fit, varied

LACKS = (
    Doubt.UNRELATED, Doubt.POWER_CONSTANT, Doubt.ROOM_UNKNOWN, Doubt.TOO_SHORT, Doubt.HARDLY_KNOWN,
)  # fmt: skip
"""What keeps a log from telling all that is asked of one, the most of it first."""

SETTLED = 0.2  # of a hold: its last part, in which it has settled if it was held for long


@dataclass(frozen=True, slots=True, kw_only=True)
class Settled:
    """Where a log settled, at which watts in which room, and where another log's network says it does."""

    temperature_c: float
    watts: float
    room_c: float
    says: Band

    @property
    def differs(self) -> bool:
        """Whether the two lie further apart than a forecast is to hold."""
        return abs(self.temperature_c - self.says.value) > AGREE_C


@dataclass(frozen=True, slots=True, kw_only=True)
class Otherwise:
    """What an earlier log and the one that is believed say of the load and the room of the latter."""

    watts: float
    room_c: float
    earlier: Band
    own: Band


def otherwise(own: Fit, earlier: Fit) -> Otherwise | None:
    """Where two logs disagree by more than a forecast is to hold; None where they agree, or cannot be told.

    That is at the load of the one that is believed, in its room. Both need their room, and changing watts.
    """
    if own.log.room_c is None or earlier.log.room_c is None or not (varied(own.log) and varied(earlier.log)):
        return None
    watts, room = load_of(own.log).watts, float(np.median(own.log.room_c))
    said, says = (steady(fit, watts, Known(value=room)) for fit in (earlier, own))
    if abs(said.value - says.value) <= AGREE_C:
        return None
    return Otherwise(watts=watts, room_c=room, earlier=said, own=says)


def most_telling(logs: Sequence[Collection[Doubt]]) -> int:
    """The place of the log that tells most by its doubts; of several that tell as much the first."""
    return min(range(len(logs)), key=lambda at: [lack in logs[at] for lack in LACKS])


def lacking(doubts: Collection[Doubt], beside: Collection[Doubt]) -> Doubt | None:
    """What a log lacks most that another one has not to be doubted for; None where it lacks nothing more."""
    return next((lack for lack in LACKS if lack in doubts and lack not in beside), None)


def settled(fit: Fit, by: Fit) -> Settled | None:
    """Where the log of one fit settled under its load, and what another fit says of it.

    None where its load was not held for three of the other's slowest time constants, or a room is not known.
    """
    log, hold = fit.log, load_of(fit.log)
    if log.room_c is None or by.log.room_c is None or hold.seconds < HOLD * float(by.seconds[-1]):
        return None
    last = slice(hold.end - max(int(SETTLED * (hold.end - hold.begin)), 1), hold.end)
    read = log.temperature_c[last]
    if not np.isfinite(read).any():
        return None
    watts, room = float(np.mean(log.watts[last])), float(np.mean(log.room_c[last]))
    return Settled(
        temperature_c=float(np.nanmean(read)), watts=watts, room_c=room,
        says=steady(by, watts, Known(value=room)),
    )  # fmt: skip
