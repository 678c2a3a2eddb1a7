"""Write a study back as a folder that anybody can import: its study file and every original."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path, PurePosixPath

from evenhand.desk.logs.missing_past import past_told
from evenhand.desk.logs.past_written import write_past
from evenhand.desk.logs.writing_out import filled_at_once
from evenhand.desk.on_record import RunOnRecord, StudyOnRecord, load_study
from evenhand.desk.parts.known import may_be
from evenhand.desk.study.photos_moved import photo_entries, write_photos
from evenhand.desk.tuning.going_out import trial_entries, tuned_entries
from evenhand.desk.tuning.heat_taking_in import heat_entries
from evenhand.folders.history_file import HISTORY_FILE, RESULTS_FILE
from evenhand.folders.study_folder import (
    STUDY_FILE,
    DecisionEntry,
    LayoutEntry,
    RunEntry,
    ScoreKey,
    StudyFolder,
)
from evenhand.folders.writing import write_study
from evenhand.records.builds import Part
from evenhand.records.heat import LoggedHeat
from evenhand.records.layouts import Layout
from evenhand.records.offers import Offer
from evenhand.records.part_facts import PartFact
from evenhand.records.prices import Currency, Price
from evenhand.records.rates import Rate
from evenhand.records.runs import Decision
from evenhand.records.tests import Measures
from evenhand.store import decisions, heat, originals, part_facts, prices, shelves, sound
from evenhand.store import offers as offer_store
from evenhand.store import rates as rate_store
from evenhand.store.workbench import Workbench

Watch = Callable[[int, int, str], None]

OWN_FILES = (STUDY_FILE, HISTORY_FILE, RESULTS_FILE)


@dataclass(frozen=True, slots=True, kw_only=True)
class ExportReport:
    """What was written: the folder, its files and their bytes."""

    study: str
    folder: Path
    runs: int
    files: int
    bytes_written: int


def export_study(wb: Workbench, study: str, folder: Path, *, watch: Watch | None = None) -> ExportReport:
    """The study with its past into an empty or new folder. Raises BadRecord where that holds anything.

    All of it or nothing: what cannot be written whole leaves nothing behind.
    """
    record = load_study(wb, study)
    with filled_at_once(folder, last=STUDY_FILE) as half:
        report = _written(wb, record, half, watch)
    return replace(report, folder=folder)


def _written(wb: Workbench, record: StudyOnRecord, folder: Path, watch: Watch | None) -> ExportReport:
    """Everything of a study into an empty folder."""
    files = FileNames(wb)
    logs = heat.heat_of(wb, record.setups, ever=True)
    layouts = used_layouts(wb, record, logs)
    entries = tuple(run_entry(wb, each, record, files, layouts) for each in record.runs)
    heated = heat_entries(wb, logs, files.placed_one, layouts)
    photos = photo_entries(wb, record.builds, lambda name: free(name, "", files.placed))
    whole = replace(
        without_files(wb, record), layouts=tuple(layouts.values()), runs=entries, heat=heated,
        photos=tuple(entry for entry, _ in photos),
    )  # fmt: skip
    study = record.study.key
    written = write_files(wb, folder, files.placed, watch) + write_photos(wb, folder, photos)
    past = write_past(wb, study, folder)
    text = write_study(replace(whole, past=past_told(wb, study, past)))
    (folder / STUDY_FILE).write_text(text, encoding="utf-8")
    return ExportReport(
        study=study,
        folder=folder,
        runs=len(entries),
        files=len(files.placed) + len(photos) + 1 + len(past),
        bytes_written=written + len(text.encode()) + sum(each.bytes_written for each in past.values()),
    )


def without_files(wb: Workbench, record: StudyOnRecord) -> StudyFolder:
    """What a study's folder tells of it, apart from what lies there in files."""
    parts = used_parts(wb, record)
    offers, paid = offers_seen(wb, parts), prices.prices_of(wb, record.builds)
    return StudyFolder(
        study=record.study,
        parts=parts,
        facts=used_facts(wb, record),
        builds=tuple(record.builds.values()),
        setups=tuple(record.setups.values()),
        tests=tuple(record.tests.values()),
        prices=paid,
        sound=sound.readings_of(wb, record.setups),
        offers=offers,
        rates=rates_between(wb, record.study.currency, (*offers, *paid)),
        tuned=tuned_entries(wb, record.setups),
        trials=trial_entries(wb, record.setups),
    )


def offers_seen(wb: Workbench, parts: Sequence[Part]) -> tuple[Offer, ...]:
    """What these parts were offered for; those of a day that is still to come do not count yet and stay."""
    every = offer_store.offers_of(wb, [part.key for part in parts])
    early = offer_store.early_offers(wb, [offer.id for offer in every])
    return tuple(offer for offer in every if offer.id not in early)


def rates_between(wb: Workbench, into: Currency | None, amounts: Iterable[Offer | Price]) -> tuple[Rate, ...]:
    """The exchange rates between a currency and those of these amounts."""
    used = {each.currency for each in amounts} - {into}
    return tuple(
        rate for rate in rate_store.rates(wb) if into in (rate.of, rate.into) and used & {rate.of, rate.into}
    )


