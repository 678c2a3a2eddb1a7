"""What is assumed of power on this workbench: the usual numbers, and those that somebody changed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from evenhand.desk.parts.given import refuse_problems
from evenhand.desk.study.checking import FieldProblem
from evenhand.desk.typed_numbers import decimal
from evenhand.errors import BadRecord, NotFound, Overtaken, nearest
from evenhand.fit.power import Assumed, assumed
from evenhand.fit.power_terms import Term, terms_of, with_terms
from evenhand.publish.numbers import as_written, listed, with_unit
from evenhand.store import power_terms
from evenhand.store.workbench import Workbench

_SAME = 1e-9
"""Numbers that are this close are the same one, written otherwise."""


def taken_by(wb: Workbench) -> Assumed:
    """What the power budget assumes on this workbench."""
    return with_terms(assumed(), power_terms.terms_now(wb))


def terms_by(wb: Workbench) -> tuple[Term, ...]:
    """Every number that is assumed, as it stands."""
    return tuple(terms_of(taken_by(wb)).values())


@dataclass(frozen=True, slots=True, kw_only=True)
class TermsDraft:
    """Numbers that are to be assumed: those that are not the usual ones, and what is wrong, at its name."""

    changed: Mapping[str, float]
    problems: tuple[FieldProblem, ...] = ()


def drafted_terms(wb: Workbench, given: Mapping[str, str]) -> TermsDraft:
    """Numbers by name as they were typed; "" makes one the usual one again. Raises NotFound for a name."""
    usual, changed, problems = terms_of(assumed()), power_terms.terms_now(wb), []
    for name, text in given.items():
        if name not in usual:
            found = f"nothing that is assumed of power is called '{name}'"
            raise NotFound(found, todo=nearest(name, usual))
        try:
            value = _read(usual[name], text)
        except BadRecord as wrong:
            problems.append(FieldProblem(field=name, found=wrong.found, todo=wrong.todo))
            continue
        changed.pop(name, None)
        if value is not None and abs(value - usual[name].value) > _SAME:
            changed[name] = value
    in_order = {name: changed[name] for name in usual if name in changed}
    return TermsDraft(changed=in_order, problems=tuple(problems))


def change_terms(wb: Workbench, given: Mapping[str, str], *, now: datetime) -> int:
    """Changes what is assumed, all or none; the number of this change, 0 where nothing is otherwise.

    Raises NotFound for a name, BadRecord that names each number that cannot be.
    """
    with wb.writing():
        draft = drafted_terms(wb, given)
        refuse_problems(draft.problems)
        return power_terms.save_terms(wb, draft.changed, at=now)


def undo_terms(wb: Workbench, number: int, *, now: datetime) -> int:
    """Assumes again what one change replaced; the number of this change, which can be undone as well.

    Raises NotFound, and Overtaken where something was changed again since.
    """
    with wb.writing():
        found = power_terms.terms_change(wb, number)
        if not found.last:
            raise Overtaken(
                "what is assumed of power was changed again since, and undoing would undo that as well",
                where=f"change {number}",
                todo="change it by hand",
            )
        return power_terms.save_terms(wb, found.before, at=now)


def terms_done(wb: Workbench, number: int) -> tuple[str, bool]:
    """What one change assumed otherwise, in words, and whether it can be undone. Raises NotFound."""
    found, usual = power_terms.terms_change(wb, number), terms_of(assumed())
    told = []
    for name, term in usual.items():
        before, after = (state.get(name, term.value) for state in (found.before, found.after))
        if before != after:
            told.append(f"{term.said}: {_with(term, after)} (before: {_with(term, before)})")
    return f"Assumed of power from now on: {listed(tuple(told))}", found.last


def _read(term: Term, text: str) -> float | None:
    bare = text.strip().removesuffix(term.unit).strip()
    if not bare:
        return None
    value = decimal(bare)
    if value is None or not term.least <= value <= term.most:
        todo = f"write a number from {term.least:g} to {term.most:g}, or nothing for the usual one"
        raise BadRecord(f"‘{text}’ cannot stand there", todo=todo)
    return value


def changed_words(wb: Workbench) -> str:
    """What is assumed otherwise than as usual on this workbench; "" for nothing."""
    changed, usual = power_terms.terms_now(wb), terms_of(assumed())
    told = tuple(
        f"{term.said}: {_with(term, changed[name])} (usually {_with(term, term.value)})"
        for name, term in usual.items()
        if name in changed
    )
    return f"Assumed of power otherwise here: {listed(told)}." if told else ""


def _with(term: Term, value: float) -> str:
    return with_unit(as_written(value), term.unit)
