"""The builds: what each is made of, in which states they are measured, and in what they differ."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from evenhand.desk.names import slots_of
from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.pages.done import Done, done_of
from evenhand.desk.pages.frame import Frame, frame_of
from evenhand.desk.pages.photos import Album, album_of
from evenhand.desk.pages.side_by_side import Row, rows_of
from evenhand.desk.study.building import KINDS, free_slots
from evenhand.desk.study.shelving import version_of
from evenhand.desk.study.used_by import setups_of
from evenhand.publish.numbers import capital, count_word, counted, listed
from evenhand.records.builds import Build, Part, Setup
from evenhand.records.studies import Study
from evenhand.store import shelves
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class PartRow:
    """One part in a build; `differs` where another build has another of this kind."""

    key: str
    kind: str
    name: str
    note: str
    differs: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class SetupRow:
    """One state of a build with what must not change in it; not `compared` where it only has runs."""

    key: str
    name: str
    state: str
    stamps: tuple[tuple[str, str], ...]
    runs: int
    compared: bool
    seen: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BuildCard:
    """One machine as the page shows it; `shared` names other studies that use it."""

    key: str
    name: str
    slot: int
    note: str
    parts: tuple[PartRow, ...]
    setups: tuple[SetupRow, ...]
    seen: int
    shared: tuple[str, ...]
    album: Album

    @property
    def compared(self) -> bool:
        """Whether any setup of it is compared; else it only has runs here: a swap, an anchor."""
        return any(setup.compared for setup in self.setups)

    @property
    def part_keys(self) -> frozenset[str]:
        """The keys of its parts."""
        return frozenset(part.key for part in self.parts)

    @property
    def forms(self) -> tuple[str, ...]:
        """The parts of the page that may be filled in inside this card."""
        of_setups = (f"{what}-{setup.key}" for setup in self.setups for what in ("setup", "sound"))
        return (f"new-setup-{self.key}", f"price-{self.key}", *of_setups)


@dataclass(frozen=True, slots=True, kw_only=True)
class BuildsPage:
    """What the page shows. `heads` are the setups over the columns of `rows`, each with its slot."""

    frame: Frame
    answer: str
    alike: str
    builds: tuple[BuildCard, ...]
    heads: tuple[tuple[str, int], ...]
    rows: tuple[Row, ...]
    free: tuple[int, ...]
    elsewhere: tuple[tuple[str, str], ...]
    part_names: Mapping[str, tuple[str, ...]]
    runs: int
    done: Done | None

    @property
    def aside(self) -> int:
        """How many builds have runs here and are not compared: a swap, an anchor."""
        return sum(not card.compared for card in self.builds)


def builds_page(wb: Workbench, study: str, *, done: int | None = None) -> BuildsPage:
    """The builds of a study; `done` is the number of a change that was just made. Raises NotFound."""
    record = load_study(wb, study)
    page = wb.lately(("builds page", study), lambda: page_now(wb, record))
    return page if done is None else replace(page, done=done_of(wb, record, done))


def page_now(wb: Workbench, record: StudyOnRecord) -> BuildsPage:
    """The builds as they stand."""
    albums = {build.key: album_of(wb, record.study.key, build) for build in record.builds.values()}
    with wb.reading():  # one view of the file for all else that the page asks
        return page_of(wb, record, albums)


def page_of(wb: Workbench, record: StudyOnRecord, albums: Mapping[str, Album]) -> BuildsPage:
    """What is read for it."""
    parts = {part.key: part for part in shelves.every(wb, Part)}
    rows, slots = tuple(rows_of(record, parts)), slots_of(record)
    return BuildsPage(
        frame=frame_of(record, "builds"),
        answer=answer_of(record, rows),
        alike=alike_words(record, rows),
        builds=build_cards(wb, record, parts=parts, rows=rows, albums=albums),
        heads=tuple((record.setups[key].name, slots[key]) for key in record.study.setups),
        rows=rows,
        free=free_slots(wb, record.study.key),
        elsewhere=setups_elsewhere(wb, record.study),
        part_names=part_names(parts),
        runs=len(record.runs),
        done=None,
    )


def answer_of(record: StudyOnRecord, rows: tuple[Row, ...]) -> str:
    """What the page opens with: how many, and in what they differ."""
    builds = compared_builds(record)
    if not builds:
        return "No build is in the study yet. Begin with the first machine."
    said = f"{capital(counted(len(builds), 'build'))}, {setups_words(record)}"
    if len(record.study.setups) == 1:
        return f"{said}. A comparison needs a second one."
    differing = tuple(row.what for row in rows if row.differs)
    return (
        f"{said}; they differ in {listed(differing)}."
        if differing
        else f"{said}; no difference is on record."
    )


def setups_words(record: StudyOnRecord) -> str:
    """How many setups there are of the builds.

    One each is the common case, and said so.
    """
    builds, setups = compared_builds(record), len(record.study.setups)
    if setups == len(builds):
        return "one setup each" if setups > 1 else "one setup"
    return f"{count_word(setups)} setups in all"


def compared_builds(record: StudyOnRecord) -> tuple[str, ...]:
    """The keys of the builds whose setups are compared."""
    return tuple(dict.fromkeys(record.setups[key].build for key in record.study.setups))


def alike_words(record: StudyOnRecord, rows: tuple[Row, ...]) -> str:
    """What all of them share, and what nobody can say; "" where there is nothing to be told."""
    alike = tuple(row.what for row in rows if not (row.differs or row.unknown))
    if len(record.study.setups) < 2:
        return ""
    unknown = tuple(row.what for row in rows if row.unknown)
    said = f"Alike in all: {listed(alike)}. " if alike else ""
    return f"{said}Not on record for all: {listed(unknown)}." if unknown else said.rstrip()


def build_cards(
    wb: Workbench,
    record: StudyOnRecord,
    *,
    parts: Mapping[str, Part],
    rows: tuple[Row, ...],
    albums: Mapping[str, Album],
) -> tuple[BuildCard, ...]:
    """The builds in the order in which they are compared, those that only have runs last."""
    differing = frozenset(row.what for row in rows if row.differs)
    others = [study for study in shelves.every(wb, Study) if study.key != record.study.key]
    used = {study.title: frozenset(setups_of(wb, study)) for study in others}
    return tuple(
        BuildCard(
            key=build.key,
            name=build.name,
            slot=build.slot,
            note=build.note,
            parts=tuple(part_row(parts[key], differing) for key in sorted_parts(build, parts)),
            setups=tuple(
                setup_row(wb, record, setup) for setup in record.setups.values() if setup.build == build.key
            ),
            seen=version_of(wb, build),
            shared=tuple(title for title, keys in used.items() if keys & setups_on(wb, build)),
            album=albums[build.key],
        )
        for build in record.builds.values()
    )


def setups_on(wb: Workbench, build: Build) -> frozenset[str]:
    """Every setup of a build, in whichever study."""
    return frozenset(setup.key for setup in shelves.every(wb, Setup) if setup.build == build.key)


def sorted_parts(build: Build, parts: Mapping[str, Part]) -> list[str]:
    """A build's parts, the usual kinds in their usual order."""
    order = {kind: at for at, kind in enumerate(KINDS)}
    return sorted(build.parts, key=lambda key: order.get(parts[key].kind, len(order)))


