"""The rules, read from data: of which parts, why, and who has the last word."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from importlib import resources
from typing import Any, TypeAlias

FactName: TypeAlias = tuple[str, str]
"""A kind of part and one of its facts."""
Both: TypeAlias = tuple[FactName, FactName]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """One rule, asked of builds that have a part of each kind in `of`.

    `same`, `among`, `at_most` and `total` are what has to hold between facts; `work` names the function for
    what takes more. `way` asks it of coolers of one way alone. `remark` is what may be said beside a
    fit, `todo` what is done about a misfit, by case.
    """

    key: str
    of: tuple[str, ...]
    asks: str
    reason: str
    caution: str
    same: tuple[Both, ...] = ()
    among: tuple[Both, ...] = ()
    at_most: tuple[Both, ...] = ()
    total: tuple[Both, ...] = ()
    work: str = ""
    way: str = ""
    remark: str = ""
    todo: Mapping[str, str] = field(default_factory=dict)


@cache
def rules() -> tuple[Rule, ...]:
    """Every rule, in the order in which they are told."""
    text = (resources.files("evenhand.fit") / "rules.toml").read_text(encoding="utf-8")
    return tuple(map(_rule, tomllib.loads(text)["rules"]))


def _rule(told: Mapping[str, Any]) -> Rule:
    between = {name: tuple(map(_both, told.get(name, ()))) for name in ("same", "among", "at_most", "total")}
    return Rule(**{**told, **between, "of": tuple(told["of"])})


def _both(pair: tuple[str, str]) -> Both:
    one, other = (name.partition(".") for name in pair)
    return (one[0], one[2]), (other[0], other[2])
