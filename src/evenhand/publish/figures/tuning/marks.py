"""Marks of trials: each way to end has a shape of its own, and words beside it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from enum import StrEnum

from evenhand.publish.figures.tuning.keys import Key
from evenhand.publish.numbers import number
from evenhand.publish.palette import DISC
from evenhand.publish.svg import Shape
from evenhand.records.trials import Outcome, Trial
from evenhand.tuning.evidence import failures_of


class Ended(StrEnum):
    """How a trial ended, as far as a map tells it apart."""

    HELD = "held"
    FAILED = "failed"
    CUT_SHORT = "throttled or stopped"


def ended(trial: Trial) -> Ended:
    """How a trial ended; errors that a load counted and went on after are failures."""
    if failures_of(trial):
        return Ended.FAILED
    return Ended.HELD if trial.outcome is Outcome.PASSED else Ended.CUT_SHORT


def counts(trials: Sequence[Trial]) -> dict[Ended, int]:
    """How many trials ended in which way; ways in which none did are left out."""
    found = Counter(ended(trial) for trial in trials)
    return {way: found[way] for way in Ended if found[way]}


def sign_of(way: Ended) -> list[Shape]:
    """The shape of a way to end, about 0, 0."""
    if way is Ended.FAILED:
        halo = _stroked("M-5.6-5.6 5.6 5.6M5.6-5.6-5.6 5.6", ink="paper", width=5.6)
        return [halo, _stroked("M-5.6-5.6 5.6 5.6M5.6-5.6-5.6 5.6", ink="ink", width=2.8)]
    if way is Ended.HELD:
        return [_filled(DISC, fill="ink", rim="paper", width=1.4)]
    return [_filled("M-6.4-5.2H6.4L0 6.8Z", fill="sheet", rim="ink", width=2.0)]


def next_sign() -> list[Shape]:
    """The open mark of the trial that comes next."""
    return [_filled("M-8.2 0a8.2 8.2 0 1 0 16.4 0a8.2 8.2 0 1 0-16.4 0Z", fill="sheet", rim="ink", width=2.4)]


def against_sign() -> list[Shape]:
    """The frame around a point that contradicts another."""
    return [_stroked("M-8.5-8.5H8.5V8.5H-8.5Z", ink="ink", width=1.8, dash="3 2.3")]


def stock_sign() -> list[Shape]:
    """The frame around stock."""
    return [_stroked("M0-10.5 10.5 0 0 10.5-10.5 0Z", ink="ink", width=1.8)]


def keys_of(trials: Sequence[Trial], *, against: int, next_said: str, stock: bool = False) -> list[Key]:
    """What each mark means, with how many there are; of what does not occur nothing is said."""
    found = [Key(sign=sign_of(way), text=f"{way} {number(n)}") for way, n in counts(trials).items()]
    if stock:
        found.append(Key(sign=stock_sign(), text="stock"))
    if against:
        found.append(Key(sign=against_sign(), text=f"against the order {number(against)}"))
    if next_said:
        found.append(Key(sign=next_sign(), text=next_said))
    return found


def _stroked(d: str, *, ink: str, width: float, dash: str = "") -> Shape:
    place: dict[str, float | str] = {"d": d, "stroke-width": width, "stroke-linecap": "round"}
    place |= {"stroke-dasharray": dash} if dash else {}
    return Shape(tag="path", place=place, paint={"fill": "none", "stroke": ink})


def _filled(d: str, *, fill: str, rim: str, width: float) -> Shape:
    place: dict[str, float | str] = {"d": d, "stroke-width": width}
    return Shape(tag="path", place=place, paint={"fill": fill, "stroke": rim})
