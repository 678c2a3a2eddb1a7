"""What a script says, sentence by sentence, before anybody asks whether it is so.

It hangs on how things are called and not on what was measured: it stays while only numbers move. Where names
move, only sentences that say another thing by them are understood anew.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from evenhand.prose.context import TOPIC, Context
from evenhand.prose.disclosed import LONGEST
from evenhand.prose.ground import Ground
from evenhand.prose.lexicon import Lexicon, lexicon
from evenhand.prose.mentions import signed
from evenhand.prose.reading import Made, Reading
from evenhand.prose.rules import Rules
from evenhand.prose.script import Piece, Script, Sort, place_in
from evenhand.prose.signs import Named
from evenhand.prose.understanding import Listener, Said, meant

SMALL, BRIEF = 2, 5  # words of an answer that is no sentence of its own: with a setup, with a part


@dataclass(frozen=True, slots=True, kw_only=True)
class Heard:
    """A sentence as it is understood: where it stands, how it was read, and what it claims."""

    piece: Piece
    reading: Reading
    made: Made

    def on(self, ground: Ground) -> Reading:
        """The same reading, to be held against a ground that calls everything alike."""
        return replace(self.reading, ground=ground)


def hear(
    script: Script, ground: Ground, rules: Rules, *, listener: Listener | None = None
) -> tuple[Heard, ...]:
    """Every sentence of a script that is read, understood by the names of a ground.

    `listener` is one of a ground of which everything that is `called` is the same.
    """
    listener, names = listener or Listener(ground, rules), lexicon(ground, rules)
    context, paragraph, found = Context(), None, []
    for piece in answered(script, names, rules):
        if len(piece.text) <= LONGEST:
            sentence = signed(piece.text, names, rules, at=piece.place.start)
            reading = Reading(
                script=script.text, sentence=sentence, context=context, ground=listener.ground, rules=rules
            )
            told = listener.understood(
                Said(
                    sentence=sentence, context=context, sort=piece.sort, begins=piece.paragraph != paragraph,
                    figures=meant(sentence.references, ground.quotables),
                )
            )  # fmt: skip
            found.append(Heard(piece=piece, reading=reading, made=told.made))
            context, paragraph = told.then, piece.paragraph
    return tuple(found)


def heard_by(script: Script, ground: Ground, rules: Rules) -> str:
    """All that a script is heard by, as one text: while it stays, so does all that is heard."""
    told = [reference for piece in script.said for reference in piece.references]
    return repr((lexicon(ground, rules), ground.called(), meant(told, ground.quotables)))


def answered(script: Script, names: Lexicon, rules: Rules) -> Iterator[Piece]:
    """Headings and sentences; a name by itself after a question ("The best? Plover.") goes with it."""
    asked: Piece | None = None
    for piece in script.said:
        joined = asked is not None and asked.paragraph == piece.paragraph and (
            _is_name(piece, names, rules) or _is_short_answer(piece.text, asked.text, rules)
        )  # fmt: skip
        if asked is not None and joined:
            start, end = asked.place.start, piece.place.end
            asked = replace(piece, text=script.text[start:end], place=place_in(script.text, start, end))
        if asked is not None:
            yield asked
        if joined:
            asked = None
        elif rules["clauses.question"].search(piece.text) or _is_topic(piece, names, rules):
            asked = piece
        else:
            asked = None
            yield piece
    if asked is not None:
        yield asked


def _is_short_answer(text: str, asked: str, rules: Rules) -> bool:
    """Whether a sentence says no more than yes to a question, or no more than how what was named compares."""
    whole = rules["clauses.asks_whether"].search(asked)
    return bool(rules["clauses.yes" if whole else "clauses.comparing"].search(text))


def _is_topic(piece: Piece, names: Lexicon, rules: Rules) -> bool:
    """Whether a sentence does no more than name a test, so that a name behind it says who is ahead there."""
    if piece.sort is Sort.HEADING or len(piece.text.split()) > TOPIC:
        return False
    sentence = signed(piece.text, names, rules)
    return bool(sentence.of(Named.TEST)) and not sentence.of(Named.SETUP)


def _is_name(piece: Piece, names: Lexicon, rules: Rules) -> bool:
    """Whether a sentence is a setup's or a part's name with few words beside it."""
    if len(piece.text) > LONGEST:
        return False
    sentence = signed(piece.text, names, rules)
    if rules["clauses.named"].search(sentence.text):
        return True
    words, parts = len(sentence.text.split()), sentence.of(Named.PART) or sentence.of(Named.KIND)
    if sentence.of(Named.SETUP):
        return words <= SMALL
    return bool(parts) and words <= BRIEF
