"""What was planted in the example's prices, and whether it was found: turns, fixed costs, upgrade paths."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from evenhand.demo import planted_money as planted
from evenhand.demo.truth import PRICED_ON
from evenhand.demo.workshop import setup_key
from evenhand.desk.money.answers import money_of_study, replays
from evenhand.desk.money.basis import NOTHING
from evenhand.desk.money.courses import furthest, orders
from evenhand.desk.money.growing import Grown, paths_for
from evenhand.desk.money.valuing import valued
from evenhand.money.courses import SWING
from evenhand.publish import path_words, value_words
from evenhand.publish.dates import day_words
from evenhand.publish.numbers import listed
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """One thing that was planted: what it is, whether it was found, and what is told of it."""

    what: str
    found: bool
    told: str


def money_found(wb: Workbench, study: str) -> tuple[Found, ...]:
    """Everything that was planted in prices, with what is said of it on the day of the snapshot."""
    ground = money_of_study(wb, study, audience=planted.FOR, tried=NOTHING)
    (days, *_) = replays(wb, ground, today=PRICED_ON)
    turns = tuple(turn.on for turn in days.turns)
    value = valued(ground)
    trap = value is not None and (value.first_at(0), value.first_at(value.more_minor)) == (
        setup_key(planted.MOST_ALONE), setup_key(planted.MOST_WITH_DESK),
    )  # fmt: skip
    names = ground.names
    return (
        Found(
            what="prices that turn who is better value",
            found=turns == planted.TURNS,
            told=f"Between {names.setup(days.a)} and {names.setup(days.b)} it turned on "
            f"{listed(tuple(map(day_words, turns)))}.",
        ),
        Found(
            what="fixed costs that turn who gives most for the money",
            found=trap,
            told="" if value is None else f"{value_words.lead_words(value.leads, names, ground.currency)}.",
        ),
        _paths(paths_for(wb, study, planted.FOR)),
    )


def _paths(grown: Grown) -> Found:
    best = {build: furthest(own) for build, own in grown.found.of_builds.items()}
    net = {build: course.net_minor for build, course in best.items() if course is not None}
    return Found(
        what="upgrade paths",
        found=planted.NET.items() <= net.items(),
        told=" ".join(_told(grown)),
    )


def _told(grown: Grown) -> Iterator[str]:
    grounds = grown.grounds
    for build in planted.NET:
        course = furthest(grown.found.of_builds.get(build, ()))
        if course is not None:
            own, months = grounds.shops[build].own, grounds.terms.horizon_months
            story = path_words.story(own, course, names=grounds.goods.names, months=months)
            numbers = path_words.course_numbers(course, grounds.goods.currency)
            yield f"{grounds.name(build)}: {story[0].lower()}{story[1:-1]}, {numbers}."
    for one, other, hold in orders(grown.found, margin=grounds.record.study.margin):
        yield path_words.hold_words(grounds.name(one.start), grounds.name(other.start), hold, swing=SWING)
