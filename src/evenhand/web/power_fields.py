"""The fields of what is assumed of power: as it stands, and what was sent back again."""

from __future__ import annotations

from starlette.datastructures import FormData

from evenhand.desk.pages.frame import address
from evenhand.desk.pages.worth import POWER
from evenhand.desk.parts.assuming import drafted_terms, terms_by
from evenhand.web.forms import Form, typed
from evenhand.web.served import Site


def power_field(name: str) -> str:
    """The name of a number's field: what ids and style sheets can bear of its name.

    >>> power_field("draws.graphics.0.1")
    'draws_graphics_0_1'
    """
    return name.replace(".", "_")


def power_given(site: Site, sent: FormData) -> dict[str, str]:
    """What was typed, by the name of each number; those that were not sent are left out."""
    fields = {term.name: power_field(term.name) for term in terms_by(site.wb)}
    return {name: typed(sent, field) for name, field in fields.items() if field in sent}


def power_form(site: Site, study: str, sent: FormData | None = None) -> Form:
    """The form of every number as it stands, or as it was sent with what is wrong at its field."""
    values: dict[str, str | tuple[str, ...]] = {
        power_field(term.name): f"{term.value:.12g}" for term in terms_by(site.wb)
    }
    check = f"{address(study, 'builds', 'power')}?check=1"
    if sent is None:
        return Form(name=POWER, values=values, check=check)
    given = power_given(site, sent)
    problems = drafted_terms(site.wb, given).problems
    errors = {power_field(each.field): each.words for each in problems}
    typed_in = {power_field(name): text for name, text in given.items()}
    start = next(iter(errors), "")
    return Form(name=POWER, values={**values, **typed_in}, errors=errors, check=check, start=start)
