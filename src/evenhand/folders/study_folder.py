"""What a study folder says, once read: records where they exist, and runs that still name files."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime

from evenhand.records.builds import Build, Part, Setup
from evenhand.records.faults import Ground
from evenhand.records.heat import LoggedHeat
from evenhand.records.layouts import Column, LogKind
from evenhand.records.offers import Offer
from evenhand.records.part_facts import PartFact
from evenhand.records.photos import NO_WORDS, PhotoWords
from evenhand.records.prices import Price
from evenhand.records.rates import Rate
from evenhand.records.runs import Reason, RunState
from evenhand.records.sound import SoundReading
from evenhand.records.studies import Study
from evenhand.records.tests import Test
from evenhand.records.trials import Limit, Trial, Tuned
from evenhand.records.turns import Turn, why_gone
from evenhand.records.windows import Window

STUDY_FILE = "study.toml"


@dataclass(frozen=True, slots=True, kw_only=True)
class LayoutEntry:
    """A layout by name. `columns` stand in the order of `Role`; those of one role as written.

    It serves every log in whose header all its columns stand.
    """

    name: str
    kind: LogKind
    columns: tuple[Column, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ScoreKey:
    """Which row of a score table holds a run's score: what the table calls the test and the run."""

    test: str
    run: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DecisionEntry:
    """A decision about a run, as `records.runs.Decision` without the run's id."""

    at: datetime
    state: RunState
    reason: Reason | None = None
    note: str = ""
    over: tuple[str, ...] = ()
    masked: bool = False
    grounds: tuple[Ground, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class RunEntry:
    """One run's facts. Its number comes from exactly one of `log`, `score`, or `scores` with `row`.

    `log`, `scores` and `sensors` are file names relative to the folder, with forward slashes. `layout`
    is the name of the layout for `log` or `scores`, `sensor_layout` for `sensors`; None means that
    the file's own header picks it. `started_at` and `duration_s` pick the window of a `sensors` file
    that covers more than this run. `window` is what is measured of this run, where that is another part than
    its test says. `named` is False for a run that the study's own folder names no
    longer: it may share label and source with the run that was made of it.
    """

    test: str
    setup: str
    label: str
    log: str | None = None
    layout: str | None = None
    score: float | None = None
    scores: str | None = None
    row: ScoreKey | None = None
    sensors: str | None = None
    sensor_layout: str | None = None
    boot: str | None = None
    order: int | None = None
    started_at: datetime | None = None
    duration_s: float | None = None
    ambient_c: float | None = None
    wall_w: float | None = None
    stamps: Mapping[str, str] = field(default_factory=dict)
    window: Window | None = None
    decisions: tuple[DecisionEntry, ...] = ()
    named: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoEntry:
    """A photo of a build: its file, named as a run's log is, and what is said of it."""

    build: str
    file: str
    words: PhotoWords = NO_WORDS


@dataclass(frozen=True, slots=True, kw_only=True)
class LimitEntry:
    """A limit of a part's maker, and each time that it was taken back or put back, the first first."""

    limit: Limit
    turns: tuple[Turn, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class TunedEntry:
    """A tuned part, whose limits stand beside it: every one there ever was."""

    part: Tuned
    limits: tuple[LimitEntry, ...] = ()

    @property
    def standing(self) -> Tuned:
        """The part with the limits that count."""
        counting = (each.limit for each in self.limits if why_gone(each.turns) is None)
        return replace(self.part, limits=tuple(counting))


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialEntry:
    """A trial of a tuned part, and each time that it was taken back or put back, the first first."""

    trial: Trial
    turns: tuple[Turn, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatEntry:
    """A temperature log of a tuned part: its file and the name of its layout, as with a run's sensors.

    `heat` has neither bytes nor layout of its own: the file has. `turns` say whether it was taken back.
    """

    file: str
    heat: LoggedHeat
    layout: str | None = None
    turns: tuple[Turn, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PastLines:
    """How long a study's past is: the lines of its history, and its frozen results."""

    changes: int = 0
    results: int = 0

    def __bool__(self) -> bool:
        return bool(self.changes or self.results)

    def beyond(self, other: PastLines) -> PastLines:
        """How much longer it is than another.

        >>> PastLines(changes=14, results=2).beyond(PastLines(changes=20))
        PastLines(changes=0, results=2)
        """
        return PastLines(
            changes=max(0, self.changes - other.changes), results=max(0, self.results - other.results)
        )

    def shorter(self, other: PastLines) -> PastLines:
        """The fewer of both lines each."""
        return PastLines(changes=min(self.changes, other.changes), results=min(self.results, other.results))


NO_PAST = PastLines()


@dataclass(frozen=True, slots=True, kw_only=True)
class StudyFolder:
    """One study with everything it names. References between the parts are sound once read.

    `past` is what the study file says of the files beside it that hold its past.
    """

    study: Study
    parts: tuple[Part, ...] = ()
    facts: tuple[PartFact, ...] = ()
    builds: tuple[Build, ...] = ()
    setups: tuple[Setup, ...] = ()
    tests: tuple[Test, ...] = ()
    layouts: tuple[LayoutEntry, ...] = ()
    runs: tuple[RunEntry, ...] = ()
    prices: tuple[Price, ...] = ()
    sound: tuple[SoundReading, ...] = ()
    offers: tuple[Offer, ...] = ()
    rates: tuple[Rate, ...] = ()
    tuned: tuple[TunedEntry, ...] = ()
    trials: tuple[TrialEntry, ...] = ()
    heat: tuple[HeatEntry, ...] = ()
    photos: tuple[PhotoEntry, ...] = ()
    past: PastLines = NO_PAST


def files_named(folder: StudyFolder) -> tuple[str, ...]:
    """Every file that runs, temperature logs and photos name, each once, in the order first named.

    >>> run = RunEntry(test="t", setup="s", label="1", log="a.csv", sensors="day.csv")
    >>> study = Study(key="k", title="K", setups=("s",), tests=("t",))
    >>> files_named(StudyFolder(study=study, runs=(run, run)))
    ('a.csv', 'day.csv')
    """
    names = (name for run in folder.runs for name in (run.log, run.scores, run.sensors) if name)
    heat = (entry.file for entry in folder.heat)
    return tuple(dict.fromkeys((*names, *heat, *(photo.file for photo in folder.photos))))


def shared_orders(runs: Iterable[RunEntry]) -> dict[int, tuple[str, ...]]:
    """Places in the order that more than one run has, with their labels: a bench does one thing at a time.

    It is told and not refused: a log that was filed twice brings its place twice, and triage finds it.

    >>> run = RunEntry(test="t", setup="s", label="1", order=7)
    >>> shared_orders((run, RunEntry(test="u", setup="s", label="2", order=7)))
    {7: ('1', '2')}
    """
    places: dict[int, tuple[str, ...]] = {}
    for run in runs:
        if run.named and run.order is not None:
            places[run.order] = (*places.get(run.order, ()), run.label)
    return {order: labels for order, labels in sorted(places.items()) if len(labels) > 1}


def default_label(test: str, setup: str, number: int) -> str:
    """What a run is called where its author gave no label: `number` counts the runs of its cell from 1."""
    return f"{setup} {test} {number}"
