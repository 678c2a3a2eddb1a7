"""One tuned part under one load, as its page shows it: sentences, pictures, and what comes next."""

from __future__ import annotations

import shlex
from dataclasses import dataclass

from evenhand.desk.pages.tuning_address import part_key
from evenhand.desk.pages.tuning_rows import LimitLine, TrialRow, gone_rows, limit_lines, trial_rows
from evenhand.desk.tuning.beside_stock import above_stock, against_stock, below_stock
from evenhand.desk.tuning.coming import maker_limit, next_said
from evenhand.desk.tuning.doubts_said import doubts_said
from evenhand.desk.tuning.scenes import WORTH_TELLING_H, claim_scene, claimed_point, map_scene
from evenhand.desk.tuning.standing import AtPoint, TuningNow
from evenhand.publish.figures.tuning.claim_bar import claim_bar
from evenhand.publish.figures.tuning.map import tuning_map
from evenhand.publish.names import Names
from evenhand.publish.numbers import capital
from evenhand.publish.picture import Picture
from evenhand.publish.style import page, phone
from evenhand.publish.tuning.advice import advice_words, caution_for, outlook_words
from evenhand.publish.tuning.claims import claim_words, may_words, more_words
from evenhand.publish.tuning.meanings import load_told, reckoned_words
from evenhand.publish.tuning.stock import stock_point
from evenhand.publish.tuning.titles import map_titles
from evenhand.publish.tuning.words import part_words, point_words, tuned_words
from evenhand.records.trials import Tuned
from evenhand.store.workbench import Workbench
from evenhand.tuning.planning import NextTrial


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """One picture twice: for wide pages, and for a phone."""

    wide: Picture
    narrow: Picture


@dataclass(frozen=True, slots=True, kw_only=True)
class ClaimShown:
    """What hours at a point claim, what it takes to claim more, what the part may and may not be called."""

    heading: str
    words: str
    more: str
    may: str
    may_not: tuple[str, ...]
    drawn: Drawn
    reckoned: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PartShown:
    """A tuned part: `key` and `name` as addresses and readers have it, and everything below the answer.

    `next` is what to try next, whose place forms begin with; `trials` are those that count.
    """

    key: str
    name: str
    slot: int
    tuned: Tuned
    load: str
    answer: str
    lead: str
    said_next: str
    caution: str
    runs_by: str
    load_told: str
    at_stock: str
    next: NextTrial | None
    map: Drawn | None
    claim: ClaimShown | None
    points: tuple[tuple[str, str], ...]
    advice: tuple[str, ...]
    outlooks: tuple[str, ...]
    doubts: tuple[str, ...]
    limits: tuple[LimitLine, ...]
    limits_gone: tuple[LimitLine, ...]
    trials: tuple[TrialRow, ...]
    gone: tuple[TrialRow, ...]


def part_shown(wb: Workbench, now: TuningNow, names: Names) -> PartShown:
    """A part under one load."""
    tuned, load = now.series.tuned, now.series.load
    return PartShown(
        key=part_key(tuned.setup, tuned.part), name=f"{names.setup(tuned.setup)}, {part_words(tuned.part)}",
        slot=names.slot(tuned.setup).number, tuned=tuned, load=load, answer=answer_of(now, names),
        lead=tuned_words(tuned), said_next=next_said(now),
        caution=caution_for(now.next.hours) if now.next else "",
        runs_by=rig_command(tuned), load_told=load_told(load), at_stock=_at_stock(now),
        next=now.next, map=map_drawn(now, names), claim=_claim(now, names),
        points=tuple((_at(now, point), claim_words(point.claim, load)) for point in now.points),
        advice=tuple(
            f"{advice_words(each, offset=tuned.offset, most=maker_limit(tuned))} "
            f"{against_stock(now, each)}".strip()
            for each in now.advice
        ),
        outlooks=tuple(
            outlook_words(each.clock_mhz, each.voltage_mv, each.prospect, offset=tuned.offset)
            for each in now.outlooks
        ),
        doubts=tuple(said for said in doubts_said(now) if said != next_said(now)),
        limits=limit_lines(wb, tuned), limits_gone=limit_lines(wb, tuned, gone=True),
        trials=trial_rows(wb, now.series), gone=gone_rows(wb, tuned),
    )  # fmt: skip


def rig_command(tuned: Tuned) -> str:
    """What is typed at the machine for the rig program to run what comes next."""
    return f"python3 evenhand-rig.pyz try --setup {tuned.setup} --part {shlex.quote(tuned.part)}"


def _at_stock(now: TuningNow) -> str:
    """Why more than stock's voltage is advised at its clock, where advice for another clock is told first."""
    for each in now.advice[:-1]:
        why = above_stock(now, each)
        if why and each.voltage_mv is not None:
            at = point_words(each.clock_mhz, each.voltage_mv, offset=now.series.tuned.offset)
            return f"{at} is advised, more than stock has there: {why[:1].lower()}{why[1:]}"
    return ""


def answer_of(now: TuningNow, names: Names) -> str:
    """What may be said, and of whose part: what hours at the advised point claim, or else edge and claim."""
    whose = f"{part_words(now.series.tuned.part)} of {names.setup(now.series.tuned.setup)}"
    wanted, at = (now.wanted.at if now.wanted else None), claimed_point(now)
    below = "" if at is None else below_stock(now, at.clock_mhz, at.voltage_mv)
    claimed = "" if at is None else f"{_at(now, at)}{below}: {_begun(claim_words(at.claim, now.series.load))}"
    if at is not None and at is wanted:
        return f"{capital(whose)}, {claimed}"
    told, tuned = (now.wanted.advice if now.wanted else None), now.series.tuned
    stock = stock_point(tuned)
    edge = f"{map_titles(now.series.trials, told, part=whose, offset=tuned.offset, stock=stock)[0]}."
    return f"{edge} {claimed}" if at is not None and at.claim.hours >= WORTH_TELLING_H else edge


def _begun(sentence: str) -> str:
    return sentence[:1].lower() + sentence[1:]


def _at(now: TuningNow, point: AtPoint) -> str:
    return point_words(point.clock_mhz, point.voltage_mv, offset=now.series.tuned.offset)


def map_drawn(now: TuningNow, names: Names) -> Drawn | None:
    """The map for a page; None where nothing was tried and nothing comes next."""
    scene = map_scene(now)
    if not scene.points:
        return None
    return Drawn(wide=tuning_map(scene, names, style=page()), narrow=tuning_map(scene, names, style=phone()))


def _claim(now: TuningNow, names: Names) -> ClaimShown | None:
    scene, at = claim_scene(now), claimed_point(now)
    if scene is None or at is None:
        return None
    may, may_not = may_words(at.claim, scene.load)
    advised = at is (now.wanted.at if now.wanted else None)
    return ClaimShown(
        reckoned=reckoned_words(at.claim) if advised else "",
        heading=f"What {_at(now, at)} may be called", words=claim_words(at.claim, scene.load),
        more=more_words(at.claim), may=may, may_not=may_not,
        drawn=Drawn(
            wide=claim_bar(scene, names, style=page()), narrow=claim_bar(scene, names, style=phone())
        ),
    )  # fmt: skip
