"""Upgrade paths of a study's builds, as somebody asks for them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from evenhand.desk.money.courses import Courses, courses_of
from evenhand.desk.money.grounds import Grounds, grounds_of
from evenhand.desk.money.searching import Watch, unwatched
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class Grown:
    """What was found, and what it stands on. `unpriced` are builds without a price."""

    grounds: Grounds
    found: Courses
    unpriced: tuple[str, ...]


def paths_for(
    wb: Workbench, study: str, audience: str = "", *, watch: Watch = unwatched,
    keep: Callable[[Grown], None] = lambda _: None,
) -> Grown:  # fmt: skip
    """The upgrade paths of all builds for an audience, the first for "". Raises NotFound, BadRecord.

    `watch` is told how far the search is, and `keep` is given what is found so far.
    """
    grounds = grounds_of(wb, study, audience)

    def grown(found: Courses) -> Grown:
        unpriced = tuple(build for build in grounds.shops if build not in grounds.paid)
        return Grown(grounds=grounds, found=found, unpriced=unpriced)

    def search() -> Courses:
        names = {build: grounds.name(build) for build in grounds.shops}
        return courses_of(
            list(grounds.shops.values()), grounds.goods, grounds.paid, grounds.terms, names=names,
            watch=watch, keep=lambda found: keep(grown(found)),
        )  # fmt: skip

    return grown(wb.lately(_key(study, grounds.here.audience.key), search))


def nothing_grown(wb: Workbench, study: str, audience: str = "") -> Grown:
    """Before anything is found. Raises as `paths_for` does."""
    grounds = grounds_of(wb, study, audience)
    builds = tuple(build for build in grounds.shops if build in grounds.paid)
    return Grown(grounds=grounds, found=Courses(unfinished=builds), unpriced=())


def paths_are_known(wb: Workbench, study: str, audience: str = "") -> bool:
    """Whether the paths are known since anything was last changed. Raises as `paths_for` does."""
    return wb.has_lately(_key(study, grounds_of(wb, study, audience).here.audience.key))


def _key(study: str, audience: str) -> tuple[str, ...]:
    return ("upgrade paths", study, audience)
