"""What temperature logs tell of a tuned part, as its page shows it; which logs there are; one to be noted."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from evenhand.desk.logs.column_questions import column_words
from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.pages.tuning_address import part_address
from evenhand.desk.pages.tuning_part import Drawn
from evenhand.desk.tuning.heat import HeatNow, chosen_log, heat_logs, heat_now, telling_log
from evenhand.desk.tuning.heat_clocks import allowed_said, clock_of_study
from evenhand.desk.tuning.heat_columns import HeatFile, look_at
from evenhand.desk.tuning.heat_noting import of_run
from evenhand.desk.tuning.heat_rows import (
    beside_said,
    fan_rows,
    heat_doubt_said,
    heat_ever,
    log_names,
    log_words,
    stage_rows,
)
from evenhand.desk.tuning.heat_scene import heat_scene
from evenhand.desk.tuning.standing import TuningNow
from evenhand.errors import NotFound
from evenhand.publish.direction import isolated
from evenhand.publish.figures.tuning.heat_curve import heat_curve
from evenhand.publish.names import Names
from evenhand.publish.numbers import capital
from evenhand.publish.style import page, phone
from evenhand.publish.tuning import heat as words
from evenhand.publish.tuning.heat_logs import rest_words
from evenhand.publish.tuning.words import note_words, part_words
from evenhand.records.heat import LoggedHeat
from evenhand.records.layouts import Column, Role
from evenhand.records.trials import Tuned
from evenhand.store import runs as run_store
from evenhand.store.workbench import Workbench
from evenhand.tuning.heat_outlook import HeatAsked, HeatOutlook

NONE_YET = "No temperature log is on record, so that nothing is known of another room, power or cooler."
NOT_TOLD = "What this log tells"
SAYS = "How warm it gets"


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatLooked:
    """Which log is looked at (None for the one that tells most) and what is asked of it."""

    log: int | None = None
    asked: HeatAsked = field(default_factory=HeatAsked)


@dataclass(frozen=True, slots=True, kw_only=True)
class LogRow:
    """One log by its number; `here` where it is the one that is told of, `why` it was taken back.

    `silent` says why a later log than the one that is told of is passed over.
    """

    number: int
    name: str
    set: str
    note: str
    address: str
    here: bool = False
    why: str = ""
    silent: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatShown:
    """The section of one tuned part.

    `told` are sentences after the first; `stages` and `fans` rows of tables; `trouble` why nothing is told.
    `asks` says whether another room, power or cooler can be asked about.
    """

    heading: str
    answer: str
    told: tuple[str, ...] = ()
    fell: str = ""
    held: str = ""
    rest: str = ""
    doubts: tuple[str, ...] = ()
    drawn: Drawn | None = None
    stages: tuple[tuple[str, ...], ...] = ()
    fans: tuple[tuple[str, ...], ...] = ()
    asks: bool = False
    how: str = words.HOW
    fixed: str = f"{words.FIXED} {words.COMES_ON_TOP}"
    logs: tuple[LogRow, ...] = ()
    gone: tuple[LogRow, ...] = ()
    runs: tuple[tuple[str, str], ...] = ()


def heat_shown(
    wb: Workbench, record: StudyOnRecord, standing: TuningNow, names: Names, looked: HeatLooked
) -> HeatShown:
    """The section. Raises NotFound for a log that is not of this part, or counts no more."""
    tuned = standing.series.tuned
    logs = heat_logs(wb, tuned.setup, tuned.part)
    runs = tuple((run.id, run.label) for run in run_store.sensed_runs(wb, tuned.setup))
    if not logs and looked.log is None:
        gone = tuple(_gone(wb, record, tuned))
        return HeatShown(heading=SAYS, answer=NONE_YET, gone=gone, runs=runs)
    now, silent = telling_log(wb, tuned, logs)
    if looked.log is not None or now is None:
        place = f"{tuned.part} of {names.setup(tuned.setup)}"
        now = heat_now(wb, tuned, chosen_log(logs, looked.log or 0, where=place))
    rows = tuple(
        _row(
            wb, record, tuned, each, here=each.id == now.heat.id,
            silent="" if each.id not in silent else words.trouble_words(silent[each.id]),
        )
        for each in logs
    )  # fmt: skip
    found = now.asked(looked.asked)
    allowed = () if found is None else allowed_said(clock_of_study(wb, record, standing, now, found))
    shown = _shown(now, names, found)
    return replace(
        shown, told=(*shown.told, *allowed), logs=rows, gone=tuple(_gone(wb, record, tuned)), runs=runs
    )


def _shown(now: HeatNow, names: Names, found: HeatOutlook | None) -> HeatShown:
    trouble = "" if now.trouble is None else words.trouble_words(now.trouble)
    return HeatShown(
        heading=SAYS if now.fit else NOT_TOLD,
        answer=trouble if found is None else words.settles_words(found),
        told=() if found is None else (*words.outlook_sentences(found), *beside_said(now)),
        fell=now.fell_said,
        held="" if now.held is None else words.held_words(now.held),
        rest="" if now.rest is None or now.rest.differs else rest_words(now.rest),
        doubts=tuple(heat_doubt_said(doubt, now) for doubt in now.doubts), drawn=_drawn(now, names),
        stages=() if now.fit is None or found is None else tuple(stage_rows(now.fit, found.watts)),
        fans=tuple(fan_rows(now)), asks=now.fit is not None,
    )  # fmt: skip


def _drawn(now: HeatNow, names: Names) -> Drawn | None:
    scene = heat_scene(now)
    if scene is None or scene.minutes <= 0:
        return None
    return Drawn(wide=heat_curve(scene, names, style=page()), narrow=heat_curve(scene, names, style=phone()))


def _row(
    wb: Workbench, record: StudyOnRecord, tuned: Tuned, heat: LoggedHeat, *, here: bool = False,
    why: str = "", silent: str = "",
) -> LogRow:  # fmt: skip
    by = f"by {isolated(heat.by)}" if heat.by else ""
    note = "; ".join(capital(each) for each in (note_words(heat.note), by) if each)
    return LogRow(
        number=heat.id, name=log_names(wb, [heat])[heat.log], set=log_words(heat, offset=tuned.offset),
        note=note, here=here, why=note_words(why), silent=silent,
        address=f"{part_address(record.study.key, tuned, log=heat.id)}#heat",
    )  # fmt: skip


def _gone(wb: Workbench, record: StudyOnRecord, tuned: Tuned) -> Iterator[LogRow]:
    every, why = heat_ever(wb, tuned.setup, tuned.part)
    for heat in reversed(every):
        if heat.id in why:
            yield _row(wb, record, tuned, heat, why=why[heat.id])


def heat_just(wb: Workbench, tuned: Tuned, just: str) -> str:
    """What was just done with a log, as a sentence; "" where nothing was or it is not of this part."""
    what, _, digits = just.partition("-")
    if what not in ("heat", "cold", "known") or not (
        digits.isascii() and digits.isdigit() and len(digits) < 19
    ):
        return ""
    every, why = heat_ever(wb, tuned.setup, tuned.part)
    if int(digits) not in {each.id for each in every}:
        return ""
    taken = int(digits) in why
    if what == "cold":
        return (
            f"Temperature log {digits} is taken back. It stays on record and counts no more." if taken else ""
        )
    was = "was on record already" if what == "known" else "is on record"
    return "" if taken else f"Temperature log {digits} {was}."


@dataclass(frozen=True, slots=True, kw_only=True)
class FileShown:
    """A log of a part that is to be noted: its columns to choose from, and what is read as its time.

    `asked` says that nobody has confirmed its columns before; saving does.
    """

    part: str
    name: str
    columns: tuple[tuple[str, str], ...]
    time: str
    asked: bool
    file: str = ""
    run: str = ""


def room_noted(wb: Workbench, tuned: Tuned, run: str) -> float | None:
    """The room that was noted with a run whose sensor log is asked about; None for a file."""
    return of_run(wb, tuned.setup, run).room_c if run else None


def file_shown(wb: Workbench, tuned: Tuned, *, log: str, run: str) -> FileShown:
    """A log that was brought, or a run's. Raises NotFound, BadLog."""
    found = look_at_named(wb, tuned, log=log, run=run)
    known = {column.header: column for column in found.layout.columns}
    times = [column for column in found.layout.columns if column.role in (Role.ELAPSED, Role.TIMESTAMP)]
    return FileShown(
        part=part_words(tuned.part), name=found.name, asked=found.asked is not None,
        file="" if run else log, run=run,
        columns=tuple((header, _column(header, known.get(header))) for header in found.header),
        time=column_words(times[0]) if times else "",
    )  # fmt: skip


def _column(header: str, column: Column | None) -> str:
    """A column by its header, and what it is taken for."""
    if column is None:
        return header
    return f"{header}: {column.role}{f' of {column.about}' if column.about else ''}"


def look_at_named(wb: Workbench, tuned: Tuned, *, log: str, run: str) -> HeatFile:
    """The log that a form is about: bytes that were brought, or a run's. Raises NotFound, BadLog."""
    if run:
        found = of_run(wb, tuned.setup, run)
        return look_at(wb, found.log, layout=found.layout)
    if not log:
        raise NotFound("no log was brought", where="log", todo="choose a file, or a run")
    return look_at(wb, log)
