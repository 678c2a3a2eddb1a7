"""Of which study each file that waits is, as far as anybody or anything has said."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from evenhand.publish.numbers import capital, counted, listed
from evenhand.records.plans import Arrival, Placing
from evenhand.records.studies import Study
from evenhand.store import arrivals, shelves
from evenhand.store.workbench import Workbench


def study_said(arrival: Arrival, last: Placing | None) -> str | None:
    """The study that a file waits for, by why it waits or by what came with it; None where neither tells."""
    return (last.study if last is not None else None) or arrival.about.get("study")


def waiting_by_study(wb: Workbench) -> Mapping[str | None, int]:
    """How many files wait, by their study; under None those of which nobody knows."""

    def count() -> Counter[str | None]:
        return Counter(study_said(*each) for each in arrivals.waiting(wb))

    return wb.lately("waiting files by study", count)


def waiting_for(wb: Workbench, study: str) -> int:
    """How many files wait that are of this study, or may be."""
    shares = waiting_by_study(wb)
    return shares.get(study, 0) + shares.get(None, 0)


def elsewhere_words(wb: Workbench, study: str) -> str:
    """How many files of other studies wait, in a sentence; "" where none does."""
    titles = {each.key: each.title for each in shelves.every(wb, Study)}
    others = {key: n for key, n in waiting_by_study(wb).items() if key is not None and key != study}
    if not others:
        return ""
    said = tuple(f"{counted(n, 'file')} of {titles.get(key, key)}" for key, n in others.items())
    return f"{capital(listed(said))} {'waits' if sum(others.values()) == 1 else 'wait'} in the inbox too."
