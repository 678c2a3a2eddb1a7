"""A limit under a picture and for whoever cannot see it: whose it is, and where that is written."""

from __future__ import annotations

from evenhand.publish.numbers import capital
from evenhand.publish.tuning.words import source_words, whose_words
from evenhand.records.trials import Limit


def source_line(limit: Limit) -> str:
    """Where a limit is written, or that it is one's own and why, as it stands in a foot."""
    told = source_words(limit)
    return f"{capital(told)}." if limit.own else f"Limit: {told}."


def limit_sentence(limit: Limit, said: str) -> str:
    """What is `said` of a limit, with whose it is and where that is written."""
    told = source_words(limit)
    if limit.own:
        told = told.removeprefix("our own limit").lstrip(",: ")
    return f"{capital(whose_words(limit))} limit {said}, {told if limit.own else f'by {told}'}."
