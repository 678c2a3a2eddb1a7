"""What all tables of a study file share: how keys, words, numbers and file names may be written."""

from __future__ import annotations

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


Key = Annotated[str, StringConstraints(pattern=r"^[^\W_][\w.\-]*$")]
Words = Annotated[str, StringConstraints(min_length=1, pattern=r"\S")]
FileName = Annotated[str, StringConstraints(min_length=1), AfterValidator(_plain_file_name)]
Positive = Annotated[float, Field(gt=0)]
RoomTemperature = Annotated[float, Field(ge=-40, le=60)]
Stamps = Mapping[Words, str]


class Table(BaseModel):
    """What all tables share: no unknown keys, no silent conversions, finite numbers."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True, allow_inf_nan=False)
