"""The fields of parts that no build has yet, and of what is known of a part."""

from __future__ import annotations

import re
from dataclasses import dataclass

from starlette.datastructures import FormData

from evenhand.desk.pages.parts import PartPage
from evenhand.desk.parts.filling import as_of, filled
from evenhand.desk.parts.noting import DAY, FROM, Draft, drafted_facts
from evenhand.desk.parts.values import read_back, written
from evenhand.desk.study.checking import FieldProblem
from evenhand.fit.known import FactKind, Sort
from evenhand.web.forms import Form, typed
from evenhand.web.served import Site
from evenhand.web.worth_fields import today_at

FACT, UNKNOWN, TICKED, SURE = "fact", "unknown", "yes", "sure"


def field_of(about: FactKind) -> str:
    """The name of a fact's field: what ids and style sheets can bear of its key.

    >>> from evenhand.desk.parts.known import fact_kind
    >>> field_of(fact_kind("cooler", "performance:day's work"))
    'fact-performance_day_s_work'
    """
    return f"{FACT}-{re.sub(r'[^A-Za-z0-9_]', '_', about.key)}"


def tick_of(about: FactKind) -> str:
    """The name of the tick that says that a fact was looked for and is not known."""
    return field_of(about).replace(FACT, UNKNOWN, 1)


def one_of(about: FactKind) -> tuple[tuple[str, str], ...]:
    """What a fact may be that is one of a few words."""
    return (("", "not noted"), *((each, each) for each in about.one_of))


def written_so(about: FactKind) -> str:
    """How a fact of several lines is written."""
    if about.sort is Sort.TABLE:
        return "One a line: the key of a part = its value."
    if about.sort is Sort.BY_MS:
        return "One a line, of 0.1, 1, 10 and 100: 0.1 = 1.8."
    if about.sort is Sort.BY_LOAD:
        return "One a line, load in % = what it hands on in %: 20 = 88."
    keys = ", ".join(key.replace("_", " ") for key in about.of if key != "name")
    return f"One a line: its name, then after semicolons what is known of it, each word first ({keys})."


def facts_form(page: PartPage, site: Site, *, start: str) -> Form:
    """The form of a part's facts with what stands; one begins in the field of the fact `start`."""
    stands = as_of(site.wb, page.key, page.seen)
    values: dict[str, str | tuple[str, ...]] = {FROM: "", DAY: today_at(site).isoformat()}
    for about in page.fields:
        fact = stands.get(about.key)
        values[field_of(about)] = "" if fact is None else written(about, fact.value)
        values[tick_of(about)] = TICKED if fact is not None and fact.value is None else ""
    begun = next((field_of(about) for about in page.fields if about.key == start), "")
    return Form(name="facts", values=values, start=begun, check=f"{page.here}/facts?check=1")


@dataclass(frozen=True, slots=True, kw_only=True)
class Sent:
    """What was sent of a part's facts: the form again, and what is to be noted."""

    form: Form
    draft: Draft


def read_facts(site: Site, page: PartPage, sent: FormData, *, check: str) -> Sent:
    """What was changed in the form of a part's page, each mistake at its field."""
    part, fields = page.key, page.fields
    number = typed(sent, "seen")
    seen = int(number) if number.isascii() and number.isdigit() and len(number) < 18 else 0
    texts = {about.key: _lines(sent, field_of(about)) for about in fields}
    ticked = frozenset(about.key for about in fields if typed(sent, tick_of(about)))
    changed = filled(site.wb, part, fields, texts=texts, ticked=ticked, seen=seen)
    wrong = {each.field for each in changed.problems}
    given = {key: text for key, text in changed.given.items() if key not in wrong}
    source, day, sure = typed(sent, FROM), typed(sent, DAY), typed(sent, SURE) == TICKED
    draft = drafted_facts(site.wb, part, given, source=source, on=day, today=today_at(site), sure=sure)
    places = {about.key: field_of(about) for about in fields}
    problems = (*changed.problems, *draft.problems, *draft.asks)
    errors = {places.get(each.field, each.field): each.words for each in problems}
    read = {
        places[key]: words
        for key, text in given.items()
        if text and (words := read_back(next(about for about in fields if about.key == key), text))
    }
    if draft.asks:
        errors[SURE] = "Correct what is asked about, or say that it is right."
    values: dict[str, str | tuple[str, ...]] = {
        name: _lines(sent, name) for name in sent if name.startswith((FACT, UNKNOWN, FROM, DAY, SURE))
    }
    start = next((name for name in (*values, *errors) if name in errors), "")
    form = Form(name="facts", values=values, errors=errors, read=read, check=check, start=start)
    return Sent(form=form, draft=Draft(facts=draft.facts, problems=problems))


def _lines(sent: FormData, name: str) -> str:
    """What was typed, with its line ends as they are read."""
    return typed(sent, name).replace("\r\n", "\n")


def new_part_form(check: str, kind: str) -> Form:
    """A part that no build has yet."""
    return Form(name="part", values={"kind": kind}, check=check)


def part_given(sent: FormData) -> dict[str, str]:
    """What was sent of a new part."""
    return {name: typed(sent, name) for name in ("kind", "name", "note")}


def part_form(sent: FormData, problems: tuple[FieldProblem, ...], *, check: str) -> Form:
    """The form of a new part as it was sent."""
    errors = {each.field: each.words for each in problems}
    start = next((name for name in ("kind", "name", "note") if name in errors), "")
    return Form(name="part", values={**part_given(sent)}, errors=errors, check=check, start=start)
