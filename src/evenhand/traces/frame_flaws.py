"""What is wrong with frame times and their clock: found in whole arrays, listed with lines."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import islice, pairwise

import numpy as np

from evenhand.traces.fields import is_clock_text, read_number, split_fields
from evenhand.traces.flaws import (
    CLOCK_GOES_BACK,
    CLOCK_STANDS,
    DUPLICATED_ROW,
    GAP,
    NEGATIVE_FRAME_TIME,
    SPAN_DISAGREES,
    ZERO_FRAME_TIME,
    FlawNotes,
)
from evenhand.traces.probe import DELIMITED, Probe
from evenhand.traces.tables import Bools, Floats, RowPlaces, Rows, Table

GAP_FRAMES = 0.5  # of a median frame: a missing row leaves a hole of one frame or more
GAP_NOISES = 8.0  # times the scatter between clock and frame times, where they are stamped apart
LONG_STEP_S = 1.0  # of a lone clock: a step past this and past 20 medians is a gap or a very long frame
LONG_STEP_MEDIANS = 20.0
STANDING_SHARE = 0.01  # a clock that stands more often than this is merely coarse
WITNESSED_FIRST = 64
WITNESSED_ROWS, FEWEST_ROWS = 2000, 8  # a column that rises so often by chance follows nothing but the count
SPAN_SHARE, SPAN_S = 0.003, 0.002  # disagreement of sum and span that is worth a line
MOST_SPELLED_S = 1e9  # thirty years: past it digits tell nothing more
_MAD_TO_SD = 1.4826


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ClockSteps:
    """Steps of the clock beside the frame times they belong to, both in ms, shape (n − 1,)."""

    steps_ms: Floats
    frames_ms: Floats


def find_flaws(frame_times_ms: Floats, elapsed_s: Floats | None, places: RowPlaces, notes: FlawNotes) -> None:
    """List everything odd about logged frame times and, where there is one, the clock beside them."""
    note_signs(frame_times_ms, 0, places, notes)
    if elapsed_s is None:
        return
    steps_ms = np.diff(elapsed_s) * 1e3
    twice = _duplicates(steps_ms, frame_times_ms, elapsed_s)
    note_clock(steps_ms, twice, places, notes)
    notes.note_all(DUPLICATED_ROW, places.lines(np.flatnonzero(twice)))
    pairs = paired(steps_ms, frame_times_ms)
    if pairs is not None:
        _note_gaps(pairs, places, notes)
        _note_span(pairs, notes)


def find_flaws_of_clock(elapsed_s: Floats, places: RowPlaces, notes: FlawNotes) -> None:
    """The same where frame times are nothing but the steps of the clock."""
    steps_ms = np.diff(elapsed_s) * 1e3
    note_signs(steps_ms, 1, places, notes)
    back = np.flatnonzero(steps_ms < 0)
    notes.note_all(CLOCK_GOES_BACK, places.lines(back + 1))
    usual = float(np.nanmedian(steps_ms)) if np.isfinite(steps_ms).any() else 0.0
    long = np.flatnonzero(steps_ms > max(1e3 * LONG_STEP_S, LONG_STEP_MEDIANS * usual))
    _note_holes(long, steps_ms, places, notes, "rows are missing, or one frame was that long")


def note_signs(times_ms: Floats, shift: int, places: RowPlaces, notes: FlawNotes) -> None:
    """Negative and zero frame times; value k stands in row k + `shift`."""
    if not times_ms.size or times_ms.min() > 0:
        return
    notes.note_all(NEGATIVE_FRAME_TIME, places.lines(np.flatnonzero(times_ms < 0) + shift))
    notes.note_all(ZERO_FRAME_TIME, places.lines(np.flatnonzero(times_ms == 0) + shift))


def note_clock(steps_ms: Floats, twice: Bools, places: RowPlaces, notes: FlawNotes) -> None:
    """A clock that goes back or stands; rows that stand a second time are told elsewhere."""
    if not steps_ms.size or steps_ms.min() > 0:
        return
    notes.note_all(CLOCK_GOES_BACK, places.lines(np.flatnonzero(steps_ms < 0) + 1))
    stands = np.flatnonzero((steps_ms == 0) & ~twice[1:]) + 1
    if stands.size <= STANDING_SHARE * steps_ms.size:
        notes.note_all(CLOCK_STANDS, places.lines(stands))


def note_copies(frame_times_ms: Floats, table: Table) -> None:
    """Rows equal to the row before, where a counter or a clock would have told them apart.

    Equal frame times prove nothing, nor do columns worked out from them: two frames in a row may well be
    as long as the log can tell. Only a column that never stands and never turns is a witness.
    """
    if not (frame_times_ms[1:] == frame_times_ms[:-1]).any():
        return
    both = enumerate(pairwise(table.places.written()), start=1)
    alike = np.fromiter((row for row, (before, now) in both if now == before), dtype=np.intp)
    copies = alike[frame_times_ms[alike] == frame_times_ms[alike - 1]]
    if copies.size and _rows_are_counted(frame_times_ms, copies, table):
        table.notes.note_all(DUPLICATED_ROW, table.places.lines(copies))


def _rows_are_counted(frame_times_ms: Floats, copies: Rows, table: Table) -> bool:
    """Whether, copies left out, some column counts on from row to row, and the frame times do not."""
    rows = np.setdiff1d(np.arange(frame_times_ms.size), copies)[:WITNESSED_ROWS]
    now, before = frame_times_ms[rows[1:]], frame_times_ms[rows[:-1]]
    if rows.size < FEWEST_ROWS or (now > before).all() or (now < before).all():
        return False  # frame times that only rise or fall would make every column that follows them a counter
    # Hardly any column counts on by chance for a few rows: most logs are told by their beginning.
    wanted = set(rows.tolist())
    begun = islice(table.places.written(), int(rows[-1]) + 1)
    written = [line for row, line in enumerate(begun) if row in wanted]
    return all(_some_column_counts(written[:many], table.probe) for many in (WITNESSED_FIRST, WITNESSED_ROWS))


def _some_column_counts(written: Sequence[bytes], seen: Probe) -> bool:
    fields = [_fields(line.decode(errors="replace"), seen) for line in written]
    return any(_counts_on(column, seen.decimal) for column in zip(*fields, strict=False))


def _fields(line: str, seen: Probe) -> list[str]:
    if seen.form == DELIMITED:
        return split_fields(line, seen.delimiter)
    try:
        row = json.loads(line)
    except ValueError:
        return []
    return [str(row.get(name, "")) for name in seen.header] if isinstance(row, dict) else []


def _counts_on(column: Sequence[str], decimal: str) -> bool:
    """Whether numbers, or else times of day, rise from each row to the next."""
    numbers = [read_number(text, decimal) for text in column]
    known = [number for number in numbers if number is not None]
    if len(known) == len(column):
        return all(a < b for a, b in pairwise(known))
    return all(is_clock_text(text) for text in column) and all(
        (len(a), a) < (len(b), b) for a, b in pairwise(column)
    )


def _duplicates(steps_ms: Floats, frame_times_ms: Floats, elapsed_s: Floats) -> Bools:
    """Rows whose clock and frame time stood before; looked for only if the clock ever fails to move on.

    A clock too coarse to tell rows apart is no witness: it stands between rows that differ, too.
    """
    stands_between = (steps_ms == 0) & (frame_times_ms[1:] != frame_times_ms[:-1])
    coarse = np.count_nonzero(stands_between) > STANDING_SHARE * steps_ms.size
    if steps_ms.size and not steps_ms.min() > 0 and not coarse:
        return repeated_rows(np.column_stack([elapsed_s, frame_times_ms]))
    return np.zeros(elapsed_s.size, dtype=np.bool_)


def repeated_rows(rows: Floats) -> Bools:
    """Which rows of a table, shape (n, k), equal an earlier one. Rows with NaN never do.

    >>> repeated_rows(np.array([[1.0, 2.0], [1.0, 3.0], [1.0, 2.0]])).tolist()
    [False, False, True]
    """
    order = np.lexsort(rows.T[::-1])
    same = (np.diff(rows[order], axis=0) == 0).all(axis=1)
    twice = np.zeros(len(rows), dtype=np.bool_)
    twice[order[1:][same]] = True
    return twice


def paired(steps_ms: Floats, frame_times_ms: Floats) -> ClockSteps | None:
    """Each step of the clock with its frame: the one that begins or the one that ends there, as it fits.

    A clock may be stamped at either end of a frame. Rows without both numbers are left out, as are steps
    back. None where fewer than two pairs are left.
    """
    begins, ends = frame_times_ms[:-1], frame_times_ms[1:]
    if steps_ms.size < 2:
        return None
    misfit = [_usual_misfit(steps_ms, x) for x in (begins, ends)]
    frames = begins if misfit[0] <= misfit[1] else ends
    return ClockSteps(steps_ms=steps_ms, frames_ms=frames) if np.isfinite(min(misfit)) else None


def _usual_misfit(steps_ms: Floats, frames_ms: Floats) -> float:
    """The median misfit over about a thousand rows, spread evenly: enough to tell two pairings apart."""
    every = steps_ms.size // 1000 + 1
    misfit = np.abs(steps_ms[::every] - frames_ms[::every])
    return float(np.nanmedian(misfit)) if np.isfinite(misfit).any() else np.inf


def _note_gaps(pairs: ClockSteps, places: RowPlaces, notes: FlawNotes) -> None:
    excess = pairs.steps_ms - pairs.frames_ms
    usual = float(np.nanmedian(pairs.frames_ms))
    if not np.nanmax(excess) > GAP_FRAMES * usual:
        return
    middle = float(np.nanmedian(excess))
    scatter = _MAD_TO_SD * float(np.nanmedian(np.abs(excess - middle)))
    bound = max(GAP_FRAMES * usual, GAP_NOISES * scatter) + 1e3 * _tick_s(pairs)
    holes = np.flatnonzero(excess - middle > bound)
    _note_holes(holes, excess, places, notes, "not accounted for by frames")


def _note_holes(holes: Rows, size_ms: Floats, places: RowPlaces, notes: FlawNotes, what: str) -> None:
    if holes.size:
        total_s, most_s = float(size_ms[holes].sum()) / 1e3, float(size_ms[holes].max()) / 1e3
        remark = f"{_in_s(total_s)} in all, {_in_s(most_s)} at most, {what}"
        notes.note_all(GAP, places.lines(holes + 1), remark=remark)


def _note_span(pairs: ClockSteps, notes: FlawNotes) -> None:
    both = np.isfinite(pairs.steps_ms + pairs.frames_ms)
    span_s, sum_s = float(pairs.steps_ms[both].sum()) / 1e3, float(pairs.frames_ms[both].sum()) / 1e3
    if span_s <= 0:
        sums = f"the clock spans {_in_s(span_s)}, the frame times add up to {_in_s(sum_s)}"
        notes.say(SPAN_DISAGREES, sums)
    elif abs(sum_s / span_s - 1) > SPAN_SHARE + (SPAN_S + _tick_s(pairs)) / span_s:
        ratio = f"ratio {sum_s / span_s:.4f}"
        notes.say(
            SPAN_DISAGREES, f"frame times add up to {_in_s(sum_s)}, the clock spans {_in_s(span_s)}: {ratio}"
        )


def _tick_s(pairs: ClockSteps) -> float:
    """The clock's own tick where it is coarse enough to stand between rows, else nothing."""
    moving = pairs.steps_ms[pairs.steps_ms > 0]
    return float(moving.min()) / 1e3 if moving.size and (pairs.steps_ms == 0).any() else 0.0


def _in_s(seconds: float) -> str:
    """Seconds to the millisecond; an absurd clock in as few digits as tell it."""
    return f"{seconds:.3f} s" if abs(seconds) < MOST_SPELLED_S else f"{seconds:.3g} s"
