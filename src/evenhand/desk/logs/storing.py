"""One reading onto the record: who the run is, its originals and layouts, then what was read of them."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from evenhand.desk.logs.layouts import keep_layout, meaning, note_correction
from evenhand.desk.logs.readings import Reader, Reading, Source
from evenhand.desk.opening import CODE_VERSION
from evenhand.records.layouts import Layout
from evenhand.records.runs import Run
from evenhand.records.windows import standing
from evenhand.store import metrics as metric_store
from evenhand.store import originals
from evenhand.store import runs as run_store
from evenhand.store import traces as trace_store
from evenhand.store.rows import Saved
from evenhand.store.workbench import Workbench


def facts_of(study: str, reading: Reading) -> tuple[object, ...]:
    """What makes a run this run and no other: with the number of the copy they give its id."""
    entry = reading.entry
    if entry.log is not None and reading.log is not None:
        return (reading.log.digest, entry.test, entry.setup)
    if entry.row is not None:
        return (study, entry.test, entry.setup, "row", entry.row.test, entry.row.run)
    return (study, entry.test, entry.setup, entry.boot, entry.order)


def run_of(reading: Reading, *, study: str, run_id: str) -> Run:
    """The record of a run that was read."""
    entry = reading.entry
    return Run(
        id=run_id,
        study=study,
        test=entry.test,
        setup=entry.setup,
        label=entry.label,
        log=reading.log.digest if reading.log else None,
        sensors=reading.sensors.digest if reading.sensors else None,
        score=reading.score,
        score_row=(entry.row.test, entry.row.run) if entry.row else None,
        boot=entry.boot,
        order=entry.order,
        started_at=entry.started_at,
        duration_s=entry.duration_s,
        ambient_c=entry.ambient_c,
        wall_w=entry.wall_w,
        stamps=entry.stamps,
        window=entry.window,
    )


def store(wb: Workbench, run: Run, reader: Reader, reading: Reading, *, now: datetime) -> Saved:
    """Put one run on record: originals first, then what was read from them."""
    run = replace(
        run,
        log_layout=keep_source(wb, reading.log, now=now),
        sensor_layout=keep_source(wb, reading.sensors, now=now),
    )
    run = as_cut_before(wb, run)
    note_correction(wb, run, now=now)
    saved = run_store.save_run(wb, run, now=now)
    if measured_otherwise(reader, run, reading):
        # Cut as was decided here; or the bytes of another run, met for the first time in this place.
        entry = replace(reading.entry, window=run.window)
        reading = replace(reader, measured=frozenset()).read(entry)
    if reading.fresh:
        if reading.packed_trace is not None:
            trace_store.save_trace(wb, run.id, reading.packed_trace)
        numbers = metric_store.save_metrics(wb, run.id, reading.metrics, code_version=CODE_VERSION, now=now)
        return Saved.CHANGED if saved is Saved.SAME and numbers is not Saved.SAME else saved
    return saved


def as_cut_before(wb: Workbench, run: Run) -> Run:
    """The run with the window of its own that was decided here, where the folder is silent about one."""
    before = None if run.window is not None else run_store.on_record(wb, run.id)
    return run if before is None else replace(run, window=before.window)


def measured_otherwise(reader: Reader, run: Run, reading: Reading) -> bool:
    """Whether what was read was measured in another window, or what is on record from other columns or so."""
    wanted = standing(reader.windows.get(run.test), run.window)
    if reading.fresh:
        return reading.packed_trace is not None and reading.window.sides != wanted.sides
    layout = reading.log.layout if reading.log else None
    return layout is not None and reader.by_run.get(run.id) != (meaning(layout), wanted.sides)


def keep_source(wb: Workbench, source: Source | None, *, now: datetime) -> str | None:
    """Keep a file's bytes and its layout; the layout's fingerprint."""
    if source is None:
        return None
    if source.kept is not None:
        originals.keep_packed(wb, source.kept.packed, name=source.kept.name, digest=source.kept.digest)
    layout: Layout | None = source.layout
    return None if layout is None else keep_layout(wb, layout, now=now).fingerprint
