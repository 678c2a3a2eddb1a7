"""The parts of every build of a study for their cards: how each was come by, and the build's dated price."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from evenhand.desk.parts.standing_prices import StandingPrice, standing_prices
from evenhand.desk.publication.card_ground import CardGround
from evenhand.desk.publication.snapshots import parts_of
from evenhand.publish.figures.parts_card import BuildParts, PartLine
from evenhand.publish.names import Names
from evenhand.publish.numbers import listed
from evenhand.publish.offer_words import part_price_words
from evenhand.records.builds import Part
from evenhand.records.prices import Currency
from evenhand.records.publications import Disclosure, How
from evenhand.store import disclosures

WORDS: Mapping[How, str] = {
    How.BOUGHT: "bought",
    How.LOAN: "on loan",
    How.GIFT: "a gift",
    How.PAYMENT: "shown for payment",
    How.LINK: "with a link that pays",
}


def parts_of_builds(ground: CardGround) -> Iterator[BuildParts]:
    """Each build once, under the first of its setups that is compared."""
    record, paid = ground.record, ground.judgement.paid
    parts = parts_of(ground.wb, record)
    said = disclosures.disclosures_of(ground.wb, parts)
    names, seen = ground.names.drawn(), set[str]()
    costs = {(each.setup, each.part): each for each in standing_prices(ground.wb, record)}
    for setup in record.study.setups:
        build = record.builds[record.setups[setup].build]
        if build.key not in seen:
            seen.add(build.key)
            own = (parts[key] for key in build.parts if key in parts)
            lines = tuple(
                _priced(part_line(part, said, names), costs.get((setup, part.key)), paid.currency)
                for part in own
            )
            yield BuildParts(setup=setup, parts=lines, price=paid.by_setup.get(setup))


def part_line(part: Part, said: Sequence[Disclosure], names: Names) -> PartLine:
    """A part with everything that stands of it, in words; by its key where the fonts lack its letters."""
    own = [disclosure_words(each) for each in said if each.part == part.key]
    return PartLine(kind=part.kind, name=names.others.get(part.key, part.name), disclosed=listed(tuple(own)))


def _priced(line: PartLine, cost: StandingPrice | None, currency: Currency | None) -> PartLine:
    if cost is None or currency is None:
        return line
    return replace(line, cost=part_price_words(cost.minor, currency, cost.seller), on=cost.on)


def disclosure_words(disclosure: Disclosure) -> str:
    """How a part was come by: "on loan from Osk & Dunsolt", "with a link for which Osk & Dunsolt pays"."""
    how, by = disclosure.how, disclosure.by
    if how is How.LINK and by:
        return f"with a link for which {by} pays"
    return WORDS[how] + (f" {'by' if how is How.PAYMENT else 'from'} {by}" if by else "")
