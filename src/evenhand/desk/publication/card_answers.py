"""The set of cards as it was asked for, and as JSON."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from evenhand.desk.comparison.charting import Drawn, Watch
from evenhand.desk.on_record import load_study
from evenhand.desk.publication.card_pairs import Pairs, pairs_left, pairs_named, pairs_shown
from evenhand.desk.publication.cards import cards_of
from evenhand.desk.publication.edition_cards import FrozenCards, write_edition_cards
from evenhand.publish.palette import Theme
from evenhand.publish.style import Medium
from evenhand.store import publications
from evenhand.store.workbench import Workbench

Answer = dict[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class SetAsked:
    """A set of cards: for which medium, on which ground, of which pairs, and how many pairs have none."""

    study: str
    medium: Medium
    theme: Theme
    drawn: tuple[Drawn, ...]
    pairs: Pairs
    pairs_left: int


def set_asked(
    wb: Workbench,
    study: str,
    *,
    medium: str = "wide",
    dark: bool = False,
    pairs: Sequence[Sequence[str]] = (),
) -> SetAsked:
    """The whole set of a study, with cards of these `pairs`. Raises NotFound where there is no such."""
    record = load_study(wb, study)
    theme, shown = Theme.DARK if dark else Theme.LIGHT, pairs_shown(record, pairs_named(record, pairs))
    drawn = cards_of(wb, record, theme=theme, medium=Medium(medium), pairs=shown)
    return SetAsked(
        study=study, medium=Medium(medium), theme=theme, drawn=drawn, pairs=shown,
        pairs_left=pairs_left(record, shown),
    )  # fmt: skip


def cards_answer(asked: SetAsked, files: Sequence[str]) -> Answer:
    """``cards --json``: every card in order with its alt text; files are its SVG and its PNG."""
    both = zip(files[::2], files[1::2], strict=True)
    return {
        "study": asked.study,
        "medium": asked.medium.value,
        "theme": asked.theme.value,
        "cards": [card_answer(one, pair) for one, pair in zip(asked.drawn, both, strict=True)],
        "pairs": [list(pair) for pair in asked.pairs],
        "pairs_left": asked.pairs_left,
        "drawn_plainly": list(dict.fromkeys(told for one in asked.drawn for told in one.picture.told)),
    }


def card_answer(one: Drawn, files: tuple[str, str]) -> Answer:
    """One card."""
    return {
        "name": one.name,
        "title": one.picture.title,
        "alt": one.picture.description,
        "pair": None if one.pair is None else list(one.pair),
        "files": list(files),
    }


def edition_set(
    wb: Workbench, study: str, number: int, folder: Path, *, medium: str, watch: Watch | None = None
) -> FrozenCards:
    """The cards of an edition, written into a folder. Raises NotFound."""
    edition = publications.publication(wb, study, number)
    return write_edition_cards(wb, edition, folder, medium=Medium(medium), watch=watch)


def edition_cards_answer(written: FrozenCards) -> Answer:
    """``cards --edition --json``: as for today's, with the edition."""
    both = zip(written.files[::2], written.files[1::2], strict=True)
    return {
        "study": written.edition.study,
        "medium": written.medium.value,
        "theme": Theme.LIGHT.value,
        "edition": written.edition.number,
        "cards": [
            {
                **{key: row[key] for key in ("name", "title", "alt")},
                "pair": row.get("pair"),
                "files": list(map(str, files)),
            }
            for row, files in zip(written.rows, both, strict=True)
        ],
    }
