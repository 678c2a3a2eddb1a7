"""Texts of an edition and a script's narration with numbers and days as a country writes them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import partial
from typing import Any

from evenhand.desk.article_files import texts_of
from evenhand.desk.on_record import load_study
from evenhand.desk.publishing import editions_of, opened
from evenhand.desk.snapshots import snapshot_now
from evenhand.editions.snapshot import Snapshot
from evenhand.publish.written import Days, Numbers, written
from evenhand.store.workbench import Workbench

NAMED = ("name", "title", "question", "budget", "told", "build_name", "label", "scene", "to", "by", "note")
"""Entries of a snapshot that people wrote, and that therefore stay as they are."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """How numbers and days are written."""

    numbers: Numbers = Numbers.POINT
    days: Days = Days.WORDS

    @property
    def is_own(self) -> bool:
        """Whether it is how this program writes them, so that nothing is to be done."""
        return self.numbers is Numbers.POINT and self.days is Days.WORDS


def form_of(numbers: str, days: str) -> Form:
    """The form that is asked for by these words."""
    return Form(numbers=Numbers(numbers), days=Days(days))


def texts_written(
    wb: Workbench, study: str, form: Form, *, number: int | None = None
) -> tuple[int, dict[str, str]]:
    """The texts of an edition in this form, and its number; the last one where none is named."""
    known, told = texts_of(wb, study, number=number)
    if form.is_own:
        return known, told
    edition = editions_of(wb, study)[known - 1]
    keep = (*kept_words(opened(edition)), *(each.reason for each in editions_of(wb, study)))
    write = partial(written, numbers=form.numbers, days=form.days, keep=keep)
    return known, {name: write(text) for name, text in told.items()}


def narration_written(wb: Workbench, study: str, narration: str, form: Form) -> str:
    """A narration in this form."""
    if form.is_own:
        return narration
    keep = tuple(kept_words(snapshot_now(wb, load_study(wb, study))))
    return written(narration, form.numbers, form.days, keep=keep)


def kept_words(snapshot: Snapshot) -> Iterator[str]:
    """What people wrote in a study: names, notes, versions."""
    for told in (snapshot.study, snapshot.setups, snapshot.tests, snapshot.disclosures, snapshot.imprint):
        yield from _said(told)
    yield from (f"version {test['version']}" for test in snapshot.tests if test.get("version"))


def _said(told: Any) -> Iterator[str]:
    """The texts under names that people wrote; a bare number is no name."""
    if isinstance(told, Mapping):
        for key, value in told.items():
            if isinstance(value, str) and key in NAMED and any(map(str.isalpha, value)):
                yield value
            else:
                yield from _said(value)
    elif isinstance(told, (list, tuple)):
        for each in told:
            yield from _said(each)
