"""A proposal which column of a log is what, each with its reason: a person confirms it once.

Nothing here knows any program's format. It goes by general words in headers, by units, and by how
the values behave: a clock rises, frame times add up to what the clock spans.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from evenhand.records.layouts import Column, Layout, LogKind, Role
from evenhand.traces.evidence import Evidence, evidence
from evenhand.traces.fingerprints import fingerprint
from evenhand.traces.probe import Probe
from evenhand.traces.proposed_sensors import propose_sensors, sensor_role
from evenhand.traces.proposed_times import FRAME_WORDS, Timing, find_timing, propose_frames
from evenhand.traces.proposing import Proposed, header_says, unused

FRAME_STEP_S = 0.25  # a clock that ticks faster than four times a second ticks frames, not sensors
QUICK_STEP_S = 0.05  # no sensor is read so often: times that agree with such a clock are those of frames
TEST_WORDS = frozenset({"test", "scene", "task", "title", "workload", "name"})
RUN_WORDS = frozenset({"run", "pass", "repeat", "round", "iteration", "take"})
SCORE_WORDS = frozenset({"score", "result", "points", "value", "rate"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """What a log seems to hold: one `Proposed` a column, in the order of the file, with the first rows.

    `doubt` says why the proposal is not sure; empty only where the log can be read so, its header fits its
    rows and every used column is sure.
    """

    kind: LogKind
    reason: str
    columns: tuple[Proposed, ...]
    doubt: str
    fingerprint: str
    dialect: str
    preview: tuple[tuple[str, ...], ...]

    @property
    def sure(self) -> bool:
        """Whether nothing speaks against the proposal."""
        return not self.doubt

    def layout(self, name: str = "") -> Layout:
        """The proposal as a layout, unused columns left out."""
        used = tuple(p.column for p in self.columns if p.column.role is not Role.IGNORED)
        return Layout(fingerprint=self.fingerprint, kind=self.kind, columns=used, name=name)


def propose(probe: Probe) -> Proposal:
    r"""What each column seems to be, judged by header and first rows.

    >>> from evenhand.traces.probe import probe
    >>> text = b"n;t [s];frame [ms]\n0;0,0000;16,7\n1;0,0167;16,6\n2;0,0333;17,1\n3;0,0504;16,9\n"
    >>> proposal = propose(probe(text, name="a.csv"))
    >>> proposal.kind.value, [p.column.role.value for p in proposal.columns], proposal.sure
    ('frames', ['not used', 'elapsed time', 'frame time'], True)
    >>> proposal.columns[2].reason.split("; ")[1]
    'values 16.6 to 17.1, read as ms, about 60 frames per second'
    """
    columns = evidence(probe)
    timing = find_timing(columns)
    kind, reason = _kind(columns, timing)
    if kind is LogKind.FRAMES:
        proposed = propose_frames(columns, timing)
    elif kind is LogKind.SENSORS:
        proposed = propose_sensors(columns, timing)
    else:
        proposed = _propose_scores(columns)
    used = [p for p in proposed if p.column.role is not Role.IGNORED]
    rate = _rate_for_times(kind, columns, timing, readable=_readable(kind, used))
    return Proposal(
        kind=kind,
        reason=reason,
        columns=tuple(proposed),
        doubt=_doubt(probe, kind, rate, used),
        fingerprint=fingerprint(probe.header),
        dialect=probe.dialect,
        preview=probe.preview,
    )


def _kind(columns: Sequence[Evidence], timing: Timing) -> tuple[LogKind, str]:
    sensors = sum(sensor_role(c) is not None for c in columns if c not in (timing.clock, timing.frame))
    clock = timing.clock or timing.stamp
    named = timing.frame is not None and bool(timing.frame.words & FRAME_WORDS)
    in_step = timing.agree and timing.step_s < QUICK_STEP_S
    if timing.frame is not None and (named or in_step or not (sensors and clock)):
        return LogKind.FRAMES, f"column '{timing.frame.header}' holds a time for every frame"
    if clock is not None and sensors:
        return LogKind.SENSORS, f"'{clock.header}' is a clock beside {sensors} columns of readings"
    rates = any(c.is_rate for c in columns)
    if timing.clock is not None and timing.step_s < FRAME_STEP_S and not rates:
        return LogKind.FRAMES, f"'{timing.clock.header}' is a clock that ticks like frames"
    return LogKind.SCORES, "no frame time and no sensor reading found: one score a row"


def _doubt(probe: Probe, kind: LogKind, rate: str, used: Sequence[Proposed]) -> str:
    """Why a person should look before this is taken for true; empty where nothing speaks against it."""
    if not probe.header_fits:
        return f"the header (line {probe.header_line}) does not have a name for each column of the rows"
    if rate:
        return f"'{rate}' is a rate, not the time of each frame, and no column holds that"
    if not _readable(kind, used):
        return f"not all that a log of {kind} needs was found"
    unsure = [f"'{p.column.header}'" for p in used if not p.sure]
    return f"header and values do not settle {', '.join(unsure)}" if unsure else ""


def _rate_for_times(kind: LogKind, columns: Sequence[Evidence], timing: Timing, *, readable: bool) -> str:
    """The rate that stands where a frame log has its frame times; "" where there is none."""
    if kind is not LogKind.SCORES or (readable and not (timing.clock or timing.stamp)):
        return ""
    return next((c.header for c in columns if c.is_numeric and c.is_rate), "")


def _readable(kind: LogKind, used: Sequence[Proposed]) -> bool:
    roles = {p.column.role for p in used}
    times = roles & {Role.ELAPSED, Role.TIMESTAMP}
    if kind is LogKind.FRAMES:
        return Role.FRAME_TIME in roles or bool(times)
    if kind is LogKind.SENSORS:
        return bool(times) and len(roles) > len(times)
    return Role.SCORE in roles and Role.TEST in roles


def _propose_scores(columns: Sequence[Evidence]) -> list[Proposed]:
    test = _best(columns, TEST_WORDS, numeric=False)
    numeric = [c for c in columns if c.is_numeric]
    score = _best(numeric, SCORE_WORDS, numeric=True)
    run = next((c for c in columns if c.words & RUN_WORDS and c is not score and c is not test), None)
    return [_score_column(c, test, run, score) for c in columns]


def _best(columns: Sequence[Evidence], words: frozenset[str], *, numeric: bool) -> Evidence | None:
    """The column whose header says so, else the last column of numbers, or the first of texts."""
    named = [c for c in columns if c.words & words and c.is_numeric == numeric]
    fitting = [c for c in columns if c.is_numeric == numeric and not c.timed and not c.words & RUN_WORDS]
    if named:
        return named[0]
    return (fitting[-1] if numeric else fitting[0]) if fitting else None


def _score_column(
    seen: Evidence, test: Evidence | None, run: Evidence | None, score: Evidence | None
) -> Proposed:
    roles = ((test, Role.TEST, TEST_WORDS), (run, Role.RUN, RUN_WORDS), (score, Role.SCORE, SCORE_WORDS))
    for column, role, words in roles:
        if seen is column:
            unit = seen.unit.symbol if role is Role.SCORE and seen.unit is not None else ""
            holds = seen.span if seen.is_numeric else "holds words"
            return Proposed(
                column=Column(header=seen.header, role=role, unit=unit),
                reason=f"{header_says(seen, words)}; {holds}",
                sure=bool(seen.words & words),
            )
    return unused(seen, "not needed for scores")
