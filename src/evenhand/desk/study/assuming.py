"""What a study assumes of money, as a person says it: checked as its file is, each problem at its field."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from typing import Any

from pydantic import ValidationError

from evenhand.desk.study.checking import Checked, FieldProblem, Given, sound
from evenhand.desk.study.shelving import Kept, keep, refuse_unseen
from evenhand.desk.study.worth_checks import NO_CURRENCY
from evenhand.folders.money_terms import MoneyTable, money_of, money_problems, money_table
from evenhand.money.owning import fall_of, lost_of
from evenhand.records.money_terms import MoneyTerms
from evenhand.records.studies import Study
from evenhand.store import shelves
from evenhand.store.workbench import Workbench

LIMITS = {
    "years": ("a machine is kept for more than nothing and at most 20 years", "3 is usual"),
    "resale": ("what it fetches at once is a share from 0 to 100 %", "write two shares, the lower one first"),
    "lost": ("what it loses a year lies from 0 to 99 %", "write two shares, the lower one first"),
    "horizon_months": ("paths look 1 to 240 months ahead", "36 is usual"),
}
MOST_LOST = 99.0


def assumed(study: Study) -> dict[str, Any]:
    """What stands in the form: the terms as a table, shares in per cent; the usual where none are said."""
    terms = study.money or MoneyTerms()
    table = money_table(terms, study.currency)
    return {name: each for name, each in table.items() if name not in ("resale", "fall")} | {
        "resale": [_percent(each) for each in terms.resale],
        "lost": [_percent(lost_of(each)) for each in terms.fall],
    }


def _percent(share: float) -> float:
    return round(100 * share, 1)


def put_terms(wb: Workbench, study: str, given: Given, *, now: datetime, seen: int | None = None) -> Kept:
    """The terms of a study, whole; what is not given is as usual. Raises BadRecord that names the field.

    `given` has the keys of the study file, but for `resale` and `lost` (instead of `fall`), both in per cent.
    """
    with wb.writing():
        before = shelves.one(wb, Study, study)
        refuse_unseen(wb, before, seen)
        # No run is judged again: no finding hangs on what is assumed of money.
        return keep(wb, replace(before, money=sound(drafted_terms(before, given))), now=now)


def drafted_terms(study: Study, given: Given) -> Checked[MoneyTerms]:
    """Terms that are to be put, or what keeps them from being any.

    A share that is given as it was shown stays what it was, to the last digit.
    """
    shown, before = assumed(study), study.money or MoneyTerms()
    table = {
        name: each for name, each in given.items() if each is not None and name not in ("resale", "lost")
    }
    problems = []
    for name, field, own, back in (
        ("resale", "resale", before.resale, lambda percent: percent / 100),
        ("lost", "fall", before.fall, lambda percent: fall_of(percent / 100)),
    ):
        ends = given.get(name)
        if ends is None:
            continue
        most = MOST_LOST if name == "lost" else 100.0
        if not all(0 <= end <= most for end in ends):
            problems.append(_limit(name))
            continue
        table[field] = [
            kept if end == told else back(end) for end, told, kept in zip(ends, shown[name], own, strict=True)
        ]
    return _checked(table, problems, study)


def _checked(table: dict[str, Any], problems: list[FieldProblem], study: Study) -> Checked[MoneyTerms]:
    try:
        read = MoneyTable.model_validate(table)
    except ValidationError as failed:
        fields = dict.fromkeys(_field(str(each["loc"][0])) for each in failed.errors(include_url=False))
        return Checked(record=None, problems=(*problems, *(_limit(field) for field in fields)))
    for each in money_problems(read, study.currency):
        unpriced = study.currency is None
        field = _field(str(each.path[-1]))
        problems.append(
            FieldProblem(field=field, found=each.found, todo=NO_CURRENCY if unpriced else each.todo)
        )
    return Checked(record=None if problems else money_of(read, study.currency), problems=tuple(problems))


def _field(key: str) -> str:
    return "lost" if key == "fall" else key


def _limit(field: str) -> FieldProblem:
    found, todo = LIMITS.get(field, ("this cannot be used", "write it in digits"))
    return FieldProblem(field=field, found=found, todo=todo)
