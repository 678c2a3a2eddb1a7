"""The sentence over a card: one that the record bears, in words of its rung, and never cut."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from evenhand.publish.claim_voice import claim_voice
from evenhand.publish.figures.frame import headline_fits
from evenhand.publish.names import Names
from evenhand.publish.style import Style
from evenhand.records.prices import Currency
from evenhand.verdicts.backing import Backing
from evenhand.verdicts.claims import Kind, Said
from evenhand.verdicts.ladder import standing
from evenhand.verdicts.publishable import publishable


@dataclass(frozen=True, slots=True, kw_only=True)
class Sayings:
    """Sentences that stand, the wanted first, and what tells their slots: audiences by key, the currency."""

    said: tuple[Said, ...] = ()
    audiences: Mapping[str, str] = field(default_factory=dict)
    currency: Currency | None = None

    def told(self, names: Names) -> tuple[str, ...]:
        """Each in words."""
        voice = claim_voice(names, audiences=self.audiences, currency=self.currency)
        return tuple(said.told(voice) for said in self.said)


def sayings(
    backing: Backing, kinds: Sequence[Kind], *, audiences: Mapping[str, str], currency: Currency | None
) -> Sayings:
    """What the record bears of a pair in these kinds, in their order.

    Of an audience, and over all tests, it also says that nothing is called where nothing is.
    """
    if not backing.findings:
        return Sayings(audiences=audiences, currency=currency)
    stands = publishable(backing)
    said = [s.said for kind in kinds for s in (*(s for s in stands if s.standing.kind is kind),)]
    said += [one for one in _open(backing, kinds) if one.key not in {s.key for s in said}]
    return Sayings(said=tuple(said), audiences=audiences, currency=currency)


def _open(backing: Backing, kinds: Sequence[Kind]) -> Iterator[Said]:
    """What would stand of a verdict or an index that is not called."""
    for kind in (Kind.AUDIENCE, Kind.INDEX):
        found = standing(kind, backing) if kind in kinds else None
        if found is not None and not found.allowed and found.would_stand is not None:
            yield found.would_stand


def title(of: Sayings, names: Names, style: Style, *, otherwise: str) -> str:
    """The first sentence that stands whole on the card, with names cut short before another is taken.

    Where none does, what the card shows is said, which claims nothing.
    """
    shorter = (names, names.shortened(20), names.shortened())
    told = zip(*(of.told(called) for called in shorter), strict=True)
    fits = (words for wordings in told for words in wordings if headline_fits(words, style))
    return next(fits, otherwise)
