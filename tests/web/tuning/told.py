"""What pages of tuned parts say, and commands of the same workbench."""

from __future__ import annotations

import html
import json
import re
from typing import Any

import pytest

from evenhand.cli.main import run
from evenhand.desk.opening import Desk


def words(text: str) -> str:
    """What a page says outside of its pictures."""
    return all_words(re.sub(r"<svg.*?</svg>", " ", text, flags=re.DOTALL))


def all_words(text: str) -> str:
    """What a page says, in its pictures as well."""
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", text)).replace("\u00a0", " ").split())


def at_field(text: str, name: str) -> str:
    """What stands under a field."""
    found = re.search(rf'id="[\w-]+-{name}-says"[^>]*>(.*?)</div>', text, flags=re.DOTALL)
    return words(found[1]) if found else ""


def by_command(bench: Desk, capsys: pytest.CaptureFixture[str], *asked: str) -> Any:
    """What the command answers about the same workbench."""
    assert run(["--workbench", str(bench.path), *asked, "--json"]) == 0
    return json.loads(capsys.readouterr().out)
