"""The power budget: what a build draws for long and for short, and whether its supply bears it.

For long: the lasting power of processor and graphics, and an assumed rest. For so many milliseconds: each
part by what it may draw for so long, all at once, which is the worst case. A supply bears its rating, less
what it has lost with age; one that is made for excursions bears more for short. Of another nothing is
promised beyond its rating, so that an excursion beyond it is unknown. A supply of unknown age fits only where
it would if it were old, and fails only where it would if it were new. What is assumed stands in `power.toml`.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
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
    """What is assumed where nothing is noted of a part; a workbench may say otherwise (`power_terms`).

    By milliseconds the shares of lasting power that parts draw, by kind, and of its rating that a supply
    bears which is made for it; watts of the rest by kind; the share that a supply loses a year; and the age
    in years at which a supply must still do of which nobody knows how old it is.
    """

    draws: Mapping[str, Mapping[float, float]]
    bears: Mapping[float, float]
    rest_w: Mapping[str, float]
    lost_a_year: float
    old_years: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Excursion:
    """For `ms` milliseconds (0 for long): the watts drawn and borne, None where they are not known.

    Without `whole`, what is known is drawn at least: it is told where that alone is too much.
    """

    ms: float
    drawn_w: float | None
    borne_w: float | None
    answer: Answer
    whole: bool = True

    @property
    def left_w(self) -> float | None:
        """What the supply bears beyond that."""
        return None if self.drawn_w is None or self.borne_w is None else self.borne_w - self.drawn_w


@dataclass(frozen=True, slots=True, kw_only=True)
class Budget:
    """The whole of it: for long first, then the shortest to the longest excursion.

    `rest_w` is the part of it that is assumed, `measured_w` what a meter read for long, where it did: the
    larger of the two counts. `lacking` are kinds of parts without which nobody knows what it draws,
    `supplies` how many there are; `old_years` is the age that a supply was taken for, None where it is known.
    """

    over: tuple[Excursion, ...]
    rest_w: float
    measured_w: float | None
    seen: tuple[Seen, ...]
    missing: tuple[Seen, ...]
    lacking: tuple[str, ...] = ()
    supplies: int = 1
    old_years: float | None = None

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
        old_years=told["supply"]["old_years"],
    )


def _by_ms(shares: Mapping[str, float]) -> dict[float, float]:
    return {float(ms): share for ms, share in shares.items()}


def budget(
    build: Sequence[Item], *, taken: Assumed | None = None, measured_w: float | None = None
) -> Budget | None:
    """The power budget of a build; None where it has no supply.

    What several supplies bear together is not known: nobody says which part hangs on which. `measured_w` is
    what the machine drew for long behind its supply, as a meter and its efficiency say.
    """
    supplies, taken, read = of_kind(build, "supply"), taken or assumed(), Reading()
    if not supplies:
        return None
    rest_w = sum(taken.rest_w.get(each.kind, 0.0) for each in build)
    lacking = _lacking(build, read)
    only = supplies[0] if len(supplies) == 1 else None
    rated = None if only is None else _rated(only, taken, read)
    found = []
    for ms in (LASTING, *sorted(taken.bears)):
        watts = list(_each_w(build, ms, taken, read))
        drawn = max(sum(each for each in watts if each is not None) + rest_w, measured_w or 0.0)
        borne = None if rated is None or only is None else _borne(only, rated, ms, taken)
        found.append(_excursion(ms, drawn, borne, whole=not lacking and None not in watts))
    if only is not None:
        _what_is_asked(only, found, read)
    return Budget(
        over=tuple(found), rest_w=rest_w, measured_w=measured_w, seen=read.seen, missing=read.missing,
        lacking=lacking, supplies=len(supplies),
        old_years=None if rated is None or rated.new_w == rated.old_w else taken.old_years,
    )  # fmt: skip


def _lacking(build: Sequence[Item], read: Reading) -> tuple[str, ...]:
    """The kinds without which nobody knows what a build draws: no processor, and no graphics anywhere."""
    own = [
        read.of(each, "own_graphics")
        for each in of_kind(build, "processor")
        if not of_kind(build, "graphics")
    ]
    there = {"processor": of_kind(build, "processor"), "graphics": of_kind(build, "graphics") or any(own)}
    return tuple(kind for kind in TOLD if not there[kind])


@dataclass(frozen=True, slots=True)
class _Watts:
    """What a supply bears: as if new and as if old where nobody knows its age, else twice the same."""

    new_w: float
    old_w: float
    promised: bool = True


def _rated(supply: Item, taken: Assumed, read: Reading) -> _Watts | None:
    """Its rating less what it has lost with age; None where it has no rating on record."""
    power, years = read.of(supply, "power_w"), supply.facts.get("years")
    if power is None:
        return None
    if years is not None:
        read.of(supply, "years")
    ages = (0.0, taken.old_years) if years is None else (years, years)
    return _Watts(*(power * max(0.0, 1.0 - taken.lost_a_year * age) for age in ages))


def _borne(supply: Item, rated: _Watts, ms: float, taken: Assumed) -> _Watts:
    """What it bears for so long; nothing is promised for short by one that says nothing of it."""
    own = _own_times(supply, "bears_times", ms)
    if ms == LASTING:
        return rated
    if own is None and not supply.facts.get("excursions"):
        return replace(rated, promised=False)
    times = taken.bears[ms] if own is None else own
    return _Watts(rated.new_w * times, rated.old_w * times)


def _each_w(build: Sequence[Item], ms: float, taken: Assumed, read: Reading) -> Iterator[float | None]:
    """The watts of each processor and card for so long, never less than for long; None where not known."""
    for part in of_kind(build, *TOLD):
        lasting, short = read.of(part, "power_w"), part.facts.get("power_short_w")
        own = _own_times(part, "short_times", ms)
        if lasting is None or ms == LASTING:
            yield lasting
        elif own is not None:
            yield lasting * max(own, 1.0)
        else:
            yield max(short or 0.0, lasting * max(taken.draws[part.kind][ms], 1.0))


def _own_times(part: Item, fact: str, ms: float) -> float | None:
    """How many times as much a part is known to draw or to bear for so long; None where only assumed."""
    times: Mapping[str, float] = part.facts.get(fact) or {}
    return next((each for key, each in times.items() if float(key) == ms), None)


def _excursion(ms: float, drawn: float, borne: _Watts | None, *, whole: bool) -> Excursion:
    """One length of time: a misfit where what is known is too much already, a fit where nothing is open."""
    if borne is not None and borne.promised and drawn > borne.new_w:
        return Excursion(ms=ms, drawn_w=drawn, borne_w=borne.new_w, answer=Answer.MISFIT, whole=whole)
    fits = whole and borne is not None and drawn <= borne.old_w
    return Excursion(
        ms=ms, drawn_w=drawn if whole else None, borne_w=None if borne is None else borne.old_w,
        answer=Answer.FITS if fits else Answer.UNKNOWN, whole=whole,
    )  # fmt: skip


def _what_is_asked(supply: Item, over: Sequence[Excursion], read: Reading) -> None:
    """Reads of a supply what would settle what is open: its age where it says all else."""
    open_ = [each for each in over if each.answer is Answer.UNKNOWN]
    if open_:
        read.of(supply, "excursions")
    if any(each.drawn_w is not None and each.borne_w is not None for each in open_):
        read.of(supply, "years")
