"""A form as it is shown: what stands in its fields, what is wrong with each, and how each was read.

`templates/fields.html` draws the fields; what was typed stays where it was typed, whatever is wrong with it.
"""

from __future__ import annotations

from collections.abc import AsyncIterator, Container, Mapping
from dataclasses import dataclass, field
from typing import Annotated, Any

from fastapi import Depends, Request
from starlette.datastructures import FormData

from evenhand.desk.typed_numbers import decimal

NOWHERE = "-"


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """What the fields of one form hold, by their names.

    `name` begins every id, so that two forms on one page do not meet. `errors` say what is wrong with a
    field and what to do; under "" stands what is wrong with the whole. `read` says how a number was
    understood. `check` is the address that looks at the form while it is being filled in, "" for none.
    `start` is the field in which one begins; NOWHERE leaves the reader where they are.
    """

    name: str
    values: Mapping[str, str | tuple[str, ...]] = field(default_factory=dict)
    errors: Mapping[str, str] = field(default_factory=dict)
    read: Mapping[str, str] = field(default_factory=dict)
    check: str = ""
    start: str = ""

    def id(self, of: str) -> str:
        """The id of a field's control."""
        return f"{self.name}-{of}"

    def value(self, of: str) -> str:
        """What stands in a field."""
        given = self.values.get(of, "")
        return given if isinstance(given, str) else ", ".join(given)

    def chosen(self, of: str) -> tuple[str, ...]:
        """What is ticked or listed under one name."""
        given = self.values.get(of, ())
        return (given,) if isinstance(given, str) else given

    def error(self, of: str) -> str:
        """What is wrong with a field, "" where nothing is."""
        return self.errors.get(of, "")

    def said(self, of: str) -> str:
        """How a field was read, "" where there is nothing to say."""
        return self.read.get(of, "")


async def sent_form(request: Request) -> AsyncIterator[FormData]:
    """The fields that a page sent; files in them are let go of once it was answered."""
    async with request.form() as form:
        yield form


Sent = Annotated[FormData, Depends(sent_form)]


def typed(sent: FormData, name: str) -> str:
    """What was typed into a field, without the room around it."""
    given = sent.get(name, "")
    return given.strip() if isinstance(given, str) else ""


def typed_all(sent: FormData, name: str) -> tuple[str, ...]:
    """Everything that was sent under one name, in order; what is empty keeps its place."""
    return tuple(given.strip() for given in sent.getlist(name) if isinstance(given, str))


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What was sent, in the keys of the study file's tables, and what could not be read of it.

    `given` holds None where a field was emptied; `typed` is what stood in the fields.
    """

    given: Mapping[str, Any]
    typed: Mapping[str, str | tuple[str, ...]]
    errors: Mapping[str, str] = field(default_factory=dict)
    read: Mapping[str, str] = field(default_factory=dict)


class Reader:
    """Reads one sent form field by field, and gathers what cannot be read."""

    def __init__(self, sent: FormData) -> None:
        self.sent = sent
        self.errors: dict[str, str] = {}
        self.read: dict[str, str] = {}

    def text(self, name: str) -> str:
        """Words."""
        return typed(self.sent, name)

    def words(self, name: str) -> str | None:
        """Words, or None for an empty field."""
        return typed(self.sent, name) or None

    def number(self, name: str, unit: str = "") -> float | None:
        """A number, or None where nothing stands there or what does is none."""
        text = typed(self.sent, name)
        if not text:
            return None
        value = decimal(text)
        if value is None:
            self.errors[name] = f"\u2018{text}\u2019 is not a number; write it in digits, as in 2.5 or 2,5."
        elif "," in text:
            self.read[name] = f"Read as {value:g}{chr(160) + unit if unit else ''}."
        return value

    def rows(self, name: str, spared: Container[str] = ()) -> dict[str, str]:
        """Names with values; `spared` names may stand without a value and are left out then."""
        found: dict[str, str] = {}
        pairs = zip(typed_all(self.sent, f"{name}-name"), typed_all(self.sent, f"{name}-value"), strict=False)
        for key, value in pairs:
            if not value and (not key or key in spared):
                continue
            if not value:
                self.errors[name] = f"\u2018{key}\u2019 has no value; write one, or empty the row."
            elif key in found:
                self.errors[name] = f"\u2018{key}\u2019 stands there twice; keep one of them."
            found[key] = value
        return found

    def done(self, **given: Any) -> Reading:
        """All of it."""
        typed_in = {
            name: typed_all(self.sent, name) if name.endswith(("-name", "-value")) else typed(self.sent, name)
            for name in self.sent
        }
        return Reading(given=given, typed=typed_in, errors=self.errors, read=self.read)
