"""What was just done, in words, with what it touches and the way back."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.study.field_changes import FieldChange, fields_of
from evenhand.desk.study.shelving import NOUN_OF, there
from evenhand.desk.study.term_fields import SEVERAL, TERMS
from evenhand.desk.study.term_words import value_words
from evenhand.desk.study.terms import changed_terms, weighing
from evenhand.desk.study.used_by import users_of
from evenhand.folders.history_file import KINDS
from evenhand.publish.numbers import capital, listed
from evenhand.records.builds import Build, Part, Setup
from evenhand.records.tests import Test
from evenhand.store.history import Change, change, latest_change
from evenhand.store.workbench import Workbench

DESCRIBED = {
    "title": "name",
    "name": "name",
    "question": "question",
    "audience": "audience",
    "budget": "budget",
    "stresses": "what it leans on",
    "scene": "scene",
    "minutes": "minutes",
    "slot": "colour",
    "note": "note",
    "kind": "kind",
}
LISTS = {"tests": Test, "setups": Setup}  # of these what came and what went is told by name


@dataclass(frozen=True, slots=True, kw_only=True)
class Done:
    """One change by its number. `undo` is that number where it can be undone, else 0.

    `terms` are the reservations that stand with the comparison from now on; `shared` names the other studies
    that the change touches.
    """

    number: int
    words: str
    undo: int
    terms: tuple[str, ...] = ()
    shared: tuple[str, ...] = ()


def done_of(wb: Workbench, record: StudyOnRecord, number: int) -> Done:
    """The change with this number, told on a page of a study. Raises NotFound."""
    found = change(wb, number)
    latest = latest_change(wb, found.table, found.key) == number
    return Done(
        number=number,
        words=words_of(wb, record, found),
        undo=number if latest and found.before is not None and found.table in NOUN_OF else 0,
        terms=tuple(each.words for each in changed_terms(wb, record) if each.change.id == number),
        shared=shared_with(wb, found, but=record.study.key),
    )


def shared_with(wb: Workbench, found: Change, *, but: str) -> tuple[str, ...]:
    """The titles of the other studies that a changed record is of."""
    kind = KINDS.get(NOUN_OF.get(found.table, ""))
    shared = there(wb, kind, found.key) if kind in (Part, Build, Setup, Test) else None
    if not isinstance(shared, Part | Build | Setup | Test):
        return ()
    return tuple(study.title for study in users_of(wb, shared) if study.key != but)


def words_of(wb: Workbench, record: StudyOnRecord, found: Change) -> str:
    """A change as a sentence or two."""
    noun = NOUN_OF.get(found.table, "record")
    if found.before is None:
        return f"{name_in(found)} is on record."
    changes = tuple(fields_of(found, noun))
    if noun == "study":
        return " ".join(sentence for each in changes for sentence in study_words(wb, each, record))
    labels = listed(tuple(dict.fromkeys(label_of(each) for each in changes)))
    one = len(changes) == 1 and changes[0].field not in SEVERAL
    return f"{name_in(found)}: the {labels} {'was' if one else 'were'} changed."


def name_in(found: Change) -> str:
    """What the changed record is called."""
    return str(found.after.get("name") or found.after.get("title") or found.key)


def label_of(each: FieldChange) -> str:
    """What a field is called."""
    return DESCRIBED.get(each.field) or TERMS.get(each.record, {}).get(each.field, each.field)


def study_words(wb: Workbench, each: FieldChange, record: StudyOnRecord) -> Iterator[str]:
    """What became of one field of a study."""
    if each.field in LISTS:
        yield from list_words(wb, each)
        return
    if each.field == "audiences":
        yield from audience_words(each)
        return
    if each.field == "money":
        yield "What is assumed of money was changed."
        return
    verb = "were" if each.field in SEVERAL else "was"
    if each.field not in TERMS["study"] or each.field == "weights":
        yield f"The {label_of(each)} {verb} changed."
        return
    before, after = (value_words(each.field, value, record) for value in (each.before, each.after))
    yield f"The {label_of(each)} {verb} changed from {before} to {after}."


def audience_words(each: FieldChange) -> Iterator[str]:
    """Which audiences came, went or weigh otherwise, or that their order is another."""
    before, after = ({one["key"]: one for one in side} for side in (each.before, each.after))
    came = tuple(one["name"] for key, one in after.items() if key not in before)
    went = tuple(one["name"] for key, one in before.items() if key not in after)
    changed = [(before[key], one) for key, one in after.items() if key in before and before[key] != one]
    others = tuple(one["name"] for was, one in changed if weighing([was]) != weighing([one]))
    paying = tuple(one["name"] for was, one in changed if weighing([was]) == weighing([one]))
    if came:
        yield f"{listed(came)} {'is an audience' if len(came) == 1 else 'are audiences'} of the study now."
    if went:
        yield f"{listed(went)} {'is' if len(went) == 1 else 'are'} out of the audiences."
    if others:
        yield f"What counts for {listed(others)} was changed."
    if paying:
        yield f"What electricity costs {listed(paying)} was changed."
    if not (came or went or changed):
        yield "The order of the audiences was changed."


def list_words(wb: Workbench, each: FieldChange) -> Iterator[str]:
    """What came into a study and what went, or that the order is another."""
    came = [key for key in each.after if key not in each.before]
    went = [key for key in each.before if key not in each.after]
    if came:
        yield f"{_names(wb, each.field, came)} {'is' if len(came) == 1 else 'are'} in the study now."
    if went:
        names = _names(wb, each.field, went)
        yield f"{names} {'is' if len(went) == 1 else 'are'} out of the study; what is on record stays."
    if not came and not went:
        yield f"The order of the {each.field} was changed."


def _names(wb: Workbench, field: str, keys: list[str]) -> str:
    found = (there(wb, LISTS[field], key) for key in keys)
    return capital(listed(tuple(each.name if isinstance(each, Test | Setup) else "one" for each in found)))
