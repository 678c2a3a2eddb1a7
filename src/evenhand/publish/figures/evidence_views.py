"""What a picture of one fault may show: a small vocabulary of views, input alone, nothing worked out here.

Arrays come ready from whoever judged the run. Times are seconds of the run's own clock; a place of the
fault is marked through every view that has time to the right.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

from evenhand.publish.figures.thinning import Floats
from evenhand.records.faults import Fault


@dataclass(frozen=True, slots=True, kw_only=True)
class Window:
    """A range of frame times that is marked, and what is said of it ("90 % at 144 fps")."""

    from_ms: float
    to_ms: float
    words: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FrameTimeDensity:
    """How often frames take how long, upright beside the trace, on the same milliseconds.

    `edges_ms`: shape (k + 1,), rising. `share`: shape (k,), the run's share of frames in each; `siblings`:
    the same for each sibling. `windows`: what is marked, two at most in words.
    """

    edges_ms: Floats
    share: Floats
    siblings: tuple[Floats, ...] = ()
    windows: tuple[Window, ...] = ()
    what: str = "How often"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TraceAgainstSiblings:
    """Every frame of the run, its siblings pale behind it.

    `frame_times_ms`: shape (n,). `siblings`: one array each, shape (m,), any lengths; `begins_s`: where each
    sibling's first frame lies on this run's clock (a lag that was found, a copy that was trimmed), all 0
    where empty. `dots` draws each frame instead of an outline, for frames that step between few values.
    `density` stands beside the trace. `what` is the caption, without the siblings.
    """

    frame_times_ms: Floats
    siblings: tuple[Floats, ...] = ()
    begins_s: tuple[float, ...] = ()
    dots: bool = False
    density: FrameTimeDensity | None = None
    what: str = "Time of every frame"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class DifferenceCurve:
    """The run against each sibling along the run, with the band in which nothing would be said.

    `times_s`: shape (b,), the middle of each bin, rising. `against`: one array for each sibling, shape (b,),
    the run's difference in per cent, above 0 where its frames are longer; NaN leaves a gap. `among`: the same
    where nothing is wrong, pale, and `grey` says between whom. `allowed`: the two ends of the band in per
    cent, None without one.
    """

    times_s: Floats
    against: tuple[Floats, ...]
    among: tuple[Floats, ...] = ()
    allowed: tuple[float, float] | None = None
    what: str = "Frame time against each sibling"
    grey: str = "siblings to each other"


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Reading:
    """One channel of one run: `times_s` rising and `values`, both of shape (n,); NaN leaves a gap."""

    times_s: Floats
    values: Floats


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SensorCurve:
    """A sensor's channel over the run, siblings pale behind it; also any other quantity over time.

    `what` names it ("Processor clock"), `unit` its unit. `limit` is a value drawn across as a dashed line,
    `limit_words` what it is ("limit 95 °C").
    """

    what: str
    unit: str
    own: Reading
    siblings: tuple[Reading, ...] = ()
    limit: float | None = None
    limit_words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class HitchRows:
    """Where hitches fall, one row a run: `own` and each of `siblings` hold times in seconds, shape (h,)."""

    own: Floats
    siblings: tuple[Floats, ...] = ()
    what: str = "Hitches"


@dataclass(frozen=True, slots=True, kw_only=True)
class PeerRuns:
    """The numbers of another setup's runs of the same test."""

    setup: str
    values: tuple[float, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class RunNumbers:
    """One number of each run of the cell on one scale: this run among its siblings, other setups below.

    `what` names it ("Average", "Length", "Room"). `expected` is a range drawn as a band, None without one;
    `expected_words` what it is ("21 to 27 °C, as declared"). `own_words` says this run's number; four digits
    and the unit where empty.
    """

    what: str
    unit: str
    own: float
    siblings: tuple[float, ...] = ()
    peers: tuple[PeerRuns, ...] = ()
    expected: tuple[float, float] | None = None
    expected_words: str = ""
    own_words: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stamp:
    """What one run, or the test itself, says of a setting; `odd` where it is the one that differs."""

    who: str
    value: str
    odd: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class StampRows:
    """What runs say, side by side; `what` is the caption ("Driver of each run"). Five rows fit a card."""

    what: str
    rows: tuple[Stamp, ...]


OverTime: TypeAlias = TraceAgainstSiblings | DifferenceCurve | SensorCurve | HitchRows
Below: TypeAlias = DifferenceCurve | SensorCurve | HitchRows | RunNumbers | StampRows


@dataclass(frozen=True, slots=True, kw_only=True)
class Evidence:
    """One fault of one run, and what lets a person check it: its trace, a second view below, or both.

    `test` and `setup` are keys of the names, `run` is the run's label. The fault gives the sentence on top
    (its title), the sentence at the foot (its evidence), the places that are marked in every view over time,
    and whether they are marked in red (a note is not).
    """

    test: str
    setup: str
    run: str
    fault: Fault
    trace: TraceAgainstSiblings | None = None
    below: Below | None = None
