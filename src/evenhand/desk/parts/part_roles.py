"""What the columns of a table of parts may be, and what they seem to be."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from evenhand.desk.parts.catalogue import EVERY_KIND
from evenhand.desk.parts.known import known_facts
from evenhand.fit.known import FactKind
from evenhand.folders.cells import is_day
from evenhand.folders.sheet_roles import Proposal, Role, plain_words, proposed
from evenhand.folders.sheets import Sheet

NAME, NOTE, SOURCE, DAY = "name", "note", "source", "day"
_OWN = (
    Role(key=NAME, name="The part’s name", words=("part", "part name", "name", "product", "model")),
    Role(key=NOTE, name="Note", words=("note", "notes", "remark", "comment")),
    Role(key=SOURCE, name="Where it is from", words=("source", "from", "where")),
    Role(key=DAY, name="Read on", words=("day", "date", "read on", "on"), shape=is_day),
)
_UNITS = frozenset(("mm", "cm", "m", "in", "inch", "inches", "w", "kw", "mw", "gb", "tb", "mb", "mhz", "ghz"))


def roles(kind: str) -> tuple[Role, ...]:
    """What a column of a table of parts of this kind may be: what a part is called, and each fact."""
    return (*_OWN, *map(_of_fact, known_facts(kind).values()))


def _of_fact(about: FactKind) -> Role:
    name = about.name[:1].upper() + about.name[1:]
    said = {plain_words(about.key), plain_words(about.name), _without_unit(about)}
    return Role(
        key=about.key, name=f"{name}, {about.unit}" if about.unit else name, words=tuple(sorted(said)),
    )  # fmt: skip


def _without_unit(about: FactKind) -> str:
    return plain_words(about.key).removesuffix(f" {about.unit.casefold()}")


def columns_seem(sheet: Sheet, kind: str) -> tuple[Proposal, ...]:
    """What each column seems to be; one whose header has another unit than is asked for seems nothing."""
    units = {key: about.unit.casefold() for key, about in known_facts(kind).items()}
    return tuple(
        _with_unit(each, header, units.get(each.role, ""))
        for each, header in zip(proposed(sheet, roles(kind)), sheet.header, strict=True)
    )


def _with_unit(proposal: Proposal, header: str, wanted: str) -> Proposal:
    other = next((word for word in plain_words(header).split()[1:] if word in _UNITS and word != wanted), "")
    if not (proposal.role and wanted and other):
        return proposal
    return replace(proposal, role="", reason=f"its header says {other}, and {wanted} is asked for")


def kind_seems(sheet: Sheet) -> str:
    """The kind of part of which the most facts seem to stand in a table; "" where none does."""
    counts = dict(_facts_by_kind(sheet))
    best = max(counts.values(), default=0)
    return next((kind for kind in EVERY_KIND if best and counts[kind] == best), "")


def _facts_by_kind(sheet: Sheet) -> Iterator[tuple[str, int]]:
    own = {role.key for role in _OWN}
    for kind in EVERY_KIND:
        yield kind, sum(bool(each.role) and each.role not in own for each in columns_seem(sheet, kind))
