"""The forms that evidence takes: arrays and rows to look at, nothing drawn and nothing rounded."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

from evenhand.triage.curves import Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class Marked:
    """A range of frame times that is pointed at, and what is said of it."""

    from_ms: float
    to_ms: float
    words: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Density:
    """How often frames take how long: `edges_ms` of shape (k + 1,), shares of frames of shape (k,)."""

    edges_ms: Floats
    share: Floats
    siblings: tuple[Floats, ...]
    marked: tuple[Marked, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Traces:
    """A run's frame times, ms, shape (n,), and those of the runs it was judged against, any lengths.

    `begins_s` is where each of these begins on the run's own clock; empty where all begin with it. `dots`
    says that frames step between few values. `what` is what is shown, in words, and `grey` who is grey in it
    where siblings are not the word.
    """

    frame_times_ms: Floats
    siblings: tuple[Floats, ...] = ()
    begins_s: tuple[float, ...] = ()
    dots: bool = False
    density: Density | None = None
    what: str = "Time of every frame"
    grey: str = ""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Differences:
    """How much longer the run's frames take than each sibling's along the run, per cent; NaN leaves a gap.

    `times_s`, and each array of `against` and `among`: shape (b,). `among` is the same where nothing is
    wrong, `grey` says between whom. `allowed` is the range in which nothing is said.
    """

    times_s: Floats
    against: tuple[Floats, ...]
    among: tuple[Floats, ...] = ()
    allowed: tuple[float, float] | None = None
    what: str = "Frame time against each sibling"
    grey: str = "siblings to each other"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Series:
    """Values over time: both shape (n,), seconds of the run."""

    times_s: Floats
    values: Floats


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Readings:
    """One quantity over the run, and the same of its siblings; `limit` is a level it is seen against."""

    what: str
    unit: str
    own: Series
    siblings: tuple[Series, ...] = ()
    limit: float | None = None
    limit_words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Moments:
    """When something happened in the run and in each sibling: seconds of the run, shape (h,)."""

    own: Floats
    siblings: tuple[Floats, ...]
    what: str = "Hitches"


@dataclass(frozen=True, slots=True, kw_only=True)
class Others:
    """The numbers of another setup's runs; `run` is the id of one of them, which tells whose they are."""

    run: str
    values: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Numbers:
    """One number of the run and of each sibling; `expected` is the range it was expected in."""

    what: str
    unit: str
    own: float
    siblings: tuple[float, ...] = ()
    peers: tuple[Others, ...] = ()
    expected: tuple[float, float] | None = None
    expected_words: str = ""
    own_words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Saying:
    """What one run, the test or the log says; `odd` where it is this that the fault is about."""

    who: str
    value: str
    odd: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Sayings:
    """What is said side by side; `what` is what all rows are about, as a caption."""

    what: str
    rows: tuple[Saying, ...]


Below: TypeAlias = Differences | Readings | Moments | Numbers | Sayings


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Exhibit:
    """What there is to look at for one fault of one run: its trace, a second view, or both.

    `readings` stand above the second view in the place of the trace, where they tell more than frames do.
    """

    trace: Traces | None = None
    readings: Readings | None = None
    below: Below | None = None
