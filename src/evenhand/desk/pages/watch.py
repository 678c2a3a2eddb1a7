"""The watched folder of a study as its page tells it: what is on its way, what came, what is wrong."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from evenhand.desk.bench.watching import refused_in, title_of, watched_now
from evenhand.publish.numbers import capital, count_word
from evenhand.records.watches import WatchedFolder
from evenhand.store.workbench import Workbench

MOST_TOLD = 5


@dataclass(frozen=True, slots=True, kw_only=True)
class WatchCard:
    """One watched folder: for this study, or for `any`; `refused` are files that could not be taken in."""

    folder: str
    any: bool
    now: str
    refused: tuple[tuple[str, str], ...]
    id: int


@dataclass(frozen=True, slots=True, kw_only=True)
class WatchPage:
    """The page."""

    key: str
    title: str
    answer: str
    cards: tuple[WatchCard, ...]


def watch_page(
    wb: Workbench,
    study: str,
    *,
    writing: Mapping[int, Sequence[str]],
    behind: Mapping[int, Sequence[str]],
) -> WatchPage:
    """The folders watched for a study and for any; `writing` names what is on its way, by watch.

    `behind` names what is whole and waits for one that was begun earlier. Raises NotFound where there is no
    such study.
    """
    title = title_of(wb, study)
    own = [watch for watch in watched_now(wb) if watch.study in (study, None)]
    return WatchPage(
        key=study,
        title=title,
        answer=answer_of(own),
        cards=tuple(
            card(wb, watch, now_words(writing.get(watch.id, ()), behind.get(watch.id, ()))) for watch in own
        ),
    )


def answer_of(own: Sequence[WatchedFolder]) -> str:
    """What the page opens with."""
    if not own:
        return "No folder is watched: logs come from rigs, or are dropped."
    return "New logs in the watched folder come in by themselves."


def card(wb: Workbench, watch: WatchedFolder, now: str) -> WatchCard:
    """One folder; `now` says what is on its way."""
    refused = refused_in(wb, watch)
    return WatchCard(
        id=watch.id,
        folder=str(watch.folder),
        any=watch.study is None,
        now=now,
        refused=tuple((each.path, capital(each.note)) for each in refused[-MOST_TOLD:]),
    )


def now_words(writing: Sequence[str], behind: Sequence[str] = ()) -> str:
    """What is on its way, and what waits `behind` it.

    >>> now_words([]), now_words(["logs/a.csv"])
    ('Nothing is on its way.', 'One file is still being written: logs/a.csv.')
    >>> now_words(["a", "b", "c", "d"])
    'Four files are still being written: a, b, c and more.'
    >>> now_words(["a"], ["b"])
    'One file is still being written: a. One file is whole and waits its turn behind that: b.'
    """
    if not writing and not behind:
        return "Nothing is on its way."
    told = []
    if writing:
        are = "file is" if len(writing) == 1 else "files are"
        told.append(f"{capital(count_word(len(writing)))} {are} still being written: {some(writing)}.")
    if behind:
        wait = "file is whole and waits its" if len(behind) == 1 else "files are whole and wait their"
        told.append(f"{capital(count_word(len(behind)))} {wait} turn behind that: {some(behind)}.")
    return " ".join(told)


def coming_words(writing: Sequence[str], behind: Sequence[str] = ()) -> str:
    """What the bench says of files that are waited for; "" where there are none.

    >>> coming_words(["a.csv"]), coming_words([])
    ('A file is on its way and waited for: a.csv. It is taken once nobody writes to it any more.', '')
    >>> coming_words(["a"], ["b"])
    'Two files are on their way and waited for: a, b. Each is taken once nobody writes to it any more.'
    """
    names = (*writing, *behind)
    if not names:
        return ""
    many = f"{capital(count_word(len(names)))} files are on their way" if len(names) > 1 else ""
    each = "Each" if many else "It"
    head = many or "A file is on its way"
    return f"{head} and waited for: {some(names)}. {each} is taken once nobody writes to it any more."


def some(names: Sequence[str]) -> str:
    """The first three names.

    >>> some(["a", "b"])
    'a, b'
    """
    return ", ".join(names[:3]) + (" and more" if len(names) > 3 else "")
