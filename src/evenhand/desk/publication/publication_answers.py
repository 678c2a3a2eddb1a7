"""Editions and what moved between them, as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from evenhand.desk.publication.bundling import digest_of_data
from evenhand.desk.publication.publishing import Published, digest_of
from evenhand.desk.publication.touching import Ripple
from evenhand.editions.moved import Move
from evenhand.prose.timing import time_code
from evenhand.records.publications import Publication

Answer = dict[str, Any]


def edition_answer(edition: Publication) -> Answer:
    """One edition without its body."""
    return {
        "study": edition.study,
        "number": edition.number,
        "at": edition.at.isoformat(),
        "by": edition.by,
        "reason": edition.reason,
        "code_version": edition.code_version,
        "input_hash": edition.input_hash,
        "digest": digest_of(edition),
        "data_digest": digest_of_data(edition.files),
        "files": dict(edition.files),
    }


def published_answer(made: Published) -> Answer:
    """``publish --json``: the edition, and what was said with it."""
    return {
        **edition_answer(made.edition),
        "again": made.again,
        "moved": moves_answer(made.moves),
        "untold": list(made.untold),
        "undrawn": list(made.undrawn),
    }


def ripple_answer(found: Ripple) -> Answer:
    """``moved --json``: what moved, and what it touches."""
    return {
        "since": edition_answer(found.edition),
        "moved": moves_answer(found.moves),
        "script": [
            {
                "address": each.address, "line": each.line, "chapter": each.chapter,
                "at": time_code(each.start_s), "before": each.before, "after": each.after,
            }
            for each in found.figures
        ],
        "sentences": [
            {
                "line": each.line, "chapter": each.chapter, "at": time_code(each.start_s),
                "words": each.words, "why": each.why, "would_stand": each.would_stand,
                "against": each.against,
            }
            for each in found.sentences
        ],
        "cards": [
            {
                "name": each.name, "before": each.before, "after": each.after, "was": each.was,
                "now": each.now, "shown": list(each.shown),
            }
            for each in found.cards
        ],
    }  # fmt: skip


def moves_answer(moves: Sequence[Move]) -> list[Answer]:
    """What moved, causes first."""
    return [
        {
            "of": each.of.value,
            "name": each.name,
            "before": each.before,
            "after": each.after,
            "in_print": each.in_print,
        }
        for each in moves
    ]
