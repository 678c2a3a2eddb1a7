"""What may be said while a bench day goes on: each pair and test in a sentence, and what would settle it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

from evenhand.desk.bench.plan_needs import runs_there
from evenhand.desk.bench.plan_on_record import plan_on_record
from evenhand.desk.comparison.findings_now import cells_now, findings_now
from evenhand.desk.names import names_of
from evenhand.desk.on_record import StudyOnRecord
from evenhand.findings.finding import Outcome, Settle
from evenhand.findings.live import live_study
from evenhand.findings.live_finding import Gone, Live, LiveFinding, LiveIndex, out_of_reach
from evenhand.findings.peeking import Peeked, peek_study
from evenhand.plans.looks import CALIBRATED
from evenhand.publish.live_words import (
    not_in_it,
    only_of,
    planned_without_words,
    so_far,
    stands_words,
    until_settled,
    waiting_words,
    where_words,
    without_looks,
)
from evenhand.publish.names import Names
from evenhand.publish.numbers import count_word, number, with_unit
from evenhand.records.runs import RunState

LEAST_REACH, MOST_REACH = (
    2.7,
    8.0,
)  # how many margins a picture reaches to either side: the band stays legible


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """An interval and the level band as shares of a width, 0 to 100; `low` and `high` None without one.

    `beyond` says in words what lies outside the picture, "" where nothing does: an end there stands at the
    edge and is an arrow (`arrows`), a dot there is None.
    """

    band: tuple[float, float]
    dot: float | None
    low: float | None
    high: float | None
    arrows: tuple[float, ...] = ()
    beyond: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LiveLine:
    """One pair in one test or index: `sentence` says where it stands (`stands` alone), `small` what is next.

    `key` is the test's, or "" and "group:NAME" for an index. `outcome` is a's: ahead, behind, level,
    unsettled.
    """

    key: str
    where: str
    a: str
    b: str
    outcome: str
    sentence: str
    small: str
    bar: Bar | None
    stands: str = ""
    more_runs: int | None = None
    minutes: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class LiveHeader:
    """The header of a bench day: its first line, all lines by pair, and whether everything is settled.

    `declared` says whether looks were declared: without, evidence counts that holds whenever one looks.
    """

    first: LiveLine | None
    lines: tuple[LiveLine, ...]
    settled: bool
    declared: bool
    waiting: int = 0
    minutes_left: float | None = None


def live_header(record: StudyOnRecord) -> LiveHeader:
    """What may be said of a study now, under its plan's looks, or without a plan at any look."""
    return record.once("live header", _header)


def live_answer(header: LiveHeader) -> dict[str, Any]:
    """The same for programs."""
    return {
        "declared": header.declared,
        "settled": header.settled,
        "waiting": header.waiting,
        "minutes_left": header.minutes_left,
        "lines": [
            {
                "key": line.key,
                "a": line.a,
                "b": line.b,
                "outcome": line.outcome,
                "sentence": line.sentence,
                "next": line.small,
                "more_runs": line.more_runs,
                "minutes": line.minutes,
            }
            for line in header.lines
        ],
    }


def _header(record: StudyOnRecord) -> LiveHeader:
    standing, names = plan_on_record(record), names_of(record)
    waits = sum(each.state is RunState.IN_DOUBT for each in record.compared_runs)
    margin = record.study.margin
    if standing is None:
        peeked = peek_study(cells_now(record), study=record.study)
        lines = tuple(_peeked_line(p, names, margin, _left_to_plan(record, p)) for p in peeked if p.n)
        return LiveHeader(
            first=_summary(record, peeked, names, waits), lines=lines, declared=False, waiting=waits,
            settled=bool(peeked) and all(p.settled for p in peeked),
        )  # fmt: skip
    live = standing.live
    told = sorted(_told(live), key=lambda found: not standing.dropped.isdisjoint((found.a, found.b)))
    lines = tuple(_plan_line(found, names, record, standing.gone) for found in told)
    return LiveHeader(
        first=lines[0] if lines else None, lines=lines, declared=True, waiting=waits,
        settled=_all_settled(live, standing.gone),
        minutes_left=standing.minutes_left,
    )  # fmt: skip


