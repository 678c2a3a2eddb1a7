"""What is wrong with something that was sent, in plain words, from what the checking of its shape found."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

PLACES = ("body", "query", "path", "header", "cookie")
OTHERWISE = "this is not what is expected here"

A_NUMBER, A_WHOLE_NUMBER = "this is no number", "this is no whole number"
YES_OR_NO, TEXT = "this is neither true nor false", "this is no text"
WORDS: Mapping[str, str] = MappingProxyType(
    {
        "json_invalid": "what was sent is no whole JSON",
        "missing": "this is missing",
        "extra_forbidden": "nothing is known by this name",
        "model_attributes_type": "this is no table of fields",
        "dict_type": "this is no table of fields",
        "list_type": "this is no list",
        "string_type": TEXT,
        "string_unicode": TEXT,
        "int_type": A_WHOLE_NUMBER,
        "int_parsing": A_WHOLE_NUMBER,
        "int_from_float": A_WHOLE_NUMBER,
        "int_parsing_size": "this number is too large",
        "float_type": A_NUMBER,
        "float_parsing": A_NUMBER,
        "finite_number": "this number has no end",
        "bool_type": YES_OR_NO,
        "bool_parsing": YES_OR_NO,
        "greater_than": "this must be more than {gt}",
        "greater_than_equal": "this must be {ge} or more",
        "less_than": "this must be less than {lt}",
        "less_than_equal": "this must be {le} or less",
        "string_too_short": "this is too short: at least {min_length} characters",
        "string_too_long": "this is too long: at most {max_length} characters",
        "too_short": "these are too few: at least {min_length}",
        "too_long": "these are too many: at most {max_length}",
        "enum": "this must be one of {expected}",
        "literal_error": "this must be one of {expected}",
    }
)


def found_words(error: Mapping[str, Any]) -> str:
    """What was found.

    >>> found_words({"type": "less_than_equal", "ctx": {"le": 8}}), found_words({"type": "int_parsing"})
    ('this must be 8 or less', 'this is no whole number')
    """
    return WORDS.get(str(error["type"]), OTHERWISE).format_map(error.get("ctx", {}))


def where_words(error: Mapping[str, Any]) -> str:
    """Which field it is, by names and by places in lists from 0; in text that is no JSON, which character.

    >>> where_words({"type": "missing", "loc": ("body", "looks", 0)})
    'looks.0'
    >>> where_words({"type": "json_invalid", "loc": ("body", 13)})
    'body, at character 14'
    """
    place, *rest = error["loc"]
    if error["type"] == "json_invalid":
        return f"{place}, at character {int(rest[0]) + 1}" if rest else str(place)
    return ".".join(map(str, rest if rest and place in PLACES else error["loc"]))
