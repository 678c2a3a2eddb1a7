"""Tuned parts in an article and a report: what each may be called, its map, advice, limits and trials."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial

from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.publication.tuning_beside import DRAWN, WARMTH, beside_said
from evenhand.desk.tuning.asking_watts import watts_of_study
from evenhand.desk.tuning.beside_stock import above_stock
from evenhand.desk.tuning.coming import maker_limit
from evenhand.desk.tuning.doubts_said import doubts_said
from evenhand.desk.tuning.heat import last_told
from evenhand.desk.tuning.heat_scene import heat_foot, heat_scene
from evenhand.desk.tuning.held import compared_parts, standing_of
from evenhand.desk.tuning.scenes import claim_scene, claimed_point, map_for_readers
from evenhand.desk.tuning.series import trials_ever
from evenhand.desk.tuning.standing import TuningNow
from evenhand.desk.tuning.watts_scene import watts_scenes
from evenhand.editions.article_tuning import BesideTold, Shown, TrialTold, TunedPart, TunedSeries
from evenhand.publish.dates import day_words
from evenhand.publish.direction import isolated
from evenhand.publish.figures.tuning.claim_bar import claim_bar
from evenhand.publish.figures.tuning.heat_curve import heat_curve
from evenhand.publish.figures.tuning.map import tuning_map
from evenhand.publish.figures.tuning.watts_curve import watts_curve
from evenhand.publish.names import Names
from evenhand.publish.numbers import capital
from evenhand.publish.palette import Theme
from evenhand.publish.picture import Picture
from evenhand.publish.style import page, phone
from evenhand.publish.tuning.advice import advice_words
from evenhand.publish.tuning.claims import may_words, more_words
from evenhand.publish.tuning.meanings import load_meaning, reckoned_words
from evenhand.publish.tuning.readers import called_words
from evenhand.publish.tuning.trials import ended_words
from evenhand.publish.tuning.words import (
    limit_words,
    load_words,
    note_words,
    part_words,
    point_words,
    series_words,
    tuned_words,
)
from evenhand.records.trials import Tuned
from evenhand.store.workbench import Workbench

PAPER = replace(page(Theme.LIGHT), width=900)  # px, as every picture of a report


def tuned_shown(wb: Workbench, record: StudyOnRecord, names: Names) -> Iterator[TunedPart]:
    """Every tuned part of a compared setup on which anything was tried."""
    for nth, tuned in enumerate(compared_parts(wb, record), start=1):
        standing = tuple(standing_of(wb, record, tuned))
        if standing:
            yield TunedPart(
                key=f"tuned-{nth}", name=f"{names.setup(tuned.setup)}, {part_words(tuned.part)}",
                slot=names.slot(tuned.setup).number, stock=tuned_words(tuned),
                limits=tuple((capital(each.quantity.value), limit_words(each)) for each in tuned.limits),
                series=tuple(_series(now, names) for now in standing),
                beside=tuple(_beside(wb, record, tuned, names)), trials=tuple(_trials(wb, tuned)),
            )  # fmt: skip


def _shown(draw: Callable[..., Picture]) -> Shown:
    """What `draw` makes of each `style`."""
    return Shown(wide=draw(style=page()), narrow=draw(style=phone()), paper=draw(style=PAPER))


def _beside(wb: Workbench, record: StudyOnRecord, tuned: Tuned, names: Names) -> Iterator[BesideTold]:
    for name, said in beside_said(wb, record, tuned).items():
        yield BesideTold(
            name=name, said=said,
            pictures=tuple(_warmth(wb, tuned, names)) if name == WARMTH else (),
            on_paper=tuple(_watts(wb, record, tuned, names)) if name == DRAWN else (),
        )  # fmt: skip


def _warmth(wb: Workbench, tuned: Tuned, names: Names) -> Iterator[Shown]:
    """The temperature log that tells most with its network; none where none tells one."""
    now = last_told(wb, tuned)
    scene = None if now is None or now.fit is None else heat_scene(now, settles=True, foot=heat_foot(now))
    if scene is not None:
        yield _shown(partial(heat_curve, scene, names))


def _watts(wb: Workbench, record: StudyOnRecord, tuned: Tuned, names: Names) -> Iterator[Picture]:
    """What it draws under each load, by each meter."""
    for now in standing_of(wb, record, tuned):
        for scene in watts_scenes(now, watts_of_study(wb, record, now)):
            yield watts_curve(scene, names, style=PAPER)


def _series(now: TuningNow, names: Names) -> TunedSeries:
    series, told = now.series, claimed_point(now)
    offset, most = series.tuned.offset, maker_limit(series.tuned)
    advice = {
        each.clock_mhz: (
            f"{advice_words(each, offset=offset, most=most, readers=True)} {above_stock(now, each)}".strip()
        )
        for each in now.advice
    }
    wanted = now.wanted.advice if now.wanted else None
    first = "" if wanted is None else advice.get(wanted.clock_mhz, "")
    called, more = "", ""
    beyond: tuple[str, ...] = ()
    if told is not None:
        at = point_words(told.clock_mhz, told.voltage_mv, offset=offset)
        may, beyond = may_words(told.claim, series.load)
        called, more = called_words(at, may), more_words(told.claim)
        called = f"{called} {load_meaning(series.load)}".strip()
        if now.wanted is not None and told is now.wanted.at:
            more = f"{more} {reckoned_words(told.claim)}"
    scene = claim_scene(now)
    return TunedSeries(
        load=isolated(series.load),
        about=capital(series_words(series.load, series.settings, len(series.trials))),
        called=called, not_called=beyond, more=more, first=first,
        advice=tuple(said for said in advice.values() if said != first),
        doubts=doubts_said(now, readers=True),
        map=_shown(partial(tuning_map, map_for_readers(now), names)),
        hours=None if scene is None else _shown(partial(claim_bar, scene, names)),
    )  # fmt: skip


def _trials(wb: Workbench, tuned: Tuned) -> Iterator[TrialTold]:
    """Every trial there ever was, in the order in which they came."""
    every, reasons = trials_ever(wb, tuned.setup, tuned.part)
    for trial in every:
        yield TrialTold(
            point=point_words(trial.clock_mhz, trial.voltage_mv, offset=tuned.offset),
            load=load_words(trial.load, trial.settings), ended=ended_words(trial),
            on="" if trial.at is None else day_words(trial.at.date()),
            back=note_words(reasons.get(trial.id, "")),
        )  # fmt: skip
