"""Texts of an edition and a script's narration with numbers and days as a country writes them."""

from __future__ import annotations

from evenhand.desk.on_record import load_study
from evenhand.desk.publication.article_files import texts_of
from evenhand.desk.publication.kept_words import kept_words
from evenhand.desk.publication.publishing import editions_of, opened
from evenhand.desk.publication.snapshots import snapshot_now
from evenhand.publish.written import writing
from evenhand.records.publications import Days, Form, Numbers
from evenhand.store.imprints import imprint_now
from evenhand.store.workbench import Workbench


def form_of(wb: Workbench, numbers: str | None, days: str | None) -> Form:
    """The form that is asked for by these words; where nothing is, that of the imprint."""
    own = imprint_now(wb)
    return Form(numbers=Numbers(numbers or own.numbers), days=Days(days or own.days))


def texts_written(
    wb: Workbench, study: str, form: Form, *, number: int | None = None
) -> tuple[int, dict[str, str]]:
    """The texts of an edition in this form, and its number; the last one where none is named."""
    known, told = texts_of(wb, study, number=number)
    if form.is_own:
        return known, told
    edition = editions_of(wb, study)[known - 1]
    write = writing(form, keep=(*kept_words(opened(edition)), *(e.reason for e in editions_of(wb, study))))
    return known, {name: write(text) for name, text in told.items()}


def narration_written(wb: Workbench, study: str, narration: str, form: Form) -> str:
    """A narration in this form."""
    if form.is_own:
        return narration
    return writing(form, keep=kept_words(snapshot_now(wb, load_study(wb, study))))(narration)
