"""What else is told of a tuned part where it goes out: its warmth, its watts, whether tuning was worth it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from evenhand.desk.on_record import StudyOnRecord
from evenhand.desk.tuning.asking_watts import watts_of_study
from evenhand.desk.tuning.gained_said import worth_said
from evenhand.desk.tuning.heat import last_told
from evenhand.desk.tuning.heat_rows import heat_doubt_said
from evenhand.desk.tuning.held import compared_parts, standing_of
from evenhand.desk.tuning.watts_said import best_said, points_said
from evenhand.publish.tuning.heat import COMES_ON_TOP, FIXED, outlook_sentences, settles_words
from evenhand.records.trials import Tuned
from evenhand.store.workbench import Workbench
from evenhand.tuning.heat_outlook import HeatAsked

WARMTH, DRAWN, WORTH = "How warm it gets", "What it draws", "Whether tuning was worth it"


def beside_said(wb: Workbench, record: StudyOnRecord, tuned: Tuned) -> Mapping[str, tuple[str, ...]]:
    """Sentences by what they are of; of warmth only where a temperature log tells it.

    What tuning was worth is of the whole setup, and told with the first of its parts.
    """
    first = next(each for each in compared_parts(wb, record) if each.setup == tuned.setup)
    told = {
        WARMTH: tuple(_warmth(wb, tuned)),
        DRAWN: tuple(_drawn(wb, record, tuned)),
        WORTH: tuple(_worth(wb, record, tuned)) if first.part == tuned.part else (),
    }
    return {name: said for name, said in told.items() if said}


def _warmth(wb: Workbench, tuned: Tuned) -> Iterator[str]:
    """What the log that tells most says, with what is to be doubted of it."""
    now = last_told(wb, tuned)
    found = None if now is None else now.asked(HeatAsked())
    if now is None or found is None:
        return
    yield settles_words(found)
    yield from outlook_sentences(found)
    if now.fell is not None:
        yield now.fell_said
    yield from (heat_doubt_said(doubt, now) for doubt in now.doubts)
    yield FIXED
    yield COMES_ON_TOP


def _drawn(wb: Workbench, record: StudyOnRecord, tuned: Tuned) -> Iterator[str]:
    """What it draws at stock and where it is advised, and the most work for a joule, under each load."""
    for now in standing_of(wb, record, tuned):
        for each in watts_of_study(wb, record, now).meters:
            if each.metered.power is not None:
                yield from points_said(each, offset=tuned.offset)
                yield from best_said(each, offset=tuned.offset)


def _worth(wb: Workbench, record: StudyOnRecord, tuned: Tuned) -> Iterator[str]:
    """The gain over stock with what it takes, or that none is known; each sentence once."""
    said = worth_said(wb, record, tuned.setup)
    yield from filter(None, dict.fromkeys((said.answer, said.rise, said.doubt, *said.costs)))
