"""One run's files into what is kept of them: a pure step, fit for a pool of threads."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

from evenhand.desk.latest import Latest
from evenhand.desk.logs.column_questions import Question, another_kind, unconfirmed
from evenhand.desk.logs.identity import digest
from evenhand.desk.logs.layouts import Meaning, Shelf, meaning
from evenhand.desk.logs.measuring import Taken, frames_measured, with_log, without_sensors
from evenhand.desk.logs.score_rows import score_of_row
from evenhand.errors import BadLog, EvenhandError
from evenhand.folders.study_folder import RunEntry
from evenhand.metrics.run_metrics import RunMetrics
from evenhand.metrics.score import score_metrics
from evenhand.records.layouts import Layout, LogKind
from evenhand.records.windows import WHOLE, Window, standing
from evenhand.store.originals import pack_original
from evenhand.traces.codec import pack
from evenhand.traces.frames import read_frames
from evenhand.traces.probe import PREVIEW_ROWS, Probe, probe
from evenhand.traces.scores import read_scores
from evenhand.traces.sensors import read_sensors
from evenhand.traces.trace import SensorLog, Trace

Header = tuple[tuple[str, ...], LogKind, str | None]  # the names, the kind of log, the layout asked for
Sides = tuple[float, float]
MeasuredBy = tuple[Meaning, Sides]  # what a log's columns were taken for, and the window that was measured

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
    """What one run's files gave. `fresh` is False where they were on record and not read again.

    `window` is the part of its log that was measured.
    """

    entry: RunEntry
    log: Source | None = None
    sensors: Source | None = None
    score: float | None = None
    packed_trace: bytes | None = None
    metrics: RunMetrics = NO_METRICS
    fresh: bool = True
    window: Window = WHOLE

    @property
    def had(self) -> bool:
        """Whether the bytes of the run's log could be had; without them there is nothing to put on record."""
        return self.log is None or self.log.kept is not None


@dataclass(frozen=True, slots=True, kw_only=True)
class Reader:
    """All that reading a run needs: its files' bytes, the layouts, and what is on record already.

    `bytes_of` gives the bytes of a file by its name, and raises BadLog where they cannot be had; `size_of`
    says how many there are, 0 where nobody knows.
    `stored` holds hashes of bytes that are kept, `measured` hashes with what the layout says and the window,
    for logs whose numbers this code has worked out before, and `by_run` both by run id. A layout's
    fingerprint would not do: a corrected layout keeps that of the header it was made for. `windows` are the
    measured windows of tests, by their keys.
    """

    bytes_of: Callable[[str], bytes]
    layouts: Shelf
    size_of: Callable[[str], int] = lambda _name: 0
    stored: frozenset[str] = frozenset()
    measured: frozenset[tuple[str, MeasuredBy]] = frozenset()
    by_run: Mapping[str, MeasuredBy] = field(default_factory=dict)
    windows: Mapping[str, Window] = field(default_factory=dict)
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
        window = standing(self.windows.get(entry.test), entry.window)
        seen = Reading(entry=entry, log=source, sensors=sensors, window=window)
        if source.layout is None or data is None:
            return unread(seen, source)
        if sensors is None and (source.digest, (meaning(source.layout), window.sides)) in self.measured:
            return replace(seen, fresh=False)
        try:
            trace = read_frames(data, source.layout, name=entry.log or "", seen=source.seen)
        except EvenhandError as trouble:
            return unread(seen, replace(source, trouble=freed(trouble)))
        del data  # the whole text, of no more use
        metrics = with_sensors(frames_measured(trace, window), seen, readings, trace)
        return replace(seen, packed_trace=pack(trace), metrics=metrics)

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
            table = read_scores(data, source.layout, name=entry.scores or "")
            score = score_of_row(table, entry, source.layout)
            metrics = score_metrics(score)
        except EvenhandError as trouble:
            return unread(seen, replace(source, trouble=freed(trouble)))
        return replace(seen, score=score, metrics=with_sensors(metrics, seen, readings))

    def sensors_of(self, name: str, wanted: str | None) -> Source:
        """A sensor log that belongs to no run, and the layout by which it is read."""
        return self._open(name, LogKind.SENSORS, wanted)[0]

    def _sensors(self, entry: RunEntry) -> tuple[Source | None, SensorLog | None]:
        if entry.sensors is None:
            return None, None
        source, data = self._open(entry.sensors, LogKind.SENSORS, entry.sensor_layout)
        if source.layout is None or data is None:
            return source, None
        try:
            return source, self._sensor_log(data, source, source.layout)
        except EvenhandError as trouble:
            return replace(source, trouble=freed(trouble)), None

    def _sensor_log(self, data: bytes, source: Source, layout: Layout) -> SensorLog:
        name = source.kept.name if source.kept else ""
        return self.latest.of((source.digest, meaning(layout)), lambda: read_sensors(data, layout, name=name))

    def _open(self, name: str, kind: LogKind, wanted: str | None) -> tuple[Source, bytes | None]:
        try:
            data = self.bytes_of(name)
        except BadLog as trouble:
            return Source(kept=None, trouble=freed(trouble)), None
        mark = digest(data)
        packed = b"" if mark in self.stored else self.latest.of((mark, "packed"), lambda: pack_original(data))
        kept = Kept(name=name, digest=mark, packed=packed)
        try:
            seen = probe(data, name=name, max_rows=PREVIEW_ROWS)
            chosen = self._layout(data, seen, kind, wanted)
        except EvenhandError as trouble:
            return Source(kept=kept, trouble=freed(trouble)), None
        if isinstance(chosen, Question) and chosen.kind is not kind:
            return Source(kept=kept, trouble=another_kind(chosen, kind)), None
        if isinstance(chosen, Question):
            return Source(kept=kept, question=chosen, trouble=unconfirmed(chosen)), None
        return Source(kept=kept, seen=seen, layout=chosen), data

    def _layout(self, data: bytes, seen: Probe, kind: LogKind, wanted: str | None) -> Layout | Question:
        """A layout once chosen for a header holds for every log of its kind with that header."""
        mark = (seen.header, kind, wanted)
        chosen = self.chosen.get(mark) or self.layouts.choose(data, seen, kind=kind, wanted=wanted)
        if isinstance(chosen, Layout):
            self.chosen[mark] = chosen
        return chosen


def freed(trouble: EvenhandError) -> EvenhandError:
    """The trouble without the frames it was raised in: they would hold a whole log in memory."""
    trouble.__cause__ = trouble.__context__ = None
    return trouble.with_traceback(None)


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
    entry = seen.entry
    duration_s = entry.duration_s or (metrics.values.get("duration_s") if trace is None else None)
    taken = Taken(trace=trace, started_at=entry.started_at, duration_s=duration_s)
    return with_log(metrics, log, taken, seen.window)
