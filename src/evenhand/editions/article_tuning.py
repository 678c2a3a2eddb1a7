"""The nouns of an article's section on tuned parts: what each may be called, and all that this rests on."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.publish.numbers import counted
from evenhand.publish.picture import Picture


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """One picture for wide pages, for a phone, and for paper."""

    wide: Picture
    narrow: Picture
    paper: Picture


@dataclass(frozen=True, slots=True, kw_only=True)
class TunedSeries:
    """A tuned part under one load, in finished words.

    `called` is what it may be called and where, "" where no hours bear anything; `not_called` what it may
    not; `advice` is by ascending clock, `first` that of the clock which is spoken of. `hours` is the picture
    of the hours behind the claim.
    """

    load: str
    about: str
    called: str
    not_called: tuple[str, ...]
    more: str
    first: str
    advice: tuple[str, ...]
    doubts: tuple[str, ...]
    map: Shown
    hours: Shown | None = None

    @property
    def pictures(self) -> tuple[Shown, ...]:
        """Its pictures."""
        return (self.map, *(() if self.hours is None else (self.hours,)))

    @property
    def for_paper(self) -> tuple[Picture, ...]:
        """The same as a report has them."""
        return tuple(each.paper for each in self.pictures)


@dataclass(frozen=True, slots=True, kw_only=True)
class BesideTold:
    """What else is told of a tuned part: what that is of, sentences, pictures.

    Those `on_paper` have many marks, and a page is to stay small: it has their sentences.
    """

    name: str
    said: tuple[str, ...]
    pictures: tuple[Shown, ...] = ()
    on_paper: tuple[Picture, ...] = ()

    @property
    def for_paper(self) -> tuple[Picture, ...]:
        """Every picture as a report has it."""
        return (*(each.paper for each in self.pictures), *self.on_paper)


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

    `beside` is what else is told of it.
    """

    key: str
    name: str
    slot: int
    stock: str
    limits: tuple[tuple[str, str], ...]
    series: tuple[TunedSeries, ...]
    beside: tuple[BesideTold, ...]
    trials: tuple[TrialTold, ...]

    @property
    def for_paper(self) -> tuple[Picture, ...]:
        """Every picture of it that a report has, those of its loads first."""
        told: tuple[TunedSeries | BesideTold, ...] = (*self.series, *self.beside)
        return tuple(each for one in told for each in one.for_paper)

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
