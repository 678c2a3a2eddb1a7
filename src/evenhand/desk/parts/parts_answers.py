"""Parts, their facts and whether they go together, for programs: the same keys wherever these are asked."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from evenhand.desk.parts.catalogue import Listed
from evenhand.desk.parts.fitting import Fitting
from evenhand.desk.parts.known import fact_kind, known_facts
from evenhand.errors import BadRecord
from evenhand.fit.asking import Fit
from evenhand.fit.known import FactKind
from evenhand.fit.power import Budget
from evenhand.fit.reading import Seen
from evenhand.publish.fit_words import open_words
from evenhand.records.builds import Part
from evenhand.records.part_facts import PartFact

Answer = dict[str, Any]


def listed_answer(each: Listed) -> Answer:
    """A part in the catalogue."""
    return {
        "key": each.part.key,
        "kind": each.part.kind,
        "name": each.part.name,
        "note": each.part.note,
        "known": each.known,
        "asked": each.asked,
        "builds": [build.key for build in each.builds],
        "alike": list(each.alike),
    }


def part_answer(part: Part, ever: Sequence[PartFact], noted: Sequence[PartFact] = ()) -> Answer:
    """A part with every fact that may be known of it, what stands, and what stood before."""
    own = {key: [fact for fact in ever if fact.fact == key] for key in (fact.fact for fact in ever)}
    kinds = known_facts(part.kind)
    return {
        "key": part.key,
        "kind": part.kind,
        "name": part.name,
        "note": part.note,
        "facts": [
            fact_answer(about_of(part.kind, key), own.get(key, []))
            for key in (*kinds, *(set(own) - set(kinds)))
        ],
        "noted": [fact.id for fact in noted],
    }


def about_of(kind: str, key: str) -> FactKind | None:
    """What a fact on record is; None where a part of this kind has none such (any more)."""
    try:
        return fact_kind(kind, key)
    except BadRecord:
        return None


def fact_answer(about: FactKind | None, own: Sequence[PartFact]) -> Answer:
    """One fact: what it is, where it is looked up, what stands, and what was noted of it in order."""
    last = own[-1] if own else None
    return {
        "fact": about.key if about else own[-1].fact,
        "name": about.name if about else "",
        "unit": about.unit if about else "",
        "where": about.where if about else "",
        "value": last.value if last else None,
        "noted": last is not None,
        "source": last.source if last else "",
        "on": last.on.isoformat() if last else None,
        "history": [
            {"id": fact.id, "value": fact.value, "source": fact.source, "on": fact.on.isoformat()}
            for fact in own
        ],
    }  # fmt: skip


def fitting_answer(fitting: Fitting) -> Answer:
    """Whether a build's parts go together."""
    wall = fitting.wall
    return {
        "build": fitting.build.key,
        "name": fitting.build.name,
        "answer": fitting.whole.value,
        "fit": fitting.answer.value,
        "said": fitting.said,
        "unasked": fitting.unasked,
        "rules": [rule_answer(fit, fitting) for fit in fitting.found],
        "power": None if fitting.budget is None else budget_answer(fitting.budget, fitting),
        "power_said": fitting.power_said,
        "wall": None if wall is None else {
            "run": wall.run, "wall_w": wall.wall_w, "efficiency": wall.efficiency, "behind_w": wall.behind_w,
        },
        "missing": [missing_answer(seen) for seen in fitting.missing],
    }  # fmt: skip


def rule_answer(fit: Fit, fitting: Fitting) -> Answer:
    """What one rule says of some parts, and what that rests on."""
    return {
        "rule": fit.rule.key,
        "asks": fit.rule.asks,
        "parts": [part.key for part in fit.parts],
        "answer": fit.answer.value,
        "reason": fit.rule.reason,
        "caution": fit.rule.caution,
        "remark": fit.remark,
        "todo": fit.todo or open_words(fit),
        "seen": [seen_answer(seen, fitting) for seen in fit.seen],
        "missing": [missing_answer(seen) for seen in fit.missing],
    }


def seen_answer(seen: Seen, fitting: Fitting) -> Answer:
    """A fact that an answer rests on, with its source and day."""
    fact = fitting.facts.get(seen.part.key, {}).get(seen.fact.key)
    return {
        "part": seen.part.key,
        "fact": seen.fact.key,
        "value": seen.value,
        "source": fact.source if fact else "",
        "on": fact.on.isoformat() if fact else None,
    }


def missing_answer(seen: Seen) -> Answer:
    """A fact that an answer waits for, and where it is looked up."""
    return {"part": seen.part.key, "fact": seen.fact.key, "name": seen.fact.name, "where": seen.fact.where}


def budget_answer(found: Budget, fitting: Fitting) -> Answer:
    """The power budget: for long first (0 ms), then from the shortest excursion on."""
    return {
        "answer": found.answer.value,
        "over": [
            {"ms": each.ms, "drawn_w": each.drawn_w, "borne_w": each.borne_w, "left_w": each.left_w,
             "answer": each.answer.value}
            for each in found.over
        ],
        "rest_w": found.rest_w,
        "measured_w": found.measured_w,
        "lacking": list(found.lacking),
        "supplies": found.supplies,
        "old_years": found.old_years,
        "seen": [seen_answer(seen, fitting) for seen in found.seen],
        "missing": [missing_answer(seen) for seen in found.missing],
    }  # fmt: skip
