"""What a page needs to judge a study under any weights by itself; and what the server says of them."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from evenhand.desk.verdict.judged import ForAudience
from evenhand.findings.outcomes import ALPHA, LEVEL_INTERVAL, SHOWN_INTERVAL
from evenhand.folders.worth_written import currency_table
from evenhand.publish.money_words import even_words
from evenhand.publish.names import Names
from evenhand.publish.numbers import level_words, tenths, with_unit
from evenhand.records.tests import Measures
from evenhand.stats.boots import Boots
from evenhand.verdicts.case import Case
from evenhand.verdicts.grounds import PairGrounds
from evenhand.verdicts.reading import MOST_MISSING
from evenhand.verdicts.verdict import Verdict, verdicts
from evenhand.verdicts.weights import named_parts, shares_of_properties

Answer = dict[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Slider:
    """A weight that a reader may move: its key, what it is called, and its share.

    Told to the tenth of a point: in whole ones three of them may be the weights of somebody else.
    """

    key: str
    name: str
    share: float

    @property
    def value(self) -> str:
        """The share in per cent, as a form holds it."""
        return f"{100 * self.share:.10g}"

    @property
    def said(self) -> str:
        """The share as it is read."""
        return tenths(self.share)


def sliders_of(here: ForAudience, names: Names) -> tuple[Slider, ...]:
    """A slider for each thing weighed; one for two things, since it moves both; none for a single one."""
    parts = named_parts(here.case.audience, study=here.case.study, tests=here.case.tests)
    shown = parts[:1] if len(parts) == 2 else parts if len(parts) > 2 else ()
    return tuple(Slider(key=part.name, name=part_name(part.name, names), share=part.share) for part in shown)


def part_name(key: str, names: Names) -> str:
    """A group or a test as readers know it."""
    return names.group(key) if key in names.groups else names.test(key)


def ground_of(here: ForAudience, pair: tuple[str, str], names: Names) -> Answer:
    """Everything that `web/static/weighing.js` judges by; logs and shares as they are, nothing rounded."""
    case = here.case
    parts = named_parts(case.audience, study=case.study, tests=case.tests)
    return {
        "pair": list(pair),
        "names": {key: names.setup(key) for each in case.pairs for key in (each.a, each.b)},
        "margin": math.log1p(case.study.margin),
        "margin_told": with_unit(f"{100 * case.study.margin:.4g}", "%"),
        "held_told": level_words(LEVEL_INTERVAL),
        "by_value": [even_words(value_open=value_open) for value_open in (False, True)],
        "currency": None if case.study.currency is None else currency_table(case.study.currency),
        "alpha": ALPHA,
        "shown": SHOWN_INTERVAL,
        "held": LEVEL_INTERVAL,
        "most_missing": MOST_MISSING,
        "prices": {} if case.states else dict(case.prices),
        "fixed": case.audience.fixed_minor,
        "parts": [
            {"key": p.name, "name": part_name(p.name, names), "share": p.share, "over": dict(p.over)}
            for p in parts
        ],
        "properties": {p.value: share for p, share in shares_of_properties(case.audience).items() if share},
        "scores": [test.key for test in case.tests if test.measures is Measures.SCORE],
        "pairs": [_pair(each, names) for each in case.pairs],
    }  # fmt: skip


def _pair(pair: PairGrounds, names: Names) -> Answer:
    columns = pair.columns
    return {
        "a": pair.a,
        "b": pair.b,
        "bridged": [[test, names.setup(machine)] for test, machine in pair.bridged],
        "test": [ground.test for ground in pair.grounds],
        "property": [ground.property.value for ground in pair.grounds],
        "allowance": [ground.allowance for ground in pair.grounds],
        "single": [ground.one_run for ground in pair.grounds],
        "d": list(pair.plain_d) if columns is None else columns.d.tolist(),
        "spread": columns is not None,
        "boots": [_boots(side) for side in columns.boots] if columns and columns.boots else None,
        "se": columns.se.tolist() if columns and columns.se is not None else None,
        "df": columns.df.tolist() if columns and columns.df is not None else None,
        "kin": list(columns.kin) if columns else [],
    }


def _boots(side: Boots) -> Answer:
    return {"squares": side.squares.tolist(), "runs": side.runs.tolist()}


def tried(here: ForAudience, weights: Mapping[str, float], pair: tuple[str, str]) -> Verdict | None:
    """The verdict on a pair if the audience's groups and tests weighed so much; its other terms stay.

    Of two things one weight in per cent moves both. Raises BadRecord where the weights cannot be read.
    """
    case = _weighing(here.case, weights)
    return next((v for v in verdicts(case) if (v.a, v.b) == pair), None)


def _weighing(case: Case, weights: Mapping[str, float]) -> Case:
    parts = named_parts(case.audience, study=case.study, tests=case.tests)
    given = {part.name: weights.get(part.name, 100 * part.share) for part in parts}
    if len(parts) == 2:
        given[parts[1].name] = 100 - given[parts[0].name]
    audience = replace(
        case.audience,
        groups={key: given[key] for key in case.audience.groups},
        tests={key: given[key] for key in case.audience.tests},
    )
    return replace(case, audience=audience)
