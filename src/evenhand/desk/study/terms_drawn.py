"""Changed terms in the few words that stand at the foot of a picture."""

from __future__ import annotations

from collections.abc import Sequence

from evenhand.desk.study.term_fields import NAMES, TERMS
from evenhand.desk.study.terms import ChangedTerm
from evenhand.publish.names import ChangedWords
from evenhand.publish.numbers import capital, counted, listed


def on_pictures(terms: Sequence[ChangedTerm], *, test: str | None = None) -> ChangedWords:
    """What a picture's foot says of terms that were changed, such as "Margin changed after 12 runs.".

    With `test` for a picture of that test alone, which other tests' terms do not concern.
    """
    told: dict[str, int] = {}
    scores: set[str] = set()
    for term in terms:
        change = term.change
        if test is not None and term.test not in ("", test):
            continue
        if change.record == "run" and change.field == "window":
            continue  # a reservation of the finding itself, for as long as it stands
        if change.record == "run":
            scores.add(change.key)
        else:
            # Of a term that was moved more than once the last move saw the most runs.
            told[TERMS[change.record].get(change.field, NAMES)] = term.runs
    return ChangedWords(terms=_on_terms(told), scores=_on_scores(len(scores)))


def _on_terms(told: dict[str, int]) -> tuple[str, ...]:
    """A sentence for each number of runs that were on record, the terms in their own order."""
    by_runs: dict[int, list[str]] = {}
    terms_told = (name for fields in TERMS.values() for name in fields.values() if name in told)
    for what in (*terms_told, *(name for name in (NAMES,) if name in told)):
        by_runs.setdefault(told[what], []).append(what)
    return tuple(
        f"{capital(listed(tuple(whats)))} changed after {counted(runs, 'run')}."
        for runs, whats in by_runs.items()
    )


def _on_scores(scores: int) -> tuple[str, ...]:
    if not scores:
        return ()
    late = "it was" if scores == 1 else "they were"
    return (f"{capital(counted(scores, 'score'))} changed after {late} in.",)
