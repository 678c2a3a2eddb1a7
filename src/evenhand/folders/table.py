"""What all tables of a study file share: how keys, words, numbers and file names may be written."""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from typing import Annotated

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, StringConstraints
from pydantic_core import PydanticCustomError


def _plain_file_name(name: str) -> str:
    """A file inside the folder, named with forward slashes."""
    steps = name.split("/")
    if "\\" in name:
        raise _bad_file_name("has a backslash", "write forward slashes, as in 'logs/run-1.csv'")
    if name.startswith("/") or name[1:2] == ":":
        raise _bad_file_name("is absolute", "copy the file into the study folder and name it from there")
    if ".." in steps:
        raise _bad_file_name("leads out of the study folder", "copy the file into the folder")
    if any(step in ("", ".") for step in steps) or "\0" in name:
        raise _bad_file_name("names no file", "write it as in 'logs/run-1.csv'")
    return name


def _bad_file_name(found: str, todo: str) -> PydanticCustomError:
    return PydanticCustomError("file_name", "file name {found}", {"found": found, "todo": todo})


_BREAKS = {"\n": "the end of a line", "\r": "the end of a line", "\t": "a tab"}


def hidden_sign(text: str, *, lines: bool = False) -> str:
    r"""What of a text a terminal or a file would obey, a control character or half of a sign; "" for nothing.

    With `lines` it may have several, and tabs. What turns the direction of writing is none: that is shown
    apart from what stands beside it.

    >>> hidden_sign("held\x00"), hidden_sign("one\ntwo"), hidden_sign("one\ntwo", lines=True)
    ('U+0000', 'the end of a line', '')
    """
    for sign in text:
        if unicodedata.category(sign) in ("Cc", "Cs") and not (lines and sign in _BREAKS):
            return _BREAKS.get(sign, f"U+{ord(sign):04X}")
    return ""


def _one_line(text: str) -> str:
    return _without(text, hidden_sign(text))


def _lines(text: str) -> str:
    return _without(text, hidden_sign(text, lines=True))


def _without(text: str, sign: str) -> str:
    if sign:
        raise PydanticCustomError("hidden_sign", "{sign} in it", {"sign": sign})
    return text


Plain = AfterValidator(_one_line)
"""Of text on one line that goes into tables, terminals and files."""

PlainLines = AfterValidator(_lines)
"""Of text that may have several lines."""

Key = Annotated[str, StringConstraints(pattern=r"^[^\W_][\w.\-]*$")]
Words = Annotated[str, StringConstraints(min_length=1, pattern=r"\S")]
FileName = Annotated[str, StringConstraints(min_length=1), AfterValidator(_plain_file_name)]
Positive = Annotated[float, Field(gt=0)]
RoomTemperature = Annotated[float, Field(ge=-40, le=60)]
Stamps = Mapping[Words, str]


class Table(BaseModel):
    """What all tables share: no unknown keys, no silent conversions, finite numbers."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True, allow_inf_nan=False)
