"""What a sentence with signs for names says. It hangs on few things, and is worked out once while they stay.

How anything is called is behind it by then: a title of another name leaves what is said of it as it was.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import lru_cache

from evenhand.prose.claims_made import claims_of
from evenhand.prose.context import Context
from evenhand.prose.dated import money_pattern
from evenhand.prose.echoes import echoed
from evenhand.prose.ground import Ground
from evenhand.prose.mentions import Signed
from evenhand.prose.quotable import Quotable
from evenhand.prose.quotables import Quotables
from evenhand.prose.reading import Made, Reading
from evenhand.prose.references import Reference
from evenhand.prose.rules import Rules
from evenhand.prose.script import Sort

MOST = 4_096  # sentences that are kept; an hour of speech has some 600


@dataclass(frozen=True, slots=True, kw_only=True)
class Said:
    """All of one sentence that it is understood by, beside the ground: where it stands does not matter.

    `begins` says that it begins a paragraph. `figures` are those that its references mean, by
    address, without what was measured.
    """

    sentence: Signed
    context: Context
    sort: Sort
    begins: bool
    figures: tuple[tuple[str, Quotable], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Understood:
    """What a sentence claims, and what was spoken of once it is said."""

    made: Made
    then: Context


class Listener:
    """Understands sentences by a ground's keys, groups and prices' currency, the same sentence once."""

    def __init__(self, ground: Ground, rules: Rules) -> None:
        self.ground, self._rules = ground.called(), rules
        self._money = money_pattern(self.ground, rules)
        self._known = lru_cache(maxsize=MOST)(self._work_out)

    def understood(self, said: Said) -> Understood:
        """What is said by a sentence here."""
        return self._known(replace(said, sentence=replace(said.sentence, starts=(), ends=())))

    def _work_out(self, said: Said) -> Understood:
        ground = self.ground.quoting(dict(said.figures))
        reading = Reading(
            script="", sentence=said.sentence, context=said.context, ground=ground, rules=self._rules
        )
        made = claims_of(reading, self._money)
        then = said.context.after(said.sentence, ground, self._rules, sort=said.sort, begins=said.begins)
        return Understood(made=made, then=replace(then, told=echoed(made.claims)))


def meant(references: Iterable[Reference], figures: Quotables) -> tuple[tuple[str, Quotable], ...]:
    """The figures that references mean, by address, each without what was measured."""
    told = dict.fromkeys(figures.full(each.address) for each in references)
    return tuple((at, figures.figures[at].unsaid()) for at in told if at in figures.figures)