def part_row(part: Part, differing: frozenset[str]) -> PartRow:
    """One part of a build."""
    return PartRow(
        key=part.key, kind=part.kind, name=part.name, note=part.note, differs=part.kind in differing
    )


def setup_row(wb: Workbench, record: StudyOnRecord, setup: Setup) -> SetupRow:
    """One setup of a build."""
    return SetupRow(
        key=setup.key,
        name=setup.name,
        state=setup.state,
        stamps=tuple(setup.stamps.items()),
        runs=sum(each.run.setup == setup.key for each in record.runs),
        compared=setup.key in record.study.setups,
        seen=version_of(wb, setup),
    )


def setups_elsewhere(wb: Workbench, study: Study) -> tuple[tuple[str, str], ...]:
    """Setups on the workbench that the study does not compare, by key and name."""
    return tuple(
        (setup.key, setup.name) for setup in shelves.every(wb, Setup) if setup.key not in study.setups
    )


def part_names(parts: Mapping[str, Part]) -> dict[str, tuple[str, ...]]:
    """The names known of each kind, to be offered."""
    kinds = dict.fromkeys((*KINDS, *(part.kind for part in parts.values())))
    return {
        kind: tuple(dict.fromkeys(part.name for part in parts.values() if part.kind == kind))
        for kind in kinds
    }
