"""Upgrade paths of a study's builds, as somebody asks for them."""

from __future__ import annotations

from dataclasses import dataclass

from evenhand.desk.money.courses import Courses, courses_of
from evenhand.desk.money.grounds import Grounds, grounds_of
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class Grown:
    """What was found, and what it stands on. `unpriced` are builds without a price."""

    grounds: Grounds
    found: Courses
    unpriced: tuple[str, ...]


def paths_for(wb: Workbench, study: str, audience: str = "") -> Grown:
    """The upgrade paths of all builds for an audience, the first for "". Raises NotFound, BadRecord."""
    grounds = grounds_of(wb, study, audience)

    def search() -> Courses:
        return courses_of(list(grounds.shops.values()), grounds.goods, grounds.paid, grounds.terms)

    return Grown(
        grounds=grounds,
        found=wb.lately(_key(study, grounds.here.audience.key), search),
        unpriced=tuple(build for build in grounds.shops if build not in grounds.paid),
    )


def paths_are_known(wb: Workbench, study: str, audience: str = "") -> bool:
    """Whether the paths are known since anything was last changed. Raises as `paths_for` does."""
    return wb.has_lately(_key(study, grounds_of(wb, study, audience).here.audience.key))


def _key(study: str, audience: str) -> tuple[str, ...]:
    return ("upgrade paths", study, audience)
