"""What a question about parts came to, before it is an answer."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TypeAlias

from evenhand.fit.reading import Item, Reading
from evenhand.fit.rules import Rule


@dataclass(frozen=True, slots=True)
class Said:
    """What was read, and whether that proves a misfit.

    `open` says that nothing read is missing and it still cannot be told. `remark` fills the rule's remark,
    `todo` names which of the rule's ways out there is.
    """

    read: Reading
    misfit: bool = False
    open: bool = False
    remark: Mapping[str, object] = field(default_factory=dict)
    todo: str = ""


Work: TypeAlias = Callable[[Rule, Sequence[Item]], Iterable[tuple[tuple[Item, ...], Said]]]
"""A rule over a whole build: the parts that it was asked of, and what it says of them."""


def of_kind(build: Sequence[Item], *kinds: str) -> tuple[Item, ...]:
    """The parts of these kinds, in the build's order."""
    return tuple(each for each in build if each.kind in kinds)
