"""One line of a delimited text into fields, and one field into a number."""

from __future__ import annotations

import csv
import re

SPACES = " "  # stands for any run of spaces and tabs
ONE_COLUMN = ""  # no delimiter at all: each line is one field
COMMENT_SIGNS = ("#", "//", "!", ";")

_FLAGS = re.IGNORECASE | re.ASCII
_NAMED = r"nan(?:\([a-z0-9_]*\))?|inf(?:inity)?"
_POINT = re.compile(rf"[+-]?(?:(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?|{_NAMED})", _FLAGS)
_COMMA = re.compile(rf"[+-]?(?:(?:\d+,?\d*|,\d+)(?:e[+-]?\d+)?|{_NAMED})", _FLAGS)
_TIME_OF_DAY = r"\d{1,2}:\d{2}(?::\d{2}(?:[.,]\d+)?)?\s*(?:Z|UTC|[+-]\d{2}(?::?\d{2})?)?"
_DATE = r"\d{1,4}[-/.]\d{1,2}[-/.]\d{1,4}"
_CLOCK_TEXT = re.compile(rf"{_DATE}(?:(?:T|\s+){_TIME_OF_DAY})?|{_TIME_OF_DAY}", re.ASCII)
_WITH_COMMA = re.compile(r"[+-]?\d*,\d+(?:e[+-]?\d+)?", _FLAGS)
_WITH_POINT = re.compile(r"[+-]?\d*\.\d+(?:e[+-]?\d+)?", _FLAGS)


def split_fields(line: str, delimiter: str) -> list[str]:
    """The fields of one line, outer spaces off, quotes undone.

    >>> split_fields('0; 16,7 ;"a;b"', ";")
    ['0', '16,7', 'a;b']
    >>> split_fields("  0   16.7 ", SPACES)
    ['0', '16.7']
    """
    if delimiter == ONE_COLUMN:
        return [line.strip().strip('"')]
    if delimiter == SPACES:
        line = " ".join(line.split())
    if '"' not in line:
        return [f.strip() for f in line.split(delimiter)]
    try:
        return [f.strip() for f in next(csv.reader([line], delimiter=delimiter, skipinitialspace=True))]
    except (csv.Error, StopIteration):
        return [f.strip() for f in line.split(delimiter)]


def read_number(field: str, decimal: str) -> float | None:
    """The number a field holds, or None. No thousands marks, no underscores, ASCII digits only.

    >>> read_number("16,7", ","), read_number("1.234,5", ","), read_number("NaN", ".")
    (16.7, None, nan)
    """
    text = field.strip()
    if decimal == ",":
        return _float(text.replace(",", ".")) if _COMMA.fullmatch(text) else None
    return _float(text) if _POINT.fullmatch(text) else None


def _float(text: str) -> float:
    return float("nan") if "(" in text else float(text)


def is_number(field: str) -> bool:
    """Whether this is a number with either decimal mark."""
    return _POINT.fullmatch(field) is not None or _COMMA.fullmatch(field) is not None


def is_clock_text(field: str) -> bool:
    """Whether this looks like a date, a time of day, or both.

    >>> is_clock_text("2026/11/24 21:38:47.145"), is_clock_text("16.7")
    (True, False)
    """
    return _CLOCK_TEXT.fullmatch(field) is not None


def is_value(field: str) -> bool:
    """Whether a row of measurements may hold this: a number or a time."""
    return is_number(field) or is_clock_text(field)


def decimal_mark(fields: list[str]) -> str | None:
    """The decimal mark that more fields are written with, the point where both are; None where neither is.

    >>> decimal_mark(["16,7", "8,25", "0.5"]), decimal_mark(["16", "8"])
    (',', None)
    """
    commas = sum(_WITH_COMMA.fullmatch(f) is not None for f in fields if "," in f)
    with_point = (f for f in fields if "." in f and _WITH_POINT.fullmatch(f))
    if not commas:
        return "." if any(with_point) else None
    return "," if commas > sum(1 for _ in with_point) else "."


def is_comment(line: str, delimiter: str) -> bool:
    """Whether the line is a remark: it begins with one of the comment signs, the delimiter aside.

    >>> is_comment("# vsync off", ","), is_comment(";1;2", ";")
    (True, False)
    """
    bare = line.lstrip()
    return bare.startswith(COMMENT_SIGNS) and not (bare[:1] == ";" and delimiter == ";")