def _told(live: Live) -> Iterator[LiveIndex | LiveFinding]:
    """Pair by pair, indexes before single tests; what cannot be compared yet last."""
    told: tuple[LiveIndex | LiveFinding, ...] = (*live.indexes, *live.findings)
    pairs = [
        sorted((f for f in told if (f.a, f.b) == pair), key=lambda f: f.ratio is None)
        for pair in dict.fromkeys((f.a, f.b) for f in live.findings)
    ]
    for own in sorted(pairs, key=lambda own: own[0].ratio is None):
        yield from own


def _all_settled(live: Live, gone: Gone) -> bool:
    """Whether every pair is settled that the plan can still bring to a look, and any is."""
    return any(f.settled for f in live.findings) and all(
        f.settled or out_of_reach(f, gone) for f in live.findings
    )


def _plan_line(found: LiveIndex | LiveFinding, names: Names, record: StudyOnRecord, gone: Gone) -> LiveLine:
    """A line; of a pair that the plan brings to no further look it says why, and promises nothing."""
    line = _line(found, names, record.study.margin, _waiting(record, found), _lacking(record, found))
    if not out_of_reach(found, gone):
        return line
    away = [s for s in (found.a, found.b) if any(s == setup for _, setup in gone)]
    return replace(line, small=planned_without_words(away, names), more_runs=None, minutes=None)


def _waiting(record: StudyOnRecord, found: LiveIndex | LiveFinding) -> int:
    """How many runs that wait are left out of it: of its own tests and setups."""
    tests = (found.test,) if isinstance(found, LiveFinding) else found.tests
    return sum(
        each.state is RunState.IN_DOUBT and each.run.test in tests and each.run.setup in (found.a, found.b)
        for each in record.runs
    )


def _lacking(record: StudyOnRecord, found: LiveIndex | LiveFinding) -> list[str]:
    """Those of a pair in one test of which no run counts."""
    if not isinstance(found, LiveFinding):
        return []
    return [s for s in (found.a, found.b) if not any(r.state.counts for r in record.cell(found.test, s))]


def _line(
    found: LiveIndex | LiveFinding, names: Names, margin: float, waits: int, lacking: Sequence[str]
) -> LiveLine:
    where, stands = where_words(found, names), stands_words(found, names, lacking=lacking)
    settle = found.settle or Settle(more_runs=None)
    return LiveLine(
        key=found.test if isinstance(found, LiveFinding) else f"group:{found.group}" if found.group else "",
        where=where, a=names.setup(found.a), b=names.setup(found.b), outcome=found.outcome.value,
        sentence=so_far(where, stands), stands=stands,
        small=" ".join(filter(None, (until_settled(found), not_in_it(found, names), waiting_words(waits)))),
        bar=bar_of(found.ratio, found.low, found.high, margin=margin),
        more_runs=settle.more_runs, minutes=settle.minutes,
    )  # fmt: skip


def _left_to_plan(record: StudyOnRecord, p: Peeked) -> bool:
    """Whether the usual plan would have runs left of a pair's test: only then does one settle it sooner."""
    usual = record.once("live under the usual looks", _usual)
    return any(
        usual.needs(p.test, setup) and runs_there(record, (p.test, setup)) < usual.looks.last
        for setup in (p.a, p.b)
    )


def _usual(record: StudyOnRecord) -> Live:
    return live_study(cells_now(record), study=record.study, looks=CALIBRATED[0])


def _peeked_line(p: Peeked, names: Names, margin: float, left: bool) -> LiveLine:  # noqa: FBT001
    where = names.test(p.test)
    small = "" if p.settled else "Nobody declared looks, so this needs more evidence."
    if small:
        small += " A plan settles sooner." if left else " To go on, plan more runs with looks declared ahead."
    return LiveLine(
        key=p.test, where=where, a=names.setup(p.a), b=names.setup(p.b), outcome=p.outcome.value,
        sentence=so_far(where, stands_words(p, names)), stands=stands_words(p, names), small=small,
        bar=bar_of(p.ratio, p.low, p.high, margin=margin),
    )  # fmt: skip


