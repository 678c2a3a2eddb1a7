"""One run's files into what is kept of them: a pure step, fit for a pool of threads."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime

from evenhand.desk.identity import digest
from evenhand.desk.latest import Latest
from evenhand.desk.layouts import Meaning, Question, Shelf, another_kind, meaning, unconfirmed
from evenhand.errors import BadLog, EvenhandError
from evenhand.folders.study_folder import RunEntry
from evenhand.metrics.alignment import clock_was_set, part_of_run
from evenhand.metrics.frames import measure
from evenhand.metrics.run_metrics import RunMetrics
from evenhand.metrics.score import score_metrics
from evenhand.metrics.sensors import summarise
from evenhand.metrics.within_run import within_run
from evenhand.records.layouts import Layout, LogKind
from evenhand.store.originals import pack_original
from evenhand.traces.codec import pack
from evenhand.traces.frames import read_frames
from evenhand.traces.probe import PREVIEW_ROWS, Probe, probe
from evenhand.traces.scores import read_scores
from evenhand.traces.sensors import read_sensors
from evenhand.traces.trace import ScoreTable, SensorLog, Trace

Header = tuple[tuple[str, ...], LogKind, str | None]  # the names, the kind of log, the layout asked for

NO_METRICS = RunMetrics(values={})
UNREADABLE = "log"  # the key under which a run's metrics say why its log could not be read


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """A file's bytes, named by their hash; `packed` is empty where they are on record already."""

    name: str
    digest: str
    packed: bytes


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """A file, what it looks like and the layout it is read by; `trouble` says why it could not be read."""

    kept: Kept | None
    seen: Probe | None = None
    layout: Layout | None = None
    question: Question | None = None
    trouble: EvenhandError | None = None

    @property
    def digest(self) -> str | None:
        """The hash of the bytes, where they could be had at all."""
        return None if self.kept is None else self.kept.digest


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What one run's files gave. `fresh` is False where they were on record and not read again."""

    entry: RunEntry
    log: Source | None = None
    sensors: Source | None = None
    score: float | None = None
    packed_trace: bytes | None = None
    metrics: RunMetrics = NO_METRICS
    fresh: bool = True

    @property
    def had(self) -> bool:
        """Whether the bytes of the run's log could be had; without them there is nothing to put on record."""
        return self.log is None or self.log.kept is not None


@dataclass(frozen=True, slots=True, kw_only=True)
class Reader:
    """All that reading a run needs: its files' bytes, the layouts, and what is on record already.

    `bytes_of` gives the bytes of a file by its name, and raises BadLog where they cannot be had.
    `stored` holds hashes of bytes that are kept, `measured` pairs of hash and what the layout says, for
    logs whose numbers this code has worked out before, and `by_run` what it said by run id. A layout's
    fingerprint would not do: a corrected layout keeps that of the header it was made for.
    """

    bytes_of: Callable[[str], bytes]
    layouts: Shelf
    stored: frozenset[str] = frozenset()
    measured: frozenset[tuple[str, Meaning]] = frozenset()
    by_run: Mapping[str, Meaning] = field(default_factory=dict)
    latest: Latest = field(default_factory=Latest)
    chosen: dict[Header, Layout] = field(default_factory=dict)

    def read(self, entry: RunEntry) -> Reading:
        """Read one run's files. Never raises for what a log holds: the trouble is told in the Reading."""
        if entry.log is not None:
            return self._frames(entry)
        return self._score(entry)

    def _frames(self, entry: RunEntry) -> Reading:
        source, data = self._open(entry.log or "", LogKind.FRAMES, entry.layout)
        sensors, readings = self._sensors(entry)
        seen = Reading(entry=entry, log=source, sensors=sensors)
        if source.layout is None or data is None:
            return unread(seen, source)
        if sensors is None and (source.digest, meaning(source.layout)) in self.measured:
            return replace(seen, fresh=False)
        try:
            trace = read_frames(data, source.layout, name=entry.log or "", seen=source.seen)
        except EvenhandError as trouble:
            return unread(seen, replace(source, trouble=trouble))
        metrics = measure(trace)
        metrics = replace(metrics, within_run=within_run(trace))
        return replace(seen, packed_trace=pack(trace), metrics=with_sensors(metrics, seen, readings, trace))

    def _score(self, entry: RunEntry) -> Reading:
        sensors, readings = self._sensors(entry)
        seen = Reading(entry=entry, sensors=sensors)
        if entry.score is not None:
            metrics = with_sensors(score_metrics(entry.score), seen, readings)
            return replace(seen, score=entry.score, metrics=metrics)
        source, data = self._open(entry.scores or "", LogKind.SCORES, entry.layout)
        seen = replace(seen, log=source)
        if source.layout is None or data is None:
            return unread(seen, source)
        try:
            score = row_of(read_scores(data, source.layout, name=entry.scores or ""), entry)
            metrics = score_metrics(score)
        except EvenhandError as trouble:
            return unread(seen, replace(source, trouble=trouble))
        return replace(seen, score=score, metrics=with_sensors(metrics, seen, readings))

    def _sensors(self, entry: RunEntry) -> tuple[Source | None, SensorLog | None]:
        if entry.sensors is None:
            return None, None
        source, data = self._open(entry.sensors, LogKind.SENSORS, entry.sensor_layout)
        if source.layout is None or data is None:
            return source, None
        try:
            return source, self._sensor_log(data, source, source.layout)
        except EvenhandError as trouble:
            return replace(source, trouble=trouble), None

    def _sensor_log(self, data: bytes, source: Source, layout: Layout) -> SensorLog:
        name = source.kept.name if source.kept else ""
        return self.latest.of((source.digest, meaning(layout)), lambda: read_sensors(data, layout, name=name))

    def _open(self, name: str, kind: LogKind, wanted: str | None) -> tuple[Source, bytes | None]:
        try:
            data = self.bytes_of(name)
        except BadLog as trouble:
            return Source(kept=None, trouble=trouble), None
        mark = digest(data)
        packed = b"" if mark in self.stored else self.latest.of((mark, "packed"), lambda: pack_original(data))
        kept = Kept(name=name, digest=mark, packed=packed)
        try:
            seen = probe(data, name=name, max_rows=PREVIEW_ROWS)
            chosen = self._layout(data, seen, kind, wanted)
        except EvenhandError as trouble:
            return Source(kept=kept, trouble=trouble), None
        if isinstance(chosen, Question) and chosen.kind is not kind:
            return Source(kept=kept, trouble=another_kind(chosen, kind)), None
        if isinstance(chosen, Question):
            return Source(kept=kept, question=chosen, trouble=unconfirmed(chosen)), None
        return Source(kept=kept, seen=seen, layout=chosen), data

    def _layout(self, data: bytes, seen: Probe, kind: LogKind, wanted: str | None) -> Layout | Question:
        """A layout once chosen for a header holds for every log of its kind with that header."""
        mark = (seen.header, kind, wanted)
        chosen = self.chosen.get(mark) or self.layouts.choose(data, name=seen.name, kind=kind, wanted=wanted)
        if isinstance(chosen, Layout):
            self.chosen[mark] = chosen
        return chosen


