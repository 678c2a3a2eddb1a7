"""The power budget: what a build draws for long and for short, and whether its supply bears it.

For long: the lasting power of processor and graphics, and an assumed rest. For so many milliseconds: each
part by what it may draw for so long, all at once, which is the worst case. A supply bears its rating, less
what it has lost with age; one that is made for excursions bears more for short. Of another nothing is
promised beyond its rating, so that an excursion beyond it is unknown. What is assumed stands in `power.toml`.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib import resources

from evenhand.fit.answers import Answer, worst
from evenhand.fit.reading import Item, Reading, Seen
from evenhand.fit.said import of_kind

LASTING = 0.0
"""The length of an excursion that never ends, in milliseconds."""
TOLD = ("processor", "graphics")


@dataclass(frozen=True, slots=True, kw_only=True)
class Assumed:
    """What is assumed, which a study may say otherwise.

    By milliseconds the shares of lasting power that parts draw, by kind, and of its rating that a supply
    bears which is made for it; watts of the rest by kind; and the share that a supply loses a year.
    """

    draws: Mapping[str, Mapping[float, float]]
    bears: Mapping[float, float]
    rest_w: Mapping[str, float]
    lost_a_year: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Excursion:
    """For `ms` milliseconds (0 for long): the watts drawn and borne, None where they are not known."""

    ms: float
    drawn_w: float | None
    borne_w: float | None
    answer: Answer

    @property
    def left_w(self) -> float | None:
        """What the supply bears beyond that."""
        return None if self.drawn_w is None or self.borne_w is None else self.borne_w - self.drawn_w


@dataclass(frozen=True, slots=True, kw_only=True)
class Budget:
    """The whole of it: for long first, then the shortest to the longest excursion.

    `rest_w` is the part of it that is assumed, `measured_w` what a meter read for long, where it did: the
    larger of the two counts.
    """

    over: tuple[Excursion, ...]
    rest_w: float
    measured_w: float | None
    seen: tuple[Seen, ...]
    missing: tuple[Seen, ...]

    @property
    def answer(self) -> Answer:
        """What all excursions come to."""
        return worst(each.answer for each in self.over)


@cache
def assumed() -> Assumed:
    """What is assumed where nothing better is known."""
    told = tomllib.loads((resources.files("evenhand.fit") / "power.toml").read_text(encoding="utf-8"))
    return Assumed(
        draws={kind: _by_ms(shares) for kind, shares in told["draws"].items()},
        bears=_by_ms(told["bears"]),
        rest_w=told["rest"],
        lost_a_year=told["supply"]["lost_a_year"],
    )


def _by_ms(shares: Mapping[str, float]) -> dict[float, float]:
    return {float(ms): share for ms, share in shares.items()}


def budget(
    build: Sequence[Item], *, taken: Assumed | None = None, measured_w: float | None = None
) -> Budget | None:
    """The power budget of a build; None where it has no supply. Several supplies add up.

    `measured_w` is what the machine drew for long behind its supply, as a meter and its efficiency say.
    """
    supplies, taken, read = of_kind(build, "supply"), taken or assumed(), Reading()
    if not supplies:
        return None
    rest_w = sum(taken.rest_w.get(each.kind, 0.0) for each in build)
    drawn = {ms: _drawn(build, ms, taken, read) for ms in (LASTING, *sorted(taken.bears))}
    rated = [_rated_w(each, taken, read) for each in supplies]
    needed = {
        ms: None if watts is None else max(watts + rest_w, measured_w or 0.0) for ms, watts in drawn.items()
    }
    over = tuple(
        _excursion(ms, watts, _borne_w(supplies, rated, ms, taken), made=_says(supplies, ms))
        for ms, watts in needed.items()
    )
    if any(each.answer is Answer.UNKNOWN for each in over):
        for each in supplies:
            read.of(each, "excursions")
    return Budget(over=over, rest_w=rest_w, measured_w=measured_w, seen=read.seen, missing=read.missing)


def _rated_w(supply: Item, taken: Assumed, read: Reading) -> float | None:
    """Its rating less what it has lost with age; of an unknown age as much as if it were new."""
    power = read.of(supply, "power_w")
    return (
        None if power is None else power * max(0.0, 1.0 - taken.lost_a_year * supply.facts.get("years", 0.0))
    )


def _drawn(build: Sequence[Item], ms: float, taken: Assumed, read: Reading) -> float | None:
    """The watts of processors and cards for so long; None where one says nothing."""
    watts = list(_each_w(build, ms, taken, read))
    return None if None in watts else sum(each for each in watts if each is not None)


def _each_w(build: Sequence[Item], ms: float, taken: Assumed, read: Reading) -> Iterator[float | None]:
    for part in of_kind(build, *TOLD):
        lasting, short = read.of(part, "power_w"), part.facts.get("power_short_w")
        own = _own_times(part, "short_times", ms)
        if lasting is None or ms == LASTING:
            yield lasting
        elif own is not None:
            yield lasting * own
        else:
            yield max(short or 0.0, lasting * taken.draws[part.kind][ms])


def _own_times(part: Item, fact: str, ms: float) -> float | None:
    """How many times as much a part is known to draw or to bear for so long; None where only assumed."""
    times: Mapping[str, float] = part.facts.get(fact) or {}
    return next((each for key, each in times.items() if float(key) == ms), None)


def _says(supplies: Sequence[Item], ms: float) -> bool:
    """Whether all of them say what they bear for so short."""
    return all(
        each.facts.get("excursions") or _own_times(each, "bears_times", ms) is not None for each in supplies
    )


def _borne_w(
    supplies: Sequence[Item], rated: Sequence[float | None], ms: float, taken: Assumed
) -> float | None:
    """What the supplies bear for so long together; None where one has no rating on record."""
    borne = [
        None if watts is None else watts * _times(each, ms, taken)
        for each, watts in zip(supplies, rated, strict=True)
    ]
    return None if None in borne else sum(each for each in borne if each is not None)


def _times(supply: Item, ms: float, taken: Assumed) -> float:
    own = _own_times(supply, "bears_times", ms)
    if ms == LASTING or (own is None and not supply.facts.get("excursions")):
        return 1.0
    return taken.bears[ms] if own is None else own


def _excursion(ms: float, drawn_w: float | None, borne_w: float | None, *, made: bool) -> Excursion:
    """One length of time; beyond what is borne only supplies that say so, `made` for it, are told to fail."""
    if drawn_w is None or borne_w is None:
        return Excursion(ms=ms, drawn_w=drawn_w, borne_w=borne_w, answer=Answer.UNKNOWN)
    beyond = Answer.MISFIT if made or ms == LASTING else Answer.UNKNOWN
    return Excursion(
        ms=ms, drawn_w=drawn_w, borne_w=borne_w, answer=Answer.FITS if drawn_w <= borne_w else beyond
    )
