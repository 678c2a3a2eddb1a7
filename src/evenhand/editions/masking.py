"""What a published log must not give away: serials, names of people and machines, addresses. Masked in place.

Each letter and digit becomes an x, so that columns keep their width. Numbers of a measurement are never
touched: what is masked stands behind a label, in a path of a user's folder, or has the form of an address.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from evenhand.errors import BadLog
from evenhand.traces.limits import DEFAULT_LIMITS
from evenhand.traces.unpacking import Text, unpack

_LABELS = (
    r"serial(?:[ _-]?(?:number|no\.?))?|s/n|user(?:[ _-]?name)?|owner|account|host(?:[ _-]?name)?"
    r"|computer(?:[ _-]?name)?|machine[ _-]?name|uuid|guid|mac(?:[ _-]?address)?|ip(?:[ _-]?address)?"
    r"|ssid|network[ _-]?name|e-?mail|asset[ _-]?tag"
)
LABEL_SIGNS = (
    "serial", "s/n", "user", "owner", "account", "host", "computer", "machine", "uuid", "guid", "mac",
    *("ip" + after for after in ":= \"',;\t_-a"), "ssid", "network", "mail", "asset",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Sort:
    """What may have to be masked: its pattern, and signs one of which is there wherever the pattern is.

    `near` is found wherever the pattern is, and sooner.
    """

    name: str
    signs: tuple[str, ...]
    pattern: re.Pattern[str]
    near: re.Pattern[str] | None = None


SORTS = (
    Sort(
        name="labelled", signs=LABEL_SIGNS,
        pattern=re.compile(
            rf"(?i)(?<!\w)[\"']?(?:{_LABELS})[\"']?[ \t]*[:=][ \t]*[\"']?([^\"',;|\t\r\n]+)"
        ),
    ),
    Sort(
        name="folder", signs=("users", "home", "documents and settings"),
        pattern=re.compile(
            r"(?i)[\\/](?:users|home|documents and settings)[\\/]+([^\\/\"',;|\t\r\n]+)"
        ),
    ),
    Sort(name="mail", signs=("@",), pattern=re.compile(r"([\w.+-]+@[\w-]+(?:\.[\w-]+)+)")),
    Sort(
        name="hardware address", signs=(":", "-"),
        pattern=re.compile(r"(?<![\w:-])((?:[0-9A-Fa-f]{2}[:-]){5}[0-9A-Fa-f]{2})(?![\w:-])"),
        near=re.compile(r"[:-][0-9A-Fa-f]{2}[:-][0-9A-Fa-f]{2}[:-][0-9A-Fa-f]{2}[:-]"),
    ),
)  # fmt: skip
_FIGURES = str.maketrans("", "", "0123456789.\n")  # of no sign: most of a log is nothing else
_SIGN = re.compile(r"\w")
_HEADER_LABEL = re.compile(rf"(?i)\s*[\"']?(?:{_LABELS})[\"']?\s*")
_BETWEEN = re.compile(r"[,;\t|]")
SHORTEST = 4  # a word this short is masked where it stands behind its label, and nowhere else


@dataclass(frozen=True, slots=True, kw_only=True)
class Masked:
    """A log fit to be published: its bytes, and how many places were masked, by sort; none: as it came."""

    data: bytes
    places: dict[str, int]


def masked_log(data: bytes, *, name: str, words: Iterable[str] = ()) -> Masked:
    """A log's bytes with what must not go out masked, in its own encoding, packed as it was.

    `words` are the reviewer's own: serials, names. A file that is no text is left as it is.
    """
    try:
        text = unpack(data, name=name, limits=DEFAULT_LIMITS)
    except BadLog:
        return Masked(data=data, places={})
    body = text.body.decode("utf-8")
    told, places = masked_text(body, words=words)
    return (
        Masked(data=data, places={}) if told == body else Masked(data=_as_it_was(told, text), places=places)
    )


def masked_text(text: str, *, words: Iterable[str] = ()) -> tuple[str, dict[str, int]]:
    r"""A text with what must not go out masked, and how many places of each sort.

    >>> masked_text("# User: mira\n# /home/mira/logs\n16.7,3\n")
    ('# User: xxxx\n# /home/xxxx/logs\n16.7,3\n', {'labelled': 1, 'folder': 1})
    """
    places: dict[str, int] = {}
    sorts = _sorts_in(text)
    given = {word for word in words if word.strip()}
    given |= {word for word in _told(text, sorts) if len(word) >= SHORTEST and not _is_number(word)}
    for sort in sorts:
        text, found = sort.pattern.subn(_crossed, text)
        if found:
            places[sort.name] = found
    for word in sorted(given, key=len, reverse=True):
        text, found = re.subn(
            rf"(?<!\w){re.escape(word)}(?!\w)", lambda seen: _SIGN.sub("x", seen.group()), text
        )
        if found:
            places["named"] = places.get("named", 0) + found
    return text, places


def _sorts_in(text: str) -> list[Sort]:
    """The sorts whose signs are there at all: most logs hold nothing but numbers, and are long."""
    small = text.translate(_FIGURES).lower()
    return [sort for sort in SORTS if any(sign in small for sign in sort.signs) and _is_near(sort, text)]


def _is_near(sort: Sort, text: str) -> bool:
    return sort.near is None or sort.near.search(text) is not None


def _told(text: str, sorts: Sequence[Sort]) -> Iterator[str]:
    """What stands behind a label or in a column that is called by one: it may stand elsewhere again."""
    for sort in sorts:
        yield from (seen.group(1).strip() for seen in sort.pattern.finditer(text))
    if any(sort.name == "labelled" for sort in sorts):
        yield from _in_columns(text.splitlines())


def _in_columns(lines: Sequence[str]) -> Iterator[str]:
    for at, line in enumerate(lines):
        if not _HEADER_LABEL.search(line):
            continue
        columns = _BETWEEN.split(line)
        named = [
            i for i, column in enumerate(columns) if len(columns) > 1 and _HEADER_LABEL.fullmatch(column)
        ]
        for row in lines[at + 1 :] if named else ():
            cells = _BETWEEN.split(row)
            yield from (cells[i].strip("\"' ") for i in named if i < len(cells))


def _is_number(word: str) -> bool:
    return not any(sign.isalpha() for sign in word) and sum(sign.isdigit() for sign in word) < 8


def _crossed(seen: re.Match[str]) -> str:
    start, end = (edge - seen.start() for edge in seen.span(1))
    whole = seen.group()
    return whole[:start] + _SIGN.sub("x", whole[start:end]) + whole[end:]


def _as_it_was(body: str, text: Text) -> bytes:
    """The body in the encoding, with the mark and the packing that the log came in."""
    import gzip

    encoded = (("\ufeff" if text.marked else "") + body).encode(text.encoding, "replace")
    return gzip.compress(encoded, mtime=0) if text.gz else encoded
