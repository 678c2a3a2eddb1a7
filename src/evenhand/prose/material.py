"""What a study holds for those who write about it, as plain rooms below made it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from evenhand.findings.finding import Cell, Comparison, Finding
from evenhand.findings.gaps import Gap
from evenhand.publish.names import Names
from evenhand.records.estimates import Estimate
from evenhand.records.prices import Currency, Price
from evenhand.tuning.figured import TunedFigure
from evenhand.tuning.held import Held
from evenhand.verdicts.verdict import Verdict
from evenhand.verdicts.wobble import Wobble

Place = tuple[str, str, str]  # test, setup, key of the number's definition


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """A comparison with all that is said beside it.

    `rates` are each setup's own numbers, `averages` names the one of a test that an average is meant by.
    `verdicts` are those of every audience, `chances` how often they hold under other weights, by audience and
    pair; `prices` each setup's own; `gaps` are in decibels and kelvins, `power` in watts and joules a frame.
    `called` gives the setup that the key of its build stands for, where the build is compared in one state;
    `without` says by test and setup why nothing counts there, where nothing does. `held` are the points of
    tuned parts with what their hours claim, `figured` what else is known of these parts in numbers.
    """

    comparison: Comparison
    names: Names
    cells: tuple[Cell, ...] = ()
    rates: Mapping[Place, Estimate] = field(default_factory=dict)
    averages: Mapping[str, str] = field(default_factory=dict)
    audiences: Mapping[str, str] = field(default_factory=dict)
    verdicts: tuple[Verdict, ...] = ()
    chances: Mapping[tuple[str, str, str], Wobble] = field(default_factory=dict)
    prices: Mapping[str, Price] = field(default_factory=dict)
    currency: Currency | None = None
    gaps: tuple[Gap, ...] = ()
    power: tuple[Finding, ...] = ()
    called: Mapping[str, str] = field(default_factory=dict)
    without: Mapping[tuple[str, str], str] = field(default_factory=dict)
    held: tuple[Held, ...] = ()
    figured: tuple[TunedFigure, ...] = ()
