"""Whether the parts of a build go together, and whether its supply bears them, from what is on record."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from evenhand.desk.on_record import StudyOnRecord, load_study
from evenhand.desk.parts.assuming import taken_by
from evenhand.desk.parts.items import facts_by_part, items_of
from evenhand.desk.study.used_by import users_of
from evenhand.errors import NotFound, nearest
from evenhand.fit.answers import Answer, worst
from evenhand.fit.asking import Fit, answer_of, fits
from evenhand.fit.efficiency import handed_on
from evenhand.fit.power import Budget, budget
from evenhand.fit.reading import Item, Seen
from evenhand.publish.fit_words import fit_sentence, unasked_sentence
from evenhand.publish.power_words import power_sentence
from evenhand.records.builds import Build
from evenhand.records.part_facts import PartFact
from evenhand.records.runs import RunState
from evenhand.records.studies import Study
from evenhand.store import shelves
from evenhand.store.workbench import Workbench

OUT = (RunState.SET_ASIDE, RunState.REPLACED)


@dataclass(frozen=True, slots=True, kw_only=True)
class AtTheWall:
    """The most that a meter read at the wall over a run of a build that was not set aside.

    `efficiency` is the share of it that the supply hands on; None where that is not on record, and then all
    of it counts, which is more than the machine can have drawn.
    """

    run: str
    label: str
    wall_w: float
    efficiency: float | None

    @property
    def behind_w(self) -> float:
        """What the machine drew behind its supply, at most."""
        return self.wall_w * (1.0 if self.efficiency is None else self.efficiency)


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitting:
    """One build: what every rule says, and its power budget, None without a supply.

    `facts` are those on record of its parts, by part and key, with source and day.
    """

    build: Build
    items: tuple[Item, ...]
    found: tuple[Fit, ...]
    budget: Budget | None
    wall: AtTheWall | None
    facts: Mapping[str, Mapping[str, PartFact]]

    @property
    def answer(self) -> Answer:
        """What the rules come to: without any, nobody knows."""
        return answer_of(self.found) if self.found else Answer.UNKNOWN

    @property
    def power(self) -> Answer:
        """What the power budget comes to."""
        return self.budget.answer if self.budget else Answer.UNKNOWN

    @property
    def whole(self) -> Answer:
        """Both together."""
        return worst((self.answer, self.power))

    @property
    def said(self) -> str:
        """The answer of the rules in a sentence."""
        return fit_sentence(self.found)

    @property
    def power_said(self) -> str:
        """The power budget in a sentence."""
        return power_sentence(self.budget)

    @property
    def unasked(self) -> str:
        """What could not be asked, "" where everything was."""
        return unasked_sentence(item.kind for item in self.items)

    @property
    def missing(self) -> tuple[Seen, ...]:
        """Every fact that an answer waits for, each once, in the order of the rules."""
        every = [seen for fit in self.found for seen in fit.missing]
        every += self.budget.missing if self.budget else ()
        return tuple({(seen.part.key, seen.fact.key): seen for seen in every}.values())


def fitting_of(wb: Workbench, build: Build, studies: Sequence[StudyOnRecord]) -> Fitting:
    """One build, with what was measured of it in these studies."""
    items = items_of(wb, build.parts)
    wall = at_the_wall(items, studies, build.key)
    return Fitting(
        build=build, items=items, found=fits(items),
        budget=budget(items, taken=taken_by(wb), measured_w=wall.behind_w if wall else None),
        wall=wall, facts=facts_by_part(wb, build.parts),
    )  # fmt: skip


def fittings_named(wb: Workbench, name: str) -> tuple[Fitting, ...]:
    """Every build of the study of this key, or else the build of it, with what was measured in every study.

    Raises NotFound with the nearest name.
    """
    builds = {build.key: build for build in shelves.every(wb, Build)}
    studies = {study.key for study in shelves.every(wb, Study)}
    if name in studies or name not in builds:
        if name not in studies:
            todo = nearest(name, {*studies, *builds}) if studies or builds else "bring in a study first"
            raise NotFound(f"no study or build is called '{name}'", where=str(wb.path), todo=todo)
        return fittings_of(wb, load_study(wb, name))
    build = builds[name]
    return (fitting_of(wb, build, [load_study(wb, study.key) for study in users_of(wb, build)]),)


def fittings_of(wb: Workbench, record: StudyOnRecord) -> tuple[Fitting, ...]:
    """Every build of a study, in the order of its page."""
    with wb.reading():
        return tuple(fitting_of(wb, build, (record,)) for build in record.builds.values())


def at_the_wall(items: Sequence[Item], studies: Sequence[StudyOnRecord], build: str) -> AtTheWall | None:
    """The most that was read at the wall; None where no run has it."""
    runs = [
        each.run
        for record in studies
        for each in record.runs
        if each.run.wall_w and each.state not in OUT and record.setups[each.run.setup].build == build
    ]
    if not runs:
        return None
    most = max(runs, key=lambda run: run.wall_w or 0.0)
    wall_w = most.wall_w or 0.0
    return AtTheWall(run=most.id, label=most.label, wall_w=wall_w, efficiency=handed_on(items, wall_w))
