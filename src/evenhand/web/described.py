"""The description of the interface for programs: the framework's, and the refusals any request may meet."""

from __future__ import annotations

from typing import Any

from fastapi import FastAPI
from fastapi.openapi.utils import get_openapi

TOLD = {"type": "string"}
REFUSED = {
    "type": "object",
    "title": "Refused",
    "description": "What was found, where, and what to do next. Nothing was stored.",
    "required": ["error"],
    "properties": {
        "error": {
            "type": "object",
            "required": ["kind", "found", "where", "todo"],
            "properties": {"kind": TOLD, "found": TOLD, "where": TOLD, "todo": TOLD},
        }
    },
}
ALWAYS = {
    401: "The request comes from the network and carries no token that counts.",
    403: "The token is not for this, or another site's page asks.",
    408: "The rest of the request did not come in time.",
    413: "More was sent than a request, or one log, may hold.",
    421: "The site is not asked for by this name.",
    429: "Too many requests from one address; wait a little.",
    503: "The workbench cannot be written or read now.",
}
NAMED = {404: "Nothing is on record under this name."}
CLOSED = {409: "The study is put away: bring it back first."}
OF_A_STUDY = {"{study}", "{run}"}
GIVEN = {422: "What was sent is no JSON or cannot be used; `where` names the field or the character."}
SENT = {400: "The body cannot be read at all, as where its JSON is nested too deep."}


def describe(app: FastAPI) -> None:
    """Lets the application hand out this description."""

    def openapi() -> dict[str, Any]:
        if app.openapi_schema is None:
            made = get_openapi(title=app.title, version=app.version, routes=app.routes)
            app.openapi_schema = with_refusals(made)
        return app.openapi_schema

    app.openapi = openapi  # type: ignore[method-assign]


def with_refusals(made: dict[str, Any]) -> dict[str, Any]:
    """The same with every refusal in the one shape that all of them have."""
    schemas = made.setdefault("components", {}).setdefault("schemas", {})
    schemas["Refused"] = REFUSED
    for path, methods in made["paths"].items():
        for method, asked in methods.items():
            asked["summary"] = first_sentence(asked.get("description", "")) or asked["summary"]
            answers: dict[str, Any] = asked["responses"]
            closed = CLOSED if method != "get" and OF_A_STUDY & set(path.split("/")) else {}
            for status, words in {**closed, **refusals_of(asked)}.items():
                told = answers.setdefault(str(status), {})
                told["description"] = own_words(told) or words
                told["content"] = in_json("Refused")
    for unused in ("HTTPValidationError", "ValidationError", "Trouble"):
        schemas.pop(unused, None)
    return made


def first_sentence(told: str) -> str:
    """What a request does, in one line: the first sentence of what is said of it.

    >>> first_sentence("Keeps a run as it is. It counts from now on.")
    'Keeps a run as it is'
    """
    return told.partition("\n")[0].partition(". ")[0].partition("; ")[0].rstrip(".")


def refusals_of(asked: dict[str, Any]) -> dict[int, str]:
    """Which refusals a request may meet: those of every request, and those of what it names and sends."""
    places = {each["in"] for each in asked.get("parameters", ())}
    sent = asked.get("requestBody", {}).get("content", {})
    found = dict(ALWAYS)
    found |= NAMED if "path" in places else {}
    found |= GIVEN if places or sent else {}
    found |= SENT if sent else {}
    declared = (int(status) for status in asked["responses"] if status.startswith("4"))
    return {**dict.fromkeys(declared, ""), **found}


def own_words(told: dict[str, Any]) -> str:
    """What the route itself says of an answer; nothing where these are the framework's own words."""
    words = str(told.get("description", ""))
    return "" if words == "Validation Error" else words


def in_json(name: str) -> dict[str, Any]:
    """A body of this shape."""
    return {"application/json": {"schema": {"$ref": f"#/components/schemas/{name}"}}}
