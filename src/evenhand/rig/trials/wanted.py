"""What the workbench wants tried next, and the limits that stand there."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import urlencode

from evenhand.errors import BadRecord, EvenhandError
from evenhand.rig.asking import Address, ask, refusal
from evenhand.rig.trials.asked import Asked

NEXT = "/api/rig/trials/next"
OWN = "It is your own trial: the plan on the workbench would go on otherwise, as its page Tuning tells."


class NothingNext(EvenhandError):
    """The workbench has no trial for this part now, and says why."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """The most that a maker allows of a quantity, and where that is written."""

    quantity: str
    most: float
    source: str = ""

    @property
    def words(self) -> str:
        """It in words, with where it is written; one of one's own says so there."""
        unit = {"voltage": " mV", "clock": " MHz", "temperature": " °C", "power": " W"}.get(self.quantity, "")
        return f"{self.quantity} at most {self.most:g}{unit}" + (f" ({self.source})" if self.source else "")


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """The next point, under which load and settings and for how long, in `words`; the makers' limits.

    Without a point `why` says why there is none; limits stand there all the same.
    """

    clock_mhz: float = 0.0
    voltage_mv: float = 0.0
    hours: float = 0.0
    words: str = ""
    caution: str = ""
    load: str = ""
    settings: Mapping[str, str] = field(default_factory=dict)
    why: str = ""
    limits: tuple[Limit, ...] = ()

    def most(self, quantity: str) -> Limit | None:
        """The lowest limit of a quantity."""
        of_it = [each for each in self.limits if each.quantity == quantity]
        return min(of_it, key=lambda each: each.most, default=None)


def ask_next(address: Address, setup: str, part: str, load: str = "") -> Wanted:
    """What comes next of a part, under this load if one is named. Raises Unreachable, ShutOut or Refused."""
    asked = {"setup": setup, "part": part, **({"load": load} if load else {})}
    answer = ask(address, "GET", f"{NEXT}?{urlencode(asked)}")
    if answer.status >= 400:
        raise refusal(answer, f"{part} of {setup}")
    return wanted_from(answer.body if isinstance(answer.body, dict) else {})


def point_of(wanted: Wanted, where: str) -> Wanted:
    """What comes next, where something does. Raises NothingNext with the workbench's reason."""
    if wanted.why:
        raise NothingNext(wanted.why, where=where, todo="type a point to try one all the same")
    return wanted


def wanted_from(told: Mapping[str, Any]) -> Wanted:
    """What the workbench said. Raises BadRecord where it is no point."""
    try:
        limits = limits_from(told.get("limits") or ())
        if told.get("clock_mhz") is None:
            return Wanted(why=str(told.get("why") or "the workbench names no point"), limits=limits)
        return Wanted(
            clock_mhz=float(told["clock_mhz"]), voltage_mv=float(told["voltage_mv"]),
            hours=float(told["hours"]), words=str(told.get("words") or told.get("purpose") or ""),
            caution=str(told.get("caution") or ""), load=str(told.get("load") or ""),
            settings=dict(told.get("settings") or {}), limits=limits,
        )  # fmt: skip
    except (AttributeError, KeyError, TypeError, ValueError) as error:
        raise BadRecord(
            f"the workbench named no point that can be tried ({error})", where=NEXT,
            todo="fetch this program anew from it: they may be of two versions",
        ) from error  # fmt: skip


def limits_from(told: Sequence[Mapping[str, Any]]) -> tuple[Limit, ...]:
    """The makers' limits."""
    return tuple(
        Limit(quantity=str(each["quantity"]), most=float(each["most"]), source=str(each.get("source") or ""))
        for each in told
    )


def within(limits: Sequence[Limit], *, clock_mhz: float, voltage_mv: float) -> None:
    """Raises BadRecord where a point lies past a limit, with the limit's source."""
    for quantity, value in (("clock", clock_mhz), ("voltage", voltage_mv)):
        for each in limits:
            if each.quantity == quantity and value > each.most:
                raise BadRecord(
                    f"{value:g} is past the limit: {each.words}", where=quantity,
                    todo="set less; a limit that was noted wrongly is put right on the page Tuning",
                )  # fmt: skip


def follows(trial: Asked, wanted: Wanted) -> bool:
    """Whether what is tried is what the workbench named, hours, load and settings too."""
    return (trial.clock_mhz, trial.voltage_mv, trial.planned_h, trial.load, dict(trial.settings)) == (
        wanted.clock_mhz, wanted.voltage_mv, wanted.hours, wanted.load, dict(wanted.settings)
    )  # fmt: skip