def _summary(record: StudyOnRecord, peeked: Sequence[Peeked], names: Names, waits: int) -> LiveLine | None:
    """The first pair over its tests, since evidence without looks has no index."""
    if not any(p.n for p in peeked):
        return None
    own = [p for p in peeked if (p.a, p.b) == (peeked[0].a, peeked[0].b)]
    a, b = names.setup(own[0].a), names.setup(own[0].b)
    small = (only_of(a, b, of=len(record.study.setups)), without_looks(_closed_otherwise(record, own)))
    return LiveLine(
        key="", where="So far", a=a, b=b, outcome=Outcome.UNSETTLED.value,
        sentence=f"So far, by intervals that hold however often one looks: {_counted_outcomes(own, a, b)}",
        small=" ".join(filter(None, (*small, waiting_words(waits)))), bar=None,
    )  # fmt: skip


def _counted_outcomes(own: Sequence[Peeked], a: str, b: str) -> str:
    said = [(f"{a} ahead", Outcome.AHEAD), (f"{b} ahead", Outcome.BEHIND), ("level", Outcome.LEVEL)]
    counts = [(words, sum(p.outcome is outcome for p in own)) for words, outcome in said]
    told = [f"{words} in {count_word(n)}" for words, n in counts if n]
    still = sum(not p.settled for p in own)
    return ", ".join([*told, f"{count_word(still)} unsettled"] if still else told)


def _closed_otherwise(record: StudyOnRecord, own: Sequence[Peeked]) -> int:
    """In how many tests unsettled here the comparison, taking the runs as they are, settles this pair."""
    still = {(p.test, p.a, p.b) for p in own if not p.settled}
    return sum(
        f.headline and (f.test, f.a, f.b) in still and f.outcome is not Outcome.UNSETTLED
        for f in findings_now(record).findings
    )


def bar_of(ratio: float | None, low: float | None, high: float | None, *, margin: float) -> Bar | None:
    """An interval against the level band, which fills from an eighth to a third of the width.

    >>> bar_of(1.0, 0.98, 1.02, margin=0.03).dot
    50.0
    >>> bar_of(1.6, 1.4, 1.8, margin=0.03).dot is None
    True
    """
    if ratio is None:
        return None
    ends = [abs(math.log(end)) for end in (ratio, low, high) if end is not None]
    band = math.log1p(margin)
    reach = min(max(1.15 * max(ends), LEAST_REACH * band), MOST_REACH * band)
    place, dot = _Scale(reach), _Scale(reach)(math.log(ratio))
    placed = [None if end is None else place(math.log(end)) for end in (low, high)]
    out = [_edge(end) for end in (placed if low is not None else [dot]) if end is not None and not _in(end)]
    return Bar(
        band=(place(-band), place(band)),
        dot=dot if _in(dot) else None,
        low=None if placed[0] is None else _edge(placed[0]),
        high=None if placed[1] is None else _edge(placed[1]),
        arrows=tuple(dict.fromkeys(out)),
        beyond=beyond_words(ratio, low, high) if out or not _in(dot) else "",
    )


def beyond_words(ratio: float, low: float | None, high: float | None) -> str:
    r"""What a picture does not reach, with its numbers.

    >>> beyond_words(1.6, None, None)
    'beyond this picture: +60\xa0%'
    """
    if low is None or high is None:
        return f"beyond this picture: {_signed(ratio)}"
    return f"beyond this picture: {_signed(low)} to {_signed(high)}"


def _signed(ratio: float) -> str:
    return with_unit(number(100 * (ratio - 1), signed=True), "%")


def _in(place: float) -> bool:
    return 0.0 <= place <= 100.0


def _edge(place: float) -> float:
    return min(100.0, max(0.0, place))


@dataclass(frozen=True, slots=True)
class _Scale:
    reach: float

    def __call__(self, log: float) -> float:
        return 50.0 + 50.0 * log / self.reach
