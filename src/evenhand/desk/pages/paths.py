"""The page of upgrade paths: how far each build comes, as a story, and how firmly their order stands."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from evenhand.desk.money.courses import furthest, orders
from evenhand.desk.money.grounds import Grounds, left_out, stands_on
from evenhand.desk.money.growing import Grown
from evenhand.desk.names import names_of
from evenhand.desk.pages.better import CardLink, Option, card_links
from evenhand.desk.pages.frame import Frame, address, frame_of
from evenhand.money.courses import SWING, Course
from evenhand.publish import path_words as words
from evenhand.publish.choice_words import ESTIMATED
from evenhand.publish.figures.course_lines import CourseLine, course_lines
from evenhand.publish.money_words import amount
from evenhand.publish.numbers import counted, number
from evenhand.publish.picture import Picture

SEARCHING = "Every path of every build is being gone through."
NO_PATHS = "No path begins with any build yet."


@dataclass(frozen=True, slots=True, kw_only=True)
class CourseRow:
    """One course: the build with its slot, what is done when, and what that comes to."""

    build: str
    slot: int
    story: str
    net: str
    mean: str
    least: str
    bought: str
    fetched: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PathsPage:
    """Everything the page shows, in its order; without paths the `answer` and what lacks."""

    frame: Frame
    answer: str
    about: str
    audiences: tuple[Option, ...]
    furthest: tuple[CourseRow, ...]
    picture: Picture | None
    holding: tuple[str, ...]
    unbeaten: tuple[CourseRow, ...]
    assumed: tuple[str, ...]
    lacking: tuple[str, ...]
    cards: tuple[CardLink, ...]
    unfinished: str
    back: str
    whole: str
    asked: str
    found: bool = True


def paths_page(grounds: Grounds, grown: Grown | None) -> PathsPage:
    """The page for an audience, with as much as is found; nothing yet where that is None."""
    if grown is None:
        return _later(grounds)
    found = grown.found
    best = {build: each for build, own in found.of_builds.items() if (each := furthest(own)) is not None}
    return PathsPage(
        frame=frame_of(grounds.record, "money"),
        answer=_answer(grown, best),
        about=ESTIMATED if best else "",
        audiences=tuple(
            Option(key=each.key, name=each.name, here=each.key == grounds.here.audience.key)
            for each in grounds.record.study.audiences
        ),
        furthest=tuple(course_row(grounds, each) for each in best.values()),
        picture=_picture(grounds, best) if best else None,
        holding=tuple(
            words.hold_words(grounds.name(one.start), grounds.name(other.start), hold, swing=SWING)
            for one, other, hold in orders(found, margin=grounds.record.study.margin)
        ),
        unbeaten=tuple(course_row(grounds, each) for each in found.courses),
        assumed=(*assumed_words(grounds), *stands_on(grounds.goods)),
        lacking=_lacking(grown),
        cards=card_links(_card_place(grounds)) if best and not found.unfinished else (),
        unfinished=words.unfinished_words([grounds.name(build) for build in found.unfinished]),
        back=address(grounds.record.study.key, "money"), **_whole(grounds),
    )  # fmt: skip


def _later(grounds: Grounds) -> PathsPage:
    """The page while nothing is found yet."""
    return PathsPage(
        frame=frame_of(grounds.record, "money"), answer=SEARCHING, about="",
        audiences=(), furthest=(), picture=None, holding=(), unbeaten=(), assumed=(), lacking=(), cards=(),
        unfinished="", back=address(grounds.record.study.key, "money"), found=False, **_whole(grounds),
    )  # fmt: skip


def _whole(grounds: Grounds) -> dict[str, Any]:
    """Where all of it is to be had, and that address's query."""
    whole = f"{_card_place(grounds).replace('/card.{ending}', '')}&whole=1"
    return {"whole": whole, "asked": whole.partition("?")[2]}


def _card_place(grounds: Grounds) -> str:
    place = address(grounds.record.study.key, "money", "paths", "card.{ending}")
    key = grounds.here.audience.key if grounds.record.study.audiences else ""
    return f"{place}?audience={key}"


def _answer(grown: Grown, best: Mapping[str, Course]) -> str:
    """What the page opens with: the course that goes furthest, and who is beaten by it."""
    grounds, found = grown.grounds, grown.found
    if found.circles:
        return words.circle_words(grounds.goods.names[each.part] for each in found.circles)
    if not best:
        return NO_PATHS
    first = max(best.values(), key=lambda each: (each.path.mean, -each.net_minor))
    story = words.story(
        grounds.shops[first.start].own, first, names=grounds.goods.names, months=grounds.terms.horizon_months
    )
    return (
        f"{grounds.name(first.start)} comes furthest: {story[0].lower()}{story[1:-1]}, "
        f"{words.course_numbers(first, grounds.goods.currency)}."
    )


def course_row(grounds: Grounds, course: Course) -> CourseRow:
    """A course as a row."""
    currency = grounds.goods.currency
    return CourseRow(
        build=grounds.name(course.start),
        slot=grounds.record.builds[course.start].slot,
        story=words.story(
            grounds.shops[course.start].own, course, names=grounds.goods.names,
            months=grounds.terms.horizon_months,
        ),
        net=amount(course.net_minor, currency),
        mean=number(course.path.mean, 2),
        least=number(course.path.least, 2),
        bought=amount(course.bought_minor, currency),
        fetched=amount(course.fetched_minor, currency),
    )  # fmt: skip


def assumed_words(grounds: Grounds) -> tuple[str, ...]:
    """What all paths stand on, in sentences."""
    terms, currency = grounds.terms, grounds.goods.currency
    cash = f"{amount(terms.cash_minor, currency)} at once" if terms.cash_minor else "nothing at once"
    saved, months = amount(terms.saved_minor, currency), counted(terms.horizon_months, "month")
    return (
        f"Over {months}, with {cash} and {saved} more each month for changes.",
        words.assumed_words(terms.resale, terms.fall),
        "New parts stay at today’s price; what is worth less later is bought cheaper than told here.",
    )


def _lacking(grown: Grown) -> tuple[str, ...]:
    """Which builds no path begins with, and why."""
    grounds = grown.grounds
    told = [
        words.left_words(grounds.name(build), [grounds.goods.names[key] for key in parts])
        for build, parts in grown.found.left_out.items()
    ]
    told += [words.unmeasured_words(grounds.name(build)) for build in grown.found.unmeasured]
    told += [f"{grounds.name(build)} has no price, so no path begins with it." for build in grown.unpriced]
    told += left_out(grounds.goods)
    return tuple(told)


def lines_of(grounds: Grounds, best: Mapping[str, Course]) -> tuple[CourseLine, ...]:
    """The courses of builds as they are drawn."""
    return tuple(
        CourseLine(
            setup=grounds.setup_of(build), indexes=indexes_over(course), net_minor=course.net_minor,
            mean=course.path.mean,
        )
        for build, course in best.items()
    )  # fmt: skip


def _picture(grounds: Grounds, best: Mapping[str, Course]) -> Picture:
    return course_lines(
        lines_of(grounds, best), names_of(grounds.record),
        months=grounds.terms.horizon_months, currency=grounds.goods.currency,
    )  # fmt: skip


def indexes_over(course: Course) -> tuple[tuple[int, float], ...]:
    """From which month on a course has which index."""
    months = (0, *(change.month for change in course.path.changes))
    return tuple(zip(months, course.indexes, strict=True))
