"""Builds side by side: every kind of part and every stamp over all setups, and whether they differ."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.study.building import KINDS
from evenhand.records.builds import Build, Part

NOT_SAID = "not on record"


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One kind of part, or one stamp, over all setups; `unknown` where one of them has none on record."""

    what: str
    values: tuple[str, ...]
    differs: bool
    unknown: bool


def rows_of(record: StudyOnRecord, parts: Mapping[str, Part]) -> Iterator[Row]:
    """Every kind of part and every stamp over the setups that are compared."""
    setups = [record.setups[key] for key in record.study.setups]
    builds = [record.builds[setup.build] for setup in setups]
    for kind in kinds_of(builds, parts):
        yield row(kind, [", ".join(sorted(names_of_kind(build, kind, parts))) for build in builds])
    if len({setup.state for setup in setups}) > 1:
        yield row("state", [setup.state for setup in setups])
    for name in dict.fromkeys(name for setup in setups for name in setup.stamps):
        yield row(name, [setup.stamps.get(name, "") for setup in setups])


def row(what: str, values: list[str]) -> Row:
    """One line of the table."""
    known = {value for value in values if value}
    return Row(
        what=what,
        values=tuple(value or NOT_SAID for value in values),
        differs=len(known) > 1,
        unknown="" in values,
    )


def kinds_of(builds: list[Build], parts: Mapping[str, Part]) -> tuple[str, ...]:
    """The kinds of part in these builds, the usual ones in their usual order."""
    found = dict.fromkeys(parts[key].kind for build in builds for key in build.parts)
    return (*(kind for kind in KINDS if kind in found), *(kind for kind in found if kind not in KINDS))


def names_of_kind(build: Build, kind: str, parts: Mapping[str, Part]) -> list[str]:
    """What a build has of one kind."""
    return [parts[key].name for key in build.parts if parts[key].kind == kind]
