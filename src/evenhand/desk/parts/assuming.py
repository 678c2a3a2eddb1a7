"""What is assumed of power on this workbench: the usual numbers, and those that somebody changed."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from evenhand.desk.typed_numbers import decimal
from evenhand.errors import BadRecord, NotFound, nearest
from evenhand.fit.power import Assumed, assumed
from evenhand.fit.power_terms import Term, terms_of, with_terms
from evenhand.publish.numbers import as_written, listed, with_unit
from evenhand.store import power_terms
from evenhand.store.workbench import Workbench


def taken_by(wb: Workbench) -> Assumed:
    """What the power budget assumes on this workbench."""
    return with_terms(assumed(), power_terms.terms_now(wb))


def terms_by(wb: Workbench) -> tuple[Term, ...]:
    """Every number that is assumed, as it stands."""
    return tuple(terms_of(taken_by(wb)).values())


def change_terms(wb: Workbench, given: Mapping[str, str], *, now: datetime) -> dict[str, float]:
    """Changes numbers by name as they were typed; "" makes one the usual one again. All or none.

    Gives those that are not the usual ones. Raises NotFound for a name, BadRecord for a number.
    """
    usual = terms_of(assumed())
    with wb.writing():
        changed = power_terms.terms_now(wb)
        for name, text in given.items():
            if name not in usual:
                raise NotFound(
                    f"nothing that is assumed of power is called '{name}'", todo=nearest(name, usual)
                )
            value = _read(usual[name], text)
            changed.pop(name, None)
            if value is not None and abs(value - usual[name].value) > 1e-9:
                changed[name] = value
        changed = {name: changed[name] for name in usual if name in changed}
        power_terms.save_terms(wb, changed, at=now)
    return changed


def _read(term: Term, text: str) -> float | None:
    bare = text.strip().removesuffix(term.unit).strip()
    if not bare:
        return None
    value = decimal(bare)
    if value is None or not term.least <= value <= term.most:
        raise BadRecord(
            f"‘{text}’ cannot stand there", where=f"{term.said} ({term.name})",
            todo=f"write a number from {term.least:g} to {term.most:g}, or nothing for the usual one",
        )  # fmt: skip
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
