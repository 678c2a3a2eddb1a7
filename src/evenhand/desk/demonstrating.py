"""The worked example: raw Saltmarsh logs in, planted faults found and decided, findings and pictures out."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from evenhand.demo.at_stock import at_stock
from evenhand.demo.planted import PLANTED, Planted
from evenhand.demo.saltmarsh import saltmarsh
from evenhand.desk.comparison.charting import save_pictures
from evenhand.desk.comparison.comparing import Compared, compare
from evenhand.desk.demonstrating_money import Found, money_found
from evenhand.desk.demonstrating_stock import stock_found
from evenhand.desk.demonstrating_tuning import tuning_found
from evenhand.desk.logs.importing import ImportReport, import_folder
from evenhand.desk.logs.writing_out import unwritable
from evenhand.desk.on_record import RunOnRecord, load_study
from evenhand.desk.runs.deciding import decision_about
from evenhand.desk.runs.evidence_charts import chart_study, evidence_name
from evenhand.desk.runs.said import Said
from evenhand.desk.runs.triaging import triage_study
from evenhand.records.runs import Reason, RunState
from evenhand.store import decisions
from evenhand.store.workbench import Workbench, open_workbench

Watch = Callable[[int, int, str], None]

# What the reviewer of the example decides about each kind of fault that was planted.
REASONS = {
    "rate-cap": Reason.RATE_CAP,
    "throttling": Reason.OTHER_CONDITIONS,
    "other-settings": Reason.WRONG_SETTINGS,
    "twin": Reason.DUPLICATE,
    "mixed-stamps": Reason.OTHER_SOFTWARE,
}
KEPT_NOTE = "nothing wrong was found in its log or its notes; its number alone is no reason"


@dataclass(frozen=True, slots=True, kw_only=True)
class Discovery:
    """One planted fault, the run it sits in as triage left it, and whether the expected kind was found.

    `picture` is the evidence for it, where it was drawn.
    """

    planted: Planted
    run: RunOnRecord
    found: bool
    picture: Path | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Demonstration:
    """Everything the example shows; `gained` is of its second study."""

    folder: Path
    workbench: Path
    imported: ImportReport
    discoveries: tuple[Discovery, ...]
    held_besides: tuple[RunOnRecord, ...]
    compared: Compared
    money: tuple[Found, ...]
    tuning: tuple[Found, ...]
    gained: tuple[Found, ...]
    pictures: tuple[Path, ...]


def demonstrate(folder: Path, *, now: datetime, watch: Watch | None = None) -> Demonstration:
    """Make the example in `folder`, anew each time: raw files, a workbench of its own, pictures."""
    raw, place = folder / "study", folder / "saltmarsh.evenhand"
    write_raw(raw)
    make_room(place)
    with open_workbench(place) as wb:
        imported = import_folder(wb, raw, now=now, watch=watch)
        discoveries, besides = discover(load_study(wb, imported.study).runs)
        decide_all(wb, discoveries, besides, now=now)
        compared = compare(wb, imported.study, now=now)
        money = money_found(wb, imported.study)
        tuning = tuning_found(wb)
        drawn = chart_study(wb, imported.study, now=now).drawn
        pictures = save_pictures(drawn, folder / "pictures", watch=watch)
        gained = bring_stock(wb, folder / "stock", now=now, watch=watch)
    return Demonstration(
        folder=folder,
        workbench=place,
        imported=imported,
        discoveries=tuple(with_picture(one, pictures) for one in discoveries),
        held_besides=besides,
        compared=compared,
        money=money,
        tuning=tuning,
        gained=gained,
        pictures=pictures,
    )


def write_raw(raw: Path) -> None:
    """The raw files as loggers would have left them."""
    write_files(raw, saltmarsh())


def bring_stock(wb: Workbench, raw: Path, *, now: datetime, watch: Watch | None) -> tuple[Found, ...]:
    """The second study, of Plover tuned and at stock, onto the same workbench; what is found of it."""
    write_files(raw, at_stock())
    return stock_found(wb, import_folder(wb, raw, now=now, watch=watch).study)


def write_files(raw: Path, files: Mapping[str, bytes]) -> None:
    """Files by their relative paths into a folder. Raises BadRecord where it cannot be written to."""
    try:
        for name, data in files.items():
            path = raw / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)
    except OSError as error:
        raise unwritable(raw, error) from error


def make_room(place: Path) -> None:
    """Take an earlier example's workbench away; nothing but the example ever has this name."""
    for ending in ("", "-wal", "-shm"):
        place.with_name(place.name + ending).unlink(missing_ok=True)


def discover(runs: Iterable[RunOnRecord]) -> tuple[tuple[Discovery, ...], tuple[RunOnRecord, ...]]:
    """Each planted fault with what triage made of its run, and runs held where nothing was planted."""
    by_label = {each.run.label: each for each in runs}
    planted = {one.label for one in PLANTED}
    discoveries = []
    for one in PLANTED:
        each = by_label[one.label]
        kinds = {fault.kind for fault in each.faults}
        discoveries.append(
            Discovery(planted=one, run=each, found=each.state is RunState.IN_DOUBT and one.kind in kinds)
        )
    besides = [e for e in by_label.values() if e.state is RunState.IN_DOUBT and e.run.label not in planted]
    return tuple(discoveries), tuple(besides)


def with_picture(one: Discovery, pictures: Sequence[Path]) -> Discovery:
    """The same with the picture of its evidence, where there is one among these."""
    name = f"{evidence_name(one.run.run.id, one.planted.kind)}.png"
    return replace(one, picture=next((path for path in pictures if path.name == name), None))


def decide_all(
    wb: Workbench, discoveries: Iterable[Discovery], besides: Iterable[RunOnRecord], *, now: datetime
) -> None:
    """What the reviewer of the example does: set the planted ones aside, keep what has no cause."""
    made = [
        decision_about(
            one.run,
            RunState.SET_ASIDE,
            Said(note=one.planted.story, now=now),
            reason=REASONS[one.planted.kind],
        )
        for one in discoveries
    ]
    made += [decision_about(each, RunState.KEPT, Said(note=KEPT_NOTE, now=now)) for each in besides]
    with wb.writing():
        for decision in made:
            decisions.add_decision(wb, decision)
        for study in {one.run.run.study for one in discoveries}:
            triage_study(wb, study, now=now)
