"""The nouns of an article's section on tuned parts: what each may be called, and all that this rests on."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.publish.numbers import counted
from evenhand.publish.picture import Picture


@dataclass(frozen=True, slots=True, kw_only=True)
class Twice:
    """One picture for the page, as narrow as a phone, and for paper."""

    page: Picture
    paper: Picture


@dataclass(frozen=True, slots=True, kw_only=True)
class TunedSeries:
    """A tuned part under one load, in finished words.

    `called` is what it may be called and where, "" where no hours bear anything; `not_called` what it may
    not; `advice` is by ascending clock, `first` that of the clock which is spoken of. `hours` is the picture
    of the hours behind the claim, on paper alone: what they claim is a sentence, and pages are to stay small.
    `watts` are those of what it draws, one for each meter.
    """

    load: str
    about: str
    called: str
    not_called: tuple[str, ...]
    more: str
    first: str
    advice: tuple[str, ...]
    doubts: tuple[str, ...]
    map: Twice
    hours: Picture | None = None
    watts: tuple[Picture, ...] = ()

    @property
    def for_paper(self) -> tuple[Picture, ...]:
        """Its pictures as a report has them."""
        return (self.map.paper, *(() if self.hours is None else (self.hours,)), *self.watts)


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialTold:
    """A trial in cells; `back` is why it counts no more, "" where it counts."""

    point: str
    load: str
    ended: str
    on: str
    back: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TunedPart:
    """A tuned part: an anchor, whose it is, stock, limits of its maker, every load, every trial.

    `beside` is what else is told of it: what that is of, and sentences. `warmth` is its temperature log as a
    picture, on paper alone: a page says what it shows, and is to stay small.
    """

    key: str
    name: str
    slot: int
    stock: str
    limits: tuple[tuple[str, str], ...]
    series: tuple[TunedSeries, ...]
    beside: tuple[tuple[str, tuple[str, ...]], ...]
    trials: tuple[TrialTold, ...]
    warmth: Picture | None = None

    @property
    def for_paper(self) -> tuple[Picture, ...]:
        """Every picture of it that a report has, those of its loads first."""
        of_loads = (each for one in self.series for each in one.for_paper)
        return (*of_loads, *(() if self.warmth is None else (self.warmth,)))

    @property
    def back(self) -> tuple[TrialTold, ...]:
        """The trials that were taken back."""
        return tuple(each for each in self.trials if each.back)

    @property
    def said_trials(self) -> str:
        """How many trials there are, and how many of them count no more."""
        gone = len(self.back)
        told = f"All {counted(len(self.trials), 'trial')} as a table"
        return f"{told}, {counted(gone, 'trial')} taken back among them" if gone else told
