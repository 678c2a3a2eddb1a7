"""Numbers as options give them: finite, within what is told of; what is not is refused in words."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

import click


@dataclass(frozen=True, slots=True, kw_only=True)
class Between:
    """The least and the most that an option takes, with its unit."""

    least: float
    most: float
    unit: str


class Finite(click.FloatRange):
    """A finite number, within bounds where there are some."""

    def __init__(self, between: Between | None = None) -> None:
        super().__init__()
        self.between = between

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> float:
        """The number. Raises BadParameter."""
        try:
            found = float(value)
        except ValueError:
            self.fail(f"'{value}' is no number.", param, ctx)
        if not math.isfinite(found):
            self.fail(f"'{value}' is no finite number; write one.", param, ctx)
        if self.between is not None and not self.between.least <= found <= self.between.most:
            within = f"{self.between.least:g} to {self.between.most:g} {self.between.unit}"
            self.fail(f"{found:g} cannot be; write one from {within}.", param, ctx)
        return found


ROOM = Finite(Between(least=-40, most=60, unit="°C"))
"""A room in which people and machines are."""
