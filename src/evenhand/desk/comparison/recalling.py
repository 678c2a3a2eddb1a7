"""Frozen results, recalled: which there are, whether today's inputs still give them, and what they said."""

from __future__ import annotations

import json
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from types import NoneType
from typing import Any

from evenhand.desk.comparison.comparing import compared_now, inputs_now
from evenhand.desk.comparison.disagreeing import disagreeing
from evenhand.desk.opening import CODE_VERSION
from evenhand.errors import NotFound
from evenhand.records.studies import Study
from evenhand.store import results, shelves
from evenhand.store.results import Frozen
from evenhand.store.workbench import Workbench

ANOTHER_ANSWER = "same inputs, another answer"

TEXT: tuple[type, ...] = (str,)
NUMBER: tuple[type, ...] = (int, float, NoneType)
RATIO = {"ratio": NUMBER, "low": NUMBER, "high": NUMBER, "level": NUMBER}
FINDING = {**dict.fromkeys(("test", "metric", "a", "b", "outcome"), TEXT), **RATIO}
INDEX = {**dict.fromkeys(("a", "b", "outcome"), TEXT), "group": (str, NoneType), **RATIO}


@dataclass(frozen=True, slots=True, kw_only=True)
class Recalled:
    """A frozen result; `why` says why today's inputs do not give it, "" where they do."""

    frozen: Frozen
    why: str = ""

    @property
    def stands(self) -> bool:
        """Whether this code with today's inputs still gives it."""
        return not self.why

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
    inputs = inputs_now(wb, study)
    others = disagreeing_now(wb, study, found, inputs=inputs)
    return tuple(Recalled(frozen=f, why=why_not(f, inputs, others)) for f in found)


def disagreeing_now(
    wb: Workbench, study: str, known: Sequence[Frozen], *, inputs: str | None = None
) -> tuple[int, ...]:
    """The numbers of those results that name today's code and inputs and do not hold today's answer."""
    today = (CODE_VERSION, inputs_now(wb, study) if inputs is None else inputs)
    if not any((each.code_version, each.input_hash) == today for each in known):
        return ()  # no need to compare
    return disagreeing(known, **compared_now(wb, study)[1])


def why_not(frozen: Frozen, inputs: str, others: Collection[int]) -> str:
    """Why today's code and inputs do not give a result; "" where they do."""
    what = ["code"] if frozen.code_version != CODE_VERSION else []
    what += ["inputs"] if frozen.input_hash != inputs else []
    if what:
        return " and ".join(f"other {each}" for each in what)
    return ANOTHER_ANSWER if frozen.id in others else ""


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
