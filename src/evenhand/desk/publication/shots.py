"""The shot list of a script that is written for a study."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from evenhand.desk.comparison.charting import Drawn
from evenhand.desk.on_record import load_study
from evenhand.desk.publication.card_pairs import pairs_cued, pairs_named
from evenhand.desk.publication.cards import cards_of
from evenhand.desk.publication.imprint import imprint_now
from evenhand.desk.publication.material import material_of
from evenhand.desk.publication.shot_list import Shot, shot_list, shot_list_answer, shot_list_text
from evenhand.prose.quotables import quotables
from evenhand.prose.rules import ENGLISH, rules
from evenhand.prose.script import parse
from evenhand.prose.timing import time_code, timed
from evenhand.publish.style import Medium
from evenhand.store.workbench import Workbench


@dataclass(frozen=True, slots=True, kw_only=True)
class Shots:
    """The cues of a script against the cards of one medium."""

    study: str
    medium: Medium
    shots: tuple[Shot, ...]
    drawn: tuple[Drawn, ...]

    @property
    def missing(self) -> bool:
        """Whether a cue asks for a card that there is not."""
        return any(not shot.cards for shot in self.shots)

    @property
    def text(self) -> str:
        """The list to read along."""
        return shot_list_text(self.shots, self.drawn)

    @property
    def answer(self) -> dict[str, Any]:
        """``shots --json``."""
        return {
            "study": self.study,
            "medium": self.medium.value,
            **shot_list_answer(self.shots, self.drawn),
        }


def shots_of(
    wb: Workbench,
    study: str,
    text: str,
    *,
    medium: str = "wide",
    language: str = ENGLISH,
    pairs: Sequence[Sequence[str]] = (),
) -> Shots:
    """Which card a script shows when, spoken at the reviewer's own pace; with cards of these `pairs`, and of
    those that the script asks for by name. Raises NotFound.
    """
    record = load_study(wb, study)
    script = parse(text, abbreviations=rules(language).abbreviations)
    pace = imprint_now(wb).words_a_minute
    times = timed(script, quotables(material_of(wb, record)), words_a_minute=pace)
    cues = [(cue.card, time_code(cue.start_s)) for cue in times.cues]
    shown = pairs_cued(record, [card for card, _ in cues], pairs_named(record, pairs))
    drawn = cards_of(wb, record, medium=Medium(medium), pairs=shown)
    return Shots(study=study, medium=Medium(medium), shots=shot_list(cues, drawn), drawn=drawn)
