"""Everything of a study that prose may quote, by address."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field

from evenhand.errors import NotFound, nearest_few
from evenhand.prose.material import Material
from evenhand.prose.quotable import Quotable, Sort
from evenhand.prose.quoted_counts import counts
from evenhand.prose.quoted_evidence import evidence
from evenhand.prose.quoted_figures import tuned_figures
from evenhand.prose.quoted_leads import leads
from evenhand.prose.quoted_money import money
from evenhand.prose.quoted_rates import rates
from evenhand.prose.quoted_tuning import tuning

GATHERERS: tuple[Callable[[Material], Iterator[Quotable]], ...] = (
    rates, leads, money, evidence, counts, tuning, tuned_figures,
)  # fmt: skip

OF_RUNS = (
    Sort.RATE,
    Sort.LOW,
    Sort.LEAD,
    Sort.WATTS,
    Sort.JOULES,
    Sort.NOISE,
    Sort.HEAT,
    Sort.RUNS,
    Sort.BOOTS,
)
TODO = "let one of them count, make another run, or leave the figure out"


@dataclass(frozen=True, slots=True, kw_only=True)
class Quotables:
    """The figures of a study by address; `called` gives the setup that a shorter word stands for.

    `without` says by test and setup why there is no figure, where no run counts.
    """

    figures: Mapping[str, Quotable]
    called: Mapping[str, str] = field(default_factory=dict)
    without: Mapping[tuple[str, str], str] = field(default_factory=dict)

    def find(self, address: str) -> Quotable:
        """The figure under an address, white space aside. Raises NotFound with why, or with the nearest.

        >>> Quotables(figures={"margin": None}).find("margn")
        Traceback (most recent call last):
        evenhand.errors.NotFound: no figure is called 'margn'; did you mean 'margin'?
        """
        plain = self.full(address)
        if not self.has(address):
            why = self.why_without(plain)
            if why:
                raise NotFound(f"'{address.strip()}' has no figure: {why}", todo=TODO)
            raise NotFound(f"no figure is called '{address.strip()}'", todo=nearest_few(plain, self.figures))
        return self.figures[plain]

    def why_without(self, plain: str) -> str:
        """Why there is no figure of what an address names, where no run counts of it; "" otherwise.

        >>> gone = Quotables(figures={}, without={("t", "a"): "its runs are set aside"})
        >>> gone.why_without("rate of a in t")
        'its runs are set aside'
        """
        sort, *words = plain.split() or [""]
        if sort not in OF_RUNS or "in" not in words:
            return ""
        at = words.index("in")
        named, test = words[:at], words[at + 1 : at + 2]
        found = (why for (t, setup), why in self.without.items() if [t] == test and setup in named)
        return "; ".join(dict.fromkeys(found))

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
    return Quotables(figures=figures, called=material.called, without=material.without)
