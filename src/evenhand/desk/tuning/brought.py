"""What a study's folder brought of tuned parts: what was new, known, taken back or put back."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import astuple, dataclass

from evenhand.publish.tuning.trials import turn_words
from evenhand.publish.tuning.words import limit_words, point_words
from evenhand.records.heat import LoggedHeat
from evenhand.records.trials import Limit, Trial, Tuned
from evenhand.records.turns import Turn


@dataclass(frozen=True, slots=True, kw_only=True)
class TunedBrought:
    """How many tuned parts, limits, trials and temperature logs were new, and of all of these known already.

    `gone` of the new ones count no more: the folder says so. `turned` tells in words what was on record and
    is taken back or put back by the folder, `otherwise` what it tells so otherwise than it stands here:
    there what stands here stays.
    """

    parts: int = 0
    limits: int = 0
    trials: int = 0
    logs: int = 0
    gone: int = 0
    known: int = 0
    turned: tuple[str, ...] = ()
    otherwise: tuple[str, ...] = ()

    def __add__(self, other: TunedBrought) -> TunedBrought:
        names = self.__slots__
        pairs = zip(names, astuple(self), astuple(other), strict=True)
        return TunedBrought(**{name: own + more for name, own, more in pairs})

    @property
    def new(self) -> int:
        """How many of anything were new."""
        return self.parts + self.limits + self.trials + self.logs

    def __bool__(self) -> bool:
        """Whether the folder names anything of tuned parts."""
        return bool(self.new or self.known)


NOTHING = TunedBrought()


def brought_words(brought: TunedBrought) -> str:
    """What of tuned parts was new, each sort counted, and how much was known.

    >>> brought_words(TunedBrought(trials=12, limits=1, gone=2))
    '1 new limit, 12 new trials (2 of the new ones taken back), 0 known already'
    """
    sorts = (
        (brought.parts, "part"), (brought.limits, "limit"), (brought.trials, "trial"),
        (brought.logs, "temperature log"),
    )  # fmt: skip
    new = ", ".join(f"{n} new {sort}{'' if n == 1 else 's'}" for n, sort in sorts if n)
    gone = f" ({brought.gone} of the new ones taken back)" if brought.gone else ""
    return f"{new or 'nothing new'}{gone}, {brought.known} known already"


OTHERWISE = "the folder tells otherwise when it was taken back or put back; what stands here stays"


def turned(what: str, told: Sequence[Turn], here: Sequence[Turn]) -> TunedBrought:
    """What a folder's turns of something on record come to, where it knows only these of it."""
    if not agree(told, here):
        return TunedBrought(otherwise=(what,))
    more = turn_words(told[len(here) :])
    return TunedBrought(turned=(f"{what}: {'; '.join(more)}",) if more else ())


def agree(told: Iterable[Turn], here: Iterable[Turn]) -> bool:
    """Whether one of two accounts of the same thing only goes on where the other ends.

    >>> from datetime import UTC, datetime
    >>> back = Turn(counts=False, reason="a typing error", at=datetime(2031, 5, 4, tzinfo=UTC))
    >>> agree((), (back,)), agree((back,), ())
    (True, True)
    """
    return all(one == other for one, other in zip(told, here, strict=False))


def trial_named(trial: Trial, *, offset: bool) -> str:
    """A trial on record as a sentence calls it."""
    at = point_words(trial.clock_mhz, trial.voltage_mv, offset=offset)
    return f"trial {trial.id} of the {trial.part} of {trial.setup}, {at}"


def limit_named(limit: Limit, part: Tuned) -> str:
    """A limit on record as a sentence calls it."""
    which = f"limit {limit.id} of the {part.part} of {part.setup}"
    return f"{which}, {limit.quantity.value} at most {limit_words(limit)}"


def log_named(heat: LoggedHeat) -> str:
    """A temperature log on record as a sentence calls it."""
    return f"temperature log {heat.id} of the {heat.part} of {heat.setup}"
