"""Which fields of a study's records are terms, fixed before data, and which only describe."""

from __future__ import annotations

from collections.abc import Mapping

# What findings or triage read, by the record and its field, and what it is called.
TERMS: Mapping[str, Mapping[str, str]] = {
    "study": {
        "margin": "margin",
        "boot_allowance": "allowance for one boot",
        "ambient_c": "room temperature range",
        "setups": "list of setups",
        "tests": "list of tests",
        "weights": "weights",
        "audiences": "audiences",
    },
    "test": {
        "measures": "sort of number",
        "metric": "number compared",
        "unit": "unit",
        "direction": "better direction",
        "also": "further numbers compared",
        "group": "group",
        "version": "version",
        "settings": "settings",
        "locked_fps": "rate held on purpose",
        "free_length": "free length",
        "script": "command",
        "window": "measured window",
    },
    "setup": {"build": "build", "state": "state", "stamps": "stamps"},
    "build": {"parts": "parts"},
    "part": {"kind": "kind of a part", "name": "name of a part"},
    "run": {"score": "score", "window": "window of its own"},
}
# What only names, describes or plans: no finding and no fault depends on it.
DESCRIPTIVE: Mapping[str, tuple[str, ...]] = {
    "study": ("key", "title", "question", "audience", "budget", "currency", "money"),
    "test": ("key", "name", "stresses", "scene", "minutes"),
    "setup": ("key", "name"),
    "build": ("key", "name", "slot", "note"),
    "part": ("key", "note"),
}
NAMED = ("test", "setup", "build")  # whose names tell a reader which is which
NAMES = "names"
SEVERAL = ("weights", "audiences", "also", "settings", "stamps", "parts")  # of these one says "were"
