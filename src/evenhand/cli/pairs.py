"""NAME=VALUE, as options give it."""

from __future__ import annotations

import click


def pair(given: str, option: str) -> tuple[str, str]:
    """A name with its value. Raises BadParameter where it is no such pair."""
    name, there, value = given.partition("=")
    if not (there and name.strip()):
        raise click.BadParameter(f"'{given}' is not NAME=VALUE.", param_hint=option)
    return name.strip(), value.strip()
