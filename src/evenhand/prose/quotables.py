"""Everything of a study that prose may quote, by address."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field

from evenhand.errors import NotFound, nearest_few
from evenhand.prose.material import Material
from evenhand.prose.quotable import Quotable
from evenhand.prose.quoted_counts import counts
from evenhand.prose.quoted_evidence import evidence
from evenhand.prose.quoted_leads import leads
from evenhand.prose.quoted_money import money
from evenhand.prose.quoted_rates import rates

GATHERERS: tuple[Callable[[Material], Iterator[Quotable]], ...] = (rates, leads, money, evidence, counts)


@dataclass(frozen=True, slots=True, kw_only=True)
class Quotables:
    """The figures of a study by address; `called` gives the setup that a shorter word stands for."""

    figures: Mapping[str, Quotable]
    called: Mapping[str, str] = field(default_factory=dict)

    def find(self, address: str) -> Quotable:
        """The figure under an address, white space aside. Raises NotFound with the nearest.

        >>> Quotables(figures={"margin": None}).find("margn")
        Traceback (most recent call last):
        evenhand.errors.NotFound: no figure is called 'margn'; did you mean 'margin'?
        """
        plain = self.full(address)
        if not self.has(address):
            raise NotFound(f"no figure is called '{address.strip()}'", todo=nearest_few(plain, self.figures))
        return self.figures[plain]

    def has(self, address: str) -> bool:
        """Whether there is a figure under an address."""
        return self.full(address) in self.figures

    def full(self, address: str) -> str:
        """An address with setups' own keys where shorter words stood.

        >>> Quotables(figures={}, called={"ayre": "ayre-stock"}).full("price  of ayre")
        'price of ayre-stock'
        """
        return " ".join(self.called.get(word, word) for word in address.split())


def quotables(material: Material) -> Quotables:
    """Every figure of the study under its address, turned pairs included."""
    figures = {each.address: each for gather in GATHERERS for each in gather(material)}
    return Quotables(figures=figures, called=material.called)