def unread(seen: Reading, source: Source) -> Reading:
    """A run whose log could not be read: on record all the same, with the reason."""
    return replace(seen, log=source, metrics=RunMetrics(values={}, absent={UNREADABLE: str(source.trouble)}))


def with_sensors(
    metrics: RunMetrics, seen: Reading, log: SensorLog | None, trace: Trace | None = None
) -> RunMetrics:
    """The metrics of a run together with the summaries of its sensors, or why there are none."""
    if log is None:
        trouble = seen.sensors.trouble if seen.sensors else None
        return metrics if trouble is None else without_sensors(metrics, str(trouble))
    duration_s = seen.entry.duration_s or metrics.values.get("duration_s")
    frames = trace.frame_times_ms if trace is not None else None
    found = part_of_run(log, frames, started_at=seen.entry.started_at, duration_s=duration_s)
    if found is None:
        return without_sensors(metrics, nowhere(log, seen.entry.started_at, duration_s))
    return replace(metrics, values={**metrics.values, **summarise(found[0])})


def nowhere(log: SensorLog, started_at: datetime | None, duration_s: float | None) -> str:
    """Why no part of a sensor log could be told to be this run's."""
    if duration_s is None:
        return "the sensor log covers more than this run: its start and length are needed to pick its part"
    if clock_was_set(log):
        days = (log.time_s[-1] - log.time_s[0]) / 86_400
        return f"the clock of the sensor log was set while it was written: its readings span {days:,.0f} days"
    if log.time_s[-1] < log.time_s[0]:
        back_s = log.time_s[0] - log.time_s[-1]
        return f"the clock of the sensor log runs back: its last reading lies {back_s:.0f} s before its first"
    length = f"the sensor log lasts {log.time_s[-1] - log.time_s[0]:.0f} s, the run {duration_s:.0f} s"
    if started_at is not None and log.started_at is not None:
        return f"{length}, and it has no reading in the time from {started_at.isoformat()}"
    return f"{length}, and neither load nor course tell where it lies: its start is needed to pick its part"


def without_sensors(metrics: RunMetrics, why: str) -> RunMetrics:
    """The metrics with the reason why no sensor is among them."""
    return replace(metrics, absent={**metrics.absent, "sensors": why})


def row_of(table: ScoreTable, entry: RunEntry) -> float:
    """The score in the row the run names. Raises BadLog where no row, or more than one, answers."""
    key = entry.row
    found = [row for row in table.rows if key and (row.test, row.run) == (key.test, key.run)]
    if len(found) != 1:
        wanted = f"test '{key.test}', run '{key.run}'" if key else "the run"
        raise BadLog(
            f"{len(found)} rows answer to {wanted}",
            where=entry.scores or "",
            todo="correct `row` in study.toml",
        )
    return found[0].score
