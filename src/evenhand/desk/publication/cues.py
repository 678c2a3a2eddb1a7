"""Cues of a script that ask for a card which there is not, as objections to it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.publication.card_pairs import KINDS, pairs_cued
from evenhand.desk.publication.cards import cards_of
from evenhand.desk.publication.shot_list import answering, set_of, spelt
from evenhand.errors import nearest_few
from evenhand.prose.objection import Objection, Rule
from evenhand.prose.script import Piece, Script, Sort
from evenhand.store.workbench import Workbench


def cues_without_cards(wb: Workbench, record: StudyOnRecord, script: Script) -> tuple[Objection, ...]:
    """What is objected to in the cues of a script; nothing before there are runs, and so cards."""
    cues = [piece for piece in script.pieces if piece.sort is Sort.CUE]
    if not cues or not record.compared_runs:
        return ()
    shown = pairs_cued(record, [piece.text for piece in cues])
    return unanswered(cues, [one.name for one in cards_of(wb, record, pairs=shown)])


def unanswered(cues: Sequence[Piece], cards: Sequence[str]) -> tuple[Objection, ...]:
    """An objection to each cue that none of these cards answers, with the names that are nearest."""
    known = {*(set_of(card) for card in cards), *beginnings(cards)}
    return tuple(
        Objection(
            rule=Rule.CUE, place=cue.place, excerpt=cue.text,
            reason=f"no card is called '{cue.text.strip()}'",
            would_stand=nearest_few(spelt(cue.text), known),
        )
        for cue in cues if not answering(cue.text, cards)
    )  # fmt: skip


def beginnings(cards: Sequence[str]) -> Iterator[str]:
    """What cards of one kind begin with, by which the first set of them is shown.

    >>> sorted(beginnings(["headline-plover-1", "break-even-plover", "rates-fps"]))
    ['break-even', 'headline', 'rates']
    """
    for card in cards:
        yield next((kind for kind in KINDS if card.startswith(f"{kind}-")), card.partition("-")[0])
