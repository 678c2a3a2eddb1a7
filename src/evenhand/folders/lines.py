"""On which line of a TOML text a table, entry or key stands: the parser itself does not say."""

from __future__ import annotations

import re
from collections import deque
from collections.abc import Iterator

Path = tuple[str | int, ...]
"""Where in a document: ("runs", 2, "score") is the score of the third run."""

_TOKEN = re.compile(
    r'(?P<text>"""(?:\\.|[^\\])*?"{3,5}|\'\'\'(?:.|\n)*?\'{3,5}|"(?:\\.|[^"\\\n])*"|\'[^\'\n]*\')'
    r"|(?P<comment>#[^\n]*)|(?P<newline>\n)|(?P<mark>[\[\]{},=])|(?P<bare>[^\s\[\]{},=#\"']+)",
    re.DOTALL,
)
_Token = tuple[str, str, int]
_Tokens = deque[_Token]


def lines_of(text: str) -> dict[Path, int]:
    r"""The line (1 is the first) of every table, array entry and key of a TOML text that parses.

    >>> lines_of("[study]\nkey = 'a'\n[[runs]]\nscore = 1.5")
    {('study',): 1, ('study', 'key'): 2, ('runs',): 3, ('runs', 0): 3, ('runs', 0, 'score'): 4}
    """
    tokens = deque(_tokens(text))
    found: dict[Path, int] = {}
    counts: dict[Path, int] = {}
    table: Path = ()
    while tokens:
        kind, word, _line = tokens[0]
        if kind == "newline":
            tokens.popleft()
        elif word == "[":
            table = _header(tokens, found, counts)
        else:
            _pair(tokens, table, found)
    return found


def nearest_line(found: dict[Path, int], path: Path) -> int | None:
    """The line of this place, or of the closest thing around it that has one."""
    for end in range(len(path), 0, -1):
        if path[:end] in found:
            return found[path[:end]]
    return None


def _tokens(text: str) -> Iterator[_Token]:
    line, at = 1, 0
    for match in _TOKEN.finditer(text):
        line += text.count("\n", at, match.start())
        at = match.start()
        kind = match.lastgroup or ""
        if kind != "comment":
            yield kind, match.group(), line


def _header(tokens: _Tokens, found: dict[Path, int], counts: dict[Path, int]) -> Path:
    """Read `[a.b]` or `[[a.b]]`; the path of the table it opens, array entries counted from 0."""
    line = tokens.popleft()[2]
    many = tokens[0][1] == "[" and tokens[0][0] == "mark"
    names = _key(tokens, "]")
    if many:
        tokens.popleft()
    path = _last_entries(names[:-1], counts) + names[-1:]
    if many:
        found.setdefault(path, line)
        counts[path] = counts.get(path, 0) + 1
    path = _last_entries_of(path, counts)
    found.setdefault(path, line)
    return path


def _last_entries(names: Path, counts: dict[Path, int]) -> Path:
    path: Path = ()
    for name in names:
        path = _last_entries_of((*path, name), counts)
    return path


def _last_entries_of(path: Path, counts: dict[Path, int]) -> Path:
    return (*path, counts[path] - 1) if path in counts else path


def _key(tokens: _Tokens, end: str) -> Path:
    """The parts of a dotted key, up to and including the mark that ends it."""
    names: list[str | int] = []
    while tokens[0][1] != end or tokens[0][0] != "mark":
        kind, word, _line = tokens.popleft()
        if kind == "text":
            names.append(word[1:-1])
        elif kind == "bare":
            names.extend(part for part in word.split(".") if part)
    tokens.popleft()
    return tuple(names)


def _pair(tokens: _Tokens, table: Path, found: dict[Path, int]) -> None:
    line = tokens[0][2]
    names = _key(tokens, "=")
    for end in range(1, len(names) + 1):
        found.setdefault((*table, *names[:end]), line)
    _value(tokens, (*table, *names), found)


def _value(tokens: _Tokens, path: Path, found: dict[Path, int]) -> None:
    word = tokens[0][1] if tokens[0][0] == "mark" else ""
    if word == "[":
        _array(tokens, path, found)
    elif word == "{":
        _inline_table(tokens, path, found)
    else:
        while tokens and tokens[0][0] in ("bare", "text"):
            tokens.popleft()


def _array(tokens: _Tokens, path: Path, found: dict[Path, int]) -> None:
    tokens.popleft()
    count = 0
    while True:
        kind, word, line = tokens[0]
        if kind == "newline" or word == ",":
            tokens.popleft()
        elif kind == "mark" and word == "]":
            tokens.popleft()
            return
        else:
            found[*path, count] = line
            _value(tokens, (*path, count), found)
            count += 1


def _inline_table(tokens: _Tokens, path: Path, found: dict[Path, int]) -> None:
    tokens.popleft()
    while tokens[0][1] != "}" or tokens[0][0] != "mark":
        if tokens[0][1] == ",":
            tokens.popleft()
        else:
            _pair(tokens, path, found)
    tokens.popleft()
