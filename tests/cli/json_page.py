"""docs/formats-json.md, section by section."""

from __future__ import annotations

import json
import re
from pathlib import Path

PAGE = (Path(__file__).parents[2] / "docs" / "formats-json.md").read_text(encoding="utf-8")
_SECTION = re.compile(r"^#{2,3} (.*?)\n(.*?)(?=^#{2,3} |\Z)", flags=re.DOTALL | re.MULTILINE)
SECTIONS = {title.strip(): body for title, body in _SECTION.findall(PAGE)}


def explained(title: str) -> set[str]:
    """The keys in a section's table."""
    return set(re.findall(r"^\| `(\w+)` \|", SECTIONS[title], flags=re.MULTILINE))


def shown(title: str) -> set[str]:
    """The keys in a section's example."""
    examples = re.findall(r"```json\n(.*?)```", SECTIONS[title], flags=re.DOTALL)
    return {key for example in examples for key in json.loads(example)}
