"""What moved in a script: its changed stretches, sentence by sentence, under the chapter that holds them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from difflib import SequenceMatcher

from evenhand.publish.numbers import counted

_ENDED = re.compile(r"(?<=[.!?…])\s+")
_UNSPOKEN = re.compile(r"#{1,6}[ \t]|\[card:")
MOST_SAID = 6  # sentences, headings and cues that are told one after the other
_HEADING = re.compile(r"#{1,6}[ \t]+(.*)")

Said = tuple[str, str]  # a chapter, "" before the first, and a sentence, heading or cue in it


def script_moves(before: str | None, after: str | None) -> Iterator[tuple[str, str | None, str | None]]:
    """Each stretch that changed: its chapter, as it was and as it is, None where nothing stood or stands."""
    was, now = _said(before or ""), _said(after or "")
    for sort, i, j, m, n in SequenceMatcher(a=was, b=now, autojunk=False).get_opcodes():
        if sort != "equal":
            old, new = was[i:j], now[m:n]
            yield (new or old)[0][0] or "script", _words(old), _words(new)


def _said(script: str) -> list[Said]:
    told, chapter = [], ""
    for line in filter(None, map(str.strip, script.splitlines())):
        heading = _HEADING.match(line)
        if heading:
            chapter = heading[1]
        told += [(chapter, sentence) for sentence in ([line] if heading else _ENDED.split(line))]
    return told


def _words(stretch: list[Said]) -> str | None:
    """A stretch in its own words; of a long one the first sentence, and how many follow."""
    said = [sentence for _, sentence in stretch]
    if len(said) <= MOST_SAID:
        return " ".join(said) or None
    spoken = [each for each in said if not _UNSPOKEN.match(each)] or said
    more = len(spoken) - 1
    return f"{spoken[0]} … and {counted(more, 'sentence')} more" if more else spoken[0]
