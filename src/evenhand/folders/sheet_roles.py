"""What the columns of a table seem to be: by plain words in its header, or by what its cells look like."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from evenhand.folders.sheets import Sheet

SURE = 0.9
"""The share of a column's first cells that has to look like a role."""
LOOKED_AT = 500


@dataclass(frozen=True, slots=True, kw_only=True)
class Role:
    """What a column may be: its key, what it is called, and the plain words that a header may say for it.

    `shape` looks at a cell: a column of this role has cells of that shape. `alone` looks at cells whose look
    is enough without any header.
    """

    key: str
    name: str
    words: tuple[str, ...]
    shape: Callable[[str], bool] | None = None
    alone: Callable[[str], bool] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """What a column seems to be, "" for nothing that is needed, and why."""

    role: str
    reason: str


def proposed(sheet: Sheet, roles: Sequence[Role]) -> tuple[Proposal, ...]:
    """A proposal for each column; no role is proposed twice."""
    taken: dict[int, Proposal] = {}
    for ways in (_by_words, _by_cells):
        for at, role, reason in ways(sheet, roles):
            if at not in taken and role.key not in {each.role for each in taken.values()}:
                taken[at] = Proposal(role=role.key, reason=reason)
    nothing = Proposal(role="", reason="nothing says what it is")
    return tuple(taken.get(at, nothing) for at in range(len(sheet.header)))


Found = Iterator[tuple[int, Role, str]]


def _by_words(sheet: Sheet, roles: Sequence[Role]) -> Found:
    """Headers that say a role's word alone come before those that say it among others."""
    named = [plain_words(name) for name in sheet.header] if sheet.named else []
    for whole in (True, False):
        for role in roles:
            for at, said in enumerate(named):
                own = [word for word in role.words if (said == word if whole else f" {word} " in f" {said} ")]
                if own and (role.shape is None or _look_so(sheet.column(at), role.shape)):
                    yield at, role, f"its header says “{own[0]}”"


def _by_cells(sheet: Sheet, roles: Sequence[Role]) -> Found:
    for role in roles:
        for at in range(len(sheet.header)):
            cells = sheet.column(at)
            if role.alone is not None and cells and _look_so(cells, role.alone):
                yield at, role, "its cells look so"


def _look_so(cells: Sequence[str], like: Callable[[str], bool]) -> bool:
    first = cells[:LOOKED_AT]
    return sum(map(like, first)) >= SURE * len(first)


def plain_words(header: str) -> str:
    """A header in plain words: no capitals, no signs.

    >>> plain_words(" Item-Price (dl) ")
    'item price dl'
    """
    return " ".join(re.findall(r"[^\W_]+", header.casefold()))


def chosen(sheet: Sheet, said: Mapping[int, str]) -> dict[str, int]:
    """The column of each role that was said, by the role's key; the first of two that were said alike."""
    found: dict[str, int] = {}
    for at, role in sorted(said.items()):
        if role and at < len(sheet.header):
            found.setdefault(role, at)
    return found
