"""Who publishes, and how: said piece by piece, checked before it stands."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any
from urllib.parse import urlsplit

from evenhand.errors import BadRecord, NotFound
from evenhand.publish.house_style import accent_of, mark_of
from evenhand.publish.typeface import typeface_of
from evenhand.records.builds import Part
from evenhand.records.publications import Days, Imprint, Link, Numbers
from evenhand.store import imprints, originals, shelves
from evenhand.store.workbench import Workbench

_SPDX = re.compile(r"[A-Za-z0-9][A-Za-z0-9.+-]*")
SPEECH = (60, 300)  # words a minute between which people speak


@dataclass(frozen=True, slots=True, kw_only=True)
class Worn:
    """The bytes of a mark and of a typeface: b"" takes one off, None leaves it."""

    mark: bytes | None = None
    typeface: bytes | None = None


def imprint_now(wb: Workbench) -> Imprint:
    """The imprint as it stands."""
    return imprints.imprint_now(wb)


def form_fields(numbers: str, days: str) -> dict[str, Any]:
    """How numbers and days are to be written, as typed in; what is not said stays. Raises BadRecord."""
    said: dict[str, Any] = {}
    for name, told, form in (("numbers", numbers, Numbers), ("days", days, Days)):
        if told and told not in {each.value for each in form}:
            raise BadRecord(
                f"{name} cannot be written as '{told}'", where="imprint",
                todo=f"say one of {', '.join(each.value for each in form)}",
            )  # fmt: skip
        said |= {name: form(told)} if told else {}
    return said


def change_imprint(wb: Workbench, given: Mapping[str, Any], *, now: datetime) -> Imprint:
    """The imprint with what is given; the rest stays. Raises BadRecord that says what cannot be."""
    given = {**given, **({"accent": accent_of(given["accent"])} if given.get("accent") else {})}
    with wb.writing():
        made = replace(imprints.imprint_now(wb), **given)
        _check(made)
        imprints.save_imprint(wb, made, at=now)
    return made


def wear(wb: Workbench, worn: Worn, *, now: datetime) -> Imprint:
    """Puts a mark or a typeface on the cards, or takes one off; what is not given stays.

    A mark is kept without all that is not its pixels. Raises BadRecord for what cannot be shown or read.
    """
    given: dict[str, str | None] = {}
    if worn.mark is not None:
        given["mark"] = originals.keep_unnamed(wb, mark_of(worn.mark).data) if worn.mark else None
    if worn.typeface is not None:
        given["typeface"] = None
        if worn.typeface:
            typeface_of(worn.typeface)
            given["typeface"] = originals.keep_unnamed(wb, worn.typeface)
    return change_imprint(wb, given, now=now)


def put_link(wb: Workbench, link: Link, *, now: datetime) -> Imprint:
    """A link in place of the one of its name, or else last. Raises BadRecord, or NotFound for its part."""
    _check_address(link.to, "a link")
    if link.part:
        shelves.one(wb, Part, link.part)
    with wb.writing():
        others = [each for each in imprints.imprint_now(wb).links if each.name != link.name]
        return change_imprint(wb, {"links": (*others, link)}, now=now)


def drop_link(wb: Workbench, name: str, *, now: datetime) -> Imprint:
    """Takes a link out. Raises NotFound."""
    with wb.writing():
        before = imprints.imprint_now(wb).links
        if name not in {each.name for each in before}:
            raise NotFound(f"no link is called '{name}'", where=str(wb.path), todo="see `evenhand imprint`")
        return change_imprint(wb, {"links": tuple(e for e in before if e.name != name)}, now=now)


def _check_address(told: str, where: str) -> None:
    """Raises BadRecord for what no reader could follow, or what would run in their browser."""
    found = ""
    try:
        parts = urlsplit(told)
        if any(sign.isspace() or not sign.isprintable() for sign in told):
            found = "has a space in it"
        elif parts.scheme not in ("https", "http"):
            found = "is no address of the web"
        elif not parts.hostname or not re.search(r"\w", parts.hostname):
            found = "names no host"
        elif parts.username is not None:
            found = "has a name or password in it that would go out"
        elif parts.port == 0:
            found = "has a port that is none"
    except ValueError:
        found = "cannot be read as an address"
    if found:
        raise BadRecord(
            f"'{told}' {found}", where=where, todo="write it whole, as https://example.org/tests/"
        )


def _check(imprint: Imprint) -> None:
    if imprint.place:
        _check_address(imprint.place, "place")
    if imprint.licence and not _SPDX.fullmatch(imprint.licence):
        raise BadRecord(
            f"'{imprint.licence}' is no licence identifier", where="licence",
            todo="give one of SPDX, as CC-BY-4.0, or nothing",
        )  # fmt: skip
    if not SPEECH[0] <= imprint.words_a_minute <= SPEECH[1]:
        raise BadRecord(
            f"nobody speaks {imprint.words_a_minute} words a minute", where="words a minute",
            todo=f"give a number from {SPEECH[0]} to {SPEECH[1]}",
        )  # fmt: skip
