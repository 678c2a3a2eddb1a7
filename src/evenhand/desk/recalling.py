"""Frozen results, recalled: which there are, whether today's inputs still give them, and what they said."""

from __future__ import annotations

import json
from dataclasses import dataclass
from types import NoneType
from typing import Any

from evenhand.desk.comparing import inputs_now
from evenhand.desk.opening import CODE_VERSION
from evenhand.errors import NotFound
from evenhand.records.studies import Study
from evenhand.store import results, shelves
from evenhand.store.results import Frozen
from evenhand.store.workbench import Workbench

TEXT: tuple[type, ...] = (str,)
NUMBER: tuple[type, ...] = (int, float, NoneType)
RATIO = {"ratio": NUMBER, "low": NUMBER, "high": NUMBER, "level": NUMBER}
FINDING = {**dict.fromkeys(("test", "metric", "a", "b", "outcome"), TEXT), **RATIO}
INDEX = {**dict.fromkeys(("a", "b", "outcome"), TEXT), "group": (str, NoneType), **RATIO}


@dataclass(frozen=True, slots=True, kw_only=True)
class Recalled:
    """A frozen result; `stands` says that this code with today's inputs still gives it."""

    frozen: Frozen
    stands: bool

    @property
    def answer(self) -> dict[str, Any]:
        """What was answered then, as it was frozen."""
        answer: dict[str, Any] = json.loads(self.frozen.body)
        return answer


def frozen_results(wb: Workbench, study: str) -> tuple[Recalled, ...]:
    """Every frozen result of a study, the first first. Raises NotFound with the nearest study known."""
    shelves.one(wb, Study, study)
    found = results.results_of(wb, study)
    if not found:
        return ()
    today = (CODE_VERSION, inputs_now(wb, study))
    return tuple(Recalled(frozen=f, stands=(f.code_version, f.input_hash) == today) for f in found)


def frozen_result(wb: Workbench, study: str, number: int) -> Recalled:
    """One frozen result by its number.

    Raises NotFound with the numbers there are, and StoreProblem where it is not what was frozen or tells
    nothing that can be shown.
    """
    known = frozen_results(wb, study)
    for each in known:
        if each.frozen.id == number:
            results.refuse_changed(wb, each.frozen)
            if not _can_be_told(each.frozen.body):
                raise results.damaged_result(wb, each.frozen, "lacks what a result tells")
            return each
    numbers = ", ".join(str(each.frozen.id) for each in known)
    raise NotFound(
        f"the study '{study}' has no frozen result {number}",
        where=str(wb.path),
        todo=f"known: {numbers}" if numbers else f"freeze one with `evenhand compare {study}`",
    )


def _can_be_told(body: str) -> bool:
    """Whether an answer holds what every answer tells: one that came with a folder may be anybody's."""
    try:
        answer = json.loads(body)
        parts = [(each, FINDING) for each in answer["findings"]] + [(each, INDEX) for each in answer["index"]]
        parts += [(each, {"words": TEXT}) for each in answer.get("changed_terms", ())]
        sentences = [*answer.get("earlier", ()), *answer.get("stand_ins", ())]
        fits = all(_fits(each[key], kinds) for each, keys in parts for key, kinds in keys.items())
        return fits and all(_fits(words, TEXT) for words in sentences)
    except (ValueError, TypeError, LookupError, AttributeError):
        return False


def _fits(value: object, kinds: tuple[type, ...]) -> bool:
    return isinstance(value, kinds) and not isinstance(value, bool)
