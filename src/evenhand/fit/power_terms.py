"""The numbers that the power budget assumes, each by a name, so that they can be changed one by one."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from evenhand.fit.power import Assumed

LOST, OLD = "supply.lost_a_year", "supply.old_years"


@dataclass(frozen=True, slots=True, kw_only=True)
class Term:
    """One number: its name, what it is, its unit, and between what it may lie."""

    name: str
    said: str
    unit: str
    value: float
    least: float = 0.0
    most: float = 1000.0


def terms_of(taken: Assumed) -> dict[str, Term]:
    """Every number that is assumed, by name: watts of the rest first, then the supply, then shares."""
    every = [
        *(
            Term(name=f"rest.{kind}", said=f"{kind}, each", unit="W", value=w)
            for kind, w in taken.rest_w.items()
        ),
        Term(name=LOST, said="a supply loses a year", unit="%", value=100 * taken.lost_a_year, most=20),
        Term(
            name=OLD,
            said="a supply of unknown age is taken for",
            unit="years",
            value=taken.old_years,
            most=50,
        ),
        *(
            _times(f"draws.{kind}.{ms:g}", f"{kind} draws for {ms:g} ms", share, least=1.0)
            for kind, shares in taken.draws.items()
            for ms, share in shares.items()
        ),
        *(
            _times(f"bears.{ms:g}", f"a supply made for it bears for {ms:g} ms", e)
            for ms, e in taken.bears.items()
        ),
    ]
    return {each.name: each for each in every}


def _times(name: str, said: str, value: float, *, least: float = 0.1) -> Term:
    return Term(name=name, said=said, unit="times", value=value, least=least, most=10)


def with_terms(taken: Assumed, changed: Mapping[str, float]) -> Assumed:
    """The same with these numbers in place of the usual ones; names that there are none of change nothing."""
    return replace(
        taken,
        rest_w={kind: changed.get(f"rest.{kind}", watts) for kind, watts in taken.rest_w.items()},
        lost_a_year=changed[LOST] / 100 if LOST in changed else taken.lost_a_year,
        old_years=changed.get(OLD, taken.old_years),
        draws={
            kind: {ms: changed.get(f"draws.{kind}.{ms:g}", share) for ms, share in shares.items()}
            for kind, shares in taken.draws.items()
        },
        bears={ms: changed.get(f"bears.{ms:g}", share) for ms, share in taken.bears.items()},
    )
