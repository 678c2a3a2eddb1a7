"""The tuning page: what may be said of a tuned part, what to try next and with what care, every trial."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from evenhand.desk.names import names_of
from evenhand.desk.on_record import load_study
from evenhand.desk.pages.frame import Frame, frame_of
from evenhand.desk.pages.tuning_address import part_address, part_key
from evenhand.desk.pages.tuning_heat import HeatLooked, HeatShown, heat_just, heat_shown
from evenhand.desk.pages.tuning_part import PartShown, part_shown
from evenhand.desk.pages.tuning_rows import just_words
from evenhand.desk.pages.tuning_watts import WattsShown, watts_shown
from evenhand.desk.pages.tuning_worth import WorthShown, worth_shown
from evenhand.desk.tuning.of_study import now_of, tuned_of
from evenhand.desk.tuning.series import Series, series_of
from evenhand.errors import NotFound
from evenhand.publish.names import Names
from evenhand.publish.tuning.advice import CAUTIONS
from evenhand.publish.tuning.meanings import LOADS, WORDS
from evenhand.publish.tuning.words import load_words, part_words
from evenhand.records.trials import Tuned
from evenhand.store.workbench import Workbench

NOTHING = "No part is tuned yet, so nothing may be said of any clock or voltage but stock."
NO_SETUP = "No setup is on record yet, so there is no part that could be tuned."
FIRST = (
    "Look up the most that the maker allows of voltage, clock, temperature and power, and keep its source.",
    "Note the part: its clock and voltage at stock, and the steps that the firmware offers.",
    "Note the maker's limits. Without one of the voltage no trial is named and nothing is advised.",
    "Begin at stock, with a backup that was read back, beside the machine.",
)
"""What to do before anything is tuned, in order."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Chip:
    """One way to look: a part of a setup, or a load."""

    words: str
    address: str
    here: bool
    slot: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class TuningPage:
    """Everything the page shows. `part` is None where none is tuned; `setups` are pairs of key and name."""

    frame: Frame
    answer: str
    lead: str
    just: str = ""
    parts: tuple[Chip, ...] = ()
    loads: tuple[Chip, ...] = ()
    part: PartShown | None = None
    watts: WattsShown | None = None
    heat: HeatShown | None = None
    worth: WorthShown | None = None
    setups: tuple[tuple[str, str], ...] = ()
    first: tuple[str, ...] = FIRST
    cautions: tuple[str, ...] = CAUTIONS
    loads_told: Mapping[str, str] = field(default_factory=lambda: LOADS)
    words_told: Mapping[str, str] = field(default_factory=lambda: WORDS)


@dataclass(frozen=True, slots=True, kw_only=True)
class Looked:
    """Which part ("setup~part") is looked at, under which of its loads by place, and what was just done."""

    of: str = ""
    load: int = 0
    just: str = ""
    heat: HeatLooked = field(default_factory=HeatLooked)


def tuning_page(wb: Workbench, study: str, looked: Looked) -> TuningPage:
    """The page of a study. Raises NotFound for a study or a part that is not on record."""
    record, names = load_study(wb, study), names_of(load_study(wb, study))
    frame, tuned = frame_of(record, "tuning"), tuned_of(wb, record)
    setups = tuple((key, names.setup(key)) for key in record.study.setups)
    if not tuned:
        return TuningPage(
            frame=frame, answer=NOTHING if setups else NO_SETUP, lead="", setups=setups,
        )  # fmt: skip
    own = _chosen(tuned, looked.of)
    every = series_of(wb, own.setup, own.part)
    series = every[min(looked.load, len(every) - 1)]
    now = now_of(record, series)
    part = part_shown(wb, now, names)
    return TuningPage(
        frame=frame, answer=part.answer, lead=part.lead, setups=setups, part=part,
        watts=watts_shown(wb, record, now, names), worth=worth_shown(wb, record, own.setup, names),
        heat=heat_shown(wb, record, now, names, looked.heat),
        just=just_words(wb, own, looked.just) or heat_just(wb, own, looked.just),
        parts=tuple(_part_chips(study, tuned, own, names)), loads=tuple(_load_chips(study, every, series)),
    )  # fmt: skip


def _chosen(tuned: tuple[Tuned, ...], of: str) -> Tuned:
    if not of:
        return tuned[0]
    found = next((each for each in tuned if part_key(each.setup, each.part) == of), None)
    if found is None:
        raise NotFound(
            f"'{of}' is no tuned part of this study", where="part", todo="choose one of the page's"
        )
    return found


def _part_chips(study: str, every: tuple[Tuned, ...], own: Tuned, names: Names) -> Iterator[Chip]:
    for tuned in every:
        slot = names.slot(tuned.setup).number
        words = f"{names.setup(tuned.setup)}, {part_words(tuned.part)}"
        yield Chip(words=words, address=part_address(study, tuned), here=tuned == own, slot=slot)


def _load_chips(study: str, every: tuple[Series, ...], own: Series) -> Iterator[Chip]:
    for place, series in enumerate(every):
        words = load_words(series.load, series.settings)
        there = part_address(study, series.tuned, load=place)
        yield Chip(words=words or "no load yet", address=there, here=series is own)