class FileNames:
    """Gives each original the name it was seen under, and a number where two would share one."""

    def __init__(self, wb: Workbench) -> None:
        self.placed: dict[str, str] = {}
        self._wb = wb
        self._uses: dict[str, int] = {}

    def placed_one(self, digest: str) -> str:
        """The file name of bytes that may have one already, as a log of temperatures and of a run has."""
        return self.place(digest) or ""

    def place(self, digest: str | None, *, copy: bool = False) -> str | None:
        """The file name of these bytes; a further `copy` of a log gets a file of its own.

        That is the next name it was seen under; where it was seen under fewer, one with a number.
        """
        if digest is None:
            return None
        seen = [safe(name) for name in originals.names(self._wb, digest)]
        use = self._uses.get(digest, 0)
        self._uses[digest] = use + copy
        name = free(seen[use % len(seen)], "" if copy else digest, self.placed)
        self.placed[name] = digest
        return name


def safe(name: str) -> str:
    """A name that stays inside the folder: relative, with forward slashes, without steps upwards.

    >>> safe("../logs/a.csv"), safe("C:/a.csv"), safe("")
    ('logs/a.csv', 'C-/a.csv', 'log')
    """
    pieces = [
        p.replace(":", "-") for p in PurePosixPath(name.replace("\\", "/")).parts if p not in ("/", "..", ".")
    ]
    joined = "/".join(pieces)
    return "log" if not joined else ("logs/" + joined if joined in OWN_FILES else joined)


def free(name: str, digest: str, taken: Mapping[str, str]) -> str:
    """The name itself, or with a number before its ending where other bytes have it already."""
    path, number, candidate = PurePosixPath(name), 2, name
    while taken.get(candidate, digest) != digest:
        candidate = str(path.with_name(f"{path.stem}-{number}{path.suffix}"))
        number += 1
    return candidate


def used_layouts(wb: Workbench, record: StudyOnRecord, logs: Iterable[LoggedHeat]) -> dict[str, LayoutEntry]:
    """The layouts that runs and temperature logs were read by, by their marks, with names of their own."""
    read = (mark for r in record.runs for mark in (r.run.log_layout, r.run.sensor_layout))
    marks = dict.fromkeys(mark for mark in (*read, *(each.layout for each in logs)) if mark is not None)
    entries: dict[str, LayoutEntry] = {}
    for mark in marks:
        layout = shelves.one(wb, Layout, mark)
        name = free(layout.name, mark, {entry.name: key for key, entry in entries.items()})
        entries[mark] = LayoutEntry(name=name, kind=layout.kind, columns=layout.columns)
    return entries


def used_parts(wb: Workbench, record: StudyOnRecord) -> tuple[Part, ...]:
    """The parts of the study's builds, each once."""
    keys = dict.fromkeys(part for build in record.builds.values() for part in build.parts)
    return tuple(shelves.one(wb, Part, key) for key in keys)


def used_facts(wb: Workbench, record: StudyOnRecord) -> tuple[PartFact, ...]:
    """What is known of these parts; what stood before it stays here.

    So does what a part of its kind cannot have: that was noted when the part was called otherwise.
    """
    kinds = {part.key: part.kind for part in used_parts(wb, record)}
    standing = part_facts.facts_of(wb, kinds)
    return tuple(replace(fact, id=0) for fact in standing if may_be(kinds[fact.part], fact.fact, fact.value))


def run_entry(
    wb: Workbench,
    each: RunOnRecord,
    record: StudyOnRecord,
    files: FileNames,
    layouts: Mapping[str, LayoutEntry],
) -> RunEntry:
    """One run as the study file tells it."""
    run = each.run
    frames = record.tests[run.test].measures is Measures.FRAMES
    log = files.place(run.log, copy=frames)
    return RunEntry(
        test=run.test,
        setup=run.setup,
        label=run.label,
        log=log if frames else None,
        layout=name_of(layouts, run.log_layout),
        score=None if frames or log else run.score,
        scores=None if frames else log,
        row=ScoreKey(test=run.score_row[0], run=run.score_row[1]) if run.score_row else None,
        sensors=files.place(run.sensors),
        sensor_layout=name_of(layouts, run.sensor_layout),
        boot=run.boot,
        order=run.order,
        started_at=run.started_at,
        duration_s=run.duration_s,
        ambient_c=run.ambient_c,
        wall_w=run.wall_w,
        stamps=run.stamps,
        window=run.window,
        decisions=tuple(map(decision_entry, decisions.decisions_of_run(wb, run.id))),
        named=each.named,
    )


def name_of(layouts: Mapping[str, LayoutEntry], mark: str | None) -> str | None:
    """What the study file calls a layout."""
    return None if mark is None else layouts[mark].name


def decision_entry(decision: Decision) -> DecisionEntry:
    """A decision as the study file tells it."""
    return DecisionEntry(
        at=decision.at,
        state=decision.state,
        reason=decision.reason,
        note=decision.note,
        over=decision.over,
        masked=decision.masked,
        grounds=decision.grounds,
    )


def write_files(wb: Workbench, folder: Path, placed: Mapping[str, str], watch: Watch | None) -> int:
    """The originals into their files, one in memory at a time; how many bytes."""
    total = 0
    for done, (name, digest) in enumerate(placed.items(), start=1):
        data = originals.original(wb, digest)
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
        total += len(data)
        if watch is not None:
            watch(done, len(placed), name)
    return total
