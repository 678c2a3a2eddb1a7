"""--take-back and --put-back, by number: a mistake counts no more, and what was none counts again."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

import click

Command = TypeVar("Command", bound=Callable[..., Any])


def takes_back(what: str, *, why: bool = False, named: bool = False) -> Callable[[Command], Command]:
    """The option that takes one back; with `why` only for a reason, and `named` by what it takes back."""
    return _by_number(
        "--take-back", what, f"This {what} was a mistake: it counts no more.", why=why, named=named
    )


def puts_back(what: str, *, why: bool = False, named: bool = False) -> Callable[[Command], Command]:
    """The option that puts one back: the same once more, or with `why` that very one again."""
    again = f"this {what} counts again." if why else f"the same {what} again."
    return _by_number("--put-back", what, f"It was none: {again}", why=why, named=named)


def _by_number(option: str, what: str, said: str, *, why: bool, named: bool) -> Callable[[Command], Command]:
    told = f"{said} Needs --why." if why else said
    option = f"{option}-{what}" if named else option
    return click.option(option, type=int, default=None, metavar="NUMBER", help=told)
