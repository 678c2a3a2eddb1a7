"""What the parts of each setup cost, out of a snapshot, in words."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from evenhand.editions.snapshot import Snapshot
from evenhand.publish.offer_words import part_price_words
from evenhand.records.offers import Seller
from evenhand.records.prices import Currency


@dataclass(frozen=True, slots=True, kw_only=True)
class PartPrice:
    """A part of a setup, by keys, and what it cost when and by whom: "192 dl, shop, 4 May 2031"."""

    setup: str
    part: str
    words: str

    @property
    def name(self) -> str:
        """What it is called where prices are listed."""
        return f"{self.part} in {self.setup}"


def part_prices(snapshot: Snapshot) -> Iterator[PartPrice]:
    """Every part of which a price is on record."""
    told = snapshot.study.get("currency")
    if told is None:
        return
    for row in snapshot.part_prices:
        words = part_price_words(
            row["minor"], Currency(**told), Seller(row["seller"]), date.fromisoformat(row["on"])
        )
        yield PartPrice(setup=row["setup"], part=row["part"], words=words)


def words_by_part(snapshot: Snapshot) -> dict[tuple[str, str], str]:
    """The same by setup and part."""
    return {(each.setup, each.part): each.words for each in part_prices(snapshot)}
