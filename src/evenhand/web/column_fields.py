"""What a person says of a log's columns, as `templates/columns.html` asks it."""

from __future__ import annotations

from starlette.datastructures import FormData

from evenhand.errors import BadRecord
from evenhand.records.layouts import Column, LogKind, Role
from evenhand.web.forms import typed

MOST = 4096  # no log has more


def columns_said(sent: FormData) -> tuple[LogKind, list[Column]]:
    """The kind of log, and each column. Raises BadRecord where the form came in pieces."""
    try:
        kind, count = LogKind(typed(sent, "kind")), int(typed(sent, "columns"))
        columns = [column_said(sent, at) for at in range(min(count, MOST))]
    except ValueError as error:
        raise BadRecord("the form came in pieces", todo="load the page again, and send it anew") from error
    return kind, columns


def column_said(sent: FormData, at: int) -> Column:
    """One column. Raises ValueError where its role is none."""
    return Column(
        header=str(sent.get(f"header-{at}", "")),
        role=Role(typed(sent, f"role-{at}")),
        unit=typed(sent, f"unit-{at}"),
        about=typed(sent, f"about-{at}"),
    )
