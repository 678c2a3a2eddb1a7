"""What the hours at one point of a tuned part claim, with all that the claim holds for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from evenhand.tuning.claims import Claim


@dataclass(frozen=True, slots=True, kw_only=True)
class Held:
    """A point of a tuned part under one load and one set of settings, and what its hours claim.

    `stock` are clock and voltage at stock, in MHz and mV, the voltage None where nobody noted it. `told` says
    that this is the point by which the part is spoken of under this load; there is one such point at most.
    `watts` and `hottest_c` are what its trials read.
    """

    setup: str
    part: str
    load: str
    clock_mhz: float
    voltage_mv: float
    claim: Claim
    stock: tuple[float, float | None]
    settings: Mapping[str, str] = field(default_factory=dict)
    offset: bool = False
    told: bool = False
    watts: tuple[float, ...] = ()
    hottest_c: tuple[float, ...] = ()

    @property
    def stock_as_set(self) -> tuple[float, float | None]:
        """Stock as voltages of the part are written: an offset of 0, where it has offsets."""
        return (self.stock[0], 0.0) if self.offset else self.stock
