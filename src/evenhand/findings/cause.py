"""The nouns of causes: an effect of parts in one test, and how it stands."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from evenhand.findings.effects import Effect
from evenhand.findings.finding import Caveat
from evenhand.stats.designs import Change


class Sort(StrEnum):
    """Whether it is what changes do together, or how far one depends on the other."""

    EFFECT = "effect"
    INTERACTION = "interaction"


class Standing(StrEnum):
    """What may be said of it."""

    SHOWN = "shown"
    BUNDLED = "one bundle"
    BESIDE = "not the question"
    UNREAD = "could not be read"
    NOT_MEASURED = "not measured"
    REFUSED = "refused"


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause:
    """What one change, or a bundle that nothing tells apart, does in one test: setup a over setup b.

    `changes` run from b's level to a's. Shown: the change stands alone and its effect is a cause. One bundle:
    the joint effect of several, none of which may be named. Not the question: how runs were made (a driver)
    has an effect of its own. Could not be read: nobody wrote down what changed.

    Of an interaction `against` are those of its changes that the others are held against: either side is one
    change, or a bundle taken as one.

    `weights` tell which setups it was had from, and how. `direct` says that two setups differ in this alone.
    `depends_on` names what its effect measurably depends on.
    """

    test: str
    metric: str
    a: str
    b: str
    sort: Sort = Sort.EFFECT
    standing: Standing = Standing.NOT_MEASURED
    changes: tuple[Change, ...] = ()
    against: tuple[Change, ...] = ()
    effect: Effect | None = None
    weights: Mapping[str, float] = field(default_factory=dict)
    direct: bool = False
    depends_on: tuple[str, ...] = ()
    caveats: tuple[Caveat, ...] = ()

    @property
    def factors(self) -> tuple[str, ...]:
        """What changes: kinds of part, state, or stamps."""
        return tuple(change.factor for change in self.changes)
