"""Work out what the first visits will ask for, while nobody asks yet."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from functools import partial

from evenhand.desk.pages.compare import compare_page
from evenhand.desk.pages.compare_cards import cards_page
from evenhand.desk.pages.compare_choice import Asked
from evenhand.desk.pages.verdict import Looked, verdict_page
from evenhand.errors import EvenhandError
from evenhand.records.studies import Study
from evenhand.store import shelves
from evenhand.store.workbench import Workbench

MOST = 3  # studies: the last ones are those that somebody is at


def work_out(wb: Workbench, *, going: Callable[[], bool]) -> None:
    """Work out the dearest pages of the last studies, as long as `going`; what is worked out is remembered.

    It loads what only these need as well. Whatever keeps a page from being shown is told to who asks for it.
    """
    for study in reversed(shelves.every(wb, Study)[-MOST:]):
        dearest: tuple[Callable[[], object], ...] = (
            partial(compare_page, wb, study.key, Asked()),
            partial(verdict_page, wb, study.key, Looked()),
            partial(cards_page, wb, study.key, Asked()),
        )
        for page in dearest:
            if going():
                with suppress(EvenhandError):
                    page()
