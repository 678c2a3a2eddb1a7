"""Ask the workbench, with this rig's token; over HTTPS only the one whose certificate was shown."""

from __future__ import annotations

import hashlib
import http.client
import json
import ssl
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlsplit

from evenhand.errors import BadRecord, EvenhandError

TIMEOUT_S = 20.0


class Unreachable(EvenhandError):
    """The workbench does not answer now; what was to be sent stays on disk."""


class Refused(EvenhandError):
    """The workbench answered, and does not want what was sent."""


class ShutOut(EvenhandError):
    """The workbench does not let this rig in, or is not the one that it should be."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Address:
    """Where the workbench is, this rig's token, and the SHA-256 of its certificate where it has one."""

    url: str
    token: str
    fingerprint: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What came back: the status, what its headers say, and its JSON."""

    status: int
    headers: Mapping[str, str]
    body: Any


def ask(
    address: Address,
    method: str,
    path: str,
    *,
    body: bytes | Mapping[str, Any] | None = None,
    headers: Mapping[str, str] | None = None,
) -> Answer:
    """One question. Raises Unreachable where nobody answers, ShutOut where the token does not count.

    Any other answer, a refusal of what was asked included, is handed back.
    """
    data = body if isinstance(body, bytes) or body is None else json.dumps(body).encode()
    kind = "application/octet-stream" if isinstance(body, bytes) else "application/json"
    token = {"Authorization": f"Bearer {address.token}"} if address.token else {}
    sent = {**token, "Content-Type": kind, **(headers or {})}
    try:
        connection = _connection(address)
        try:
            connection.request(method, path, body=data, headers=sent)
            answer = connection.getresponse()
            text = answer.read()
        finally:
            connection.close()
    except (OSError, http.client.HTTPException) as error:
        raise Unreachable(
            f"the workbench does not answer ({error})",
            where=address.url,
            todo="see that it is open and this rig is on its network; trying again goes on by itself",
        ) from error
    if answer.status in (401, 403):
        raise ShutOut(
            "the workbench does not let this rig in",
            where=address.url,
            todo="make a new link on its page Devices, and start again with it",
        )
    return Answer(status=answer.status, headers=dict(answer.headers), body=_json(text))


def refusal(answer: Answer, where: str) -> Refused | Unreachable:
    """Why something was not taken or told; a workbench in trouble of its own is asked again later."""
    error = answer.body.get("error", {}) if isinstance(answer.body, dict) else {}
    found = error.get("found") or f"the workbench answered {answer.status}"
    kind = Unreachable if answer.status >= 500 or answer.status in (408, 429) else Refused
    return kind(found, where=where, todo=error.get("todo", ""))


def _json(text: bytes) -> Any:
    try:
        return json.loads(text)
    except ValueError:
        return None


def _connection(address: Address) -> http.client.HTTPConnection:
    parts = urlsplit(address.url)
    if parts.scheme not in ("http", "https") or not parts.hostname:
        raise BadRecord(
            f"'{address.url}' is not an address", where="command line", todo="copy the whole link"
        )
    if parts.scheme == "http":
        return http.client.HTTPConnection(parts.hostname, parts.port, timeout=TIMEOUT_S)
    return _Pinned(parts.hostname, parts.port, fingerprint=address.fingerprint)


class _Pinned(http.client.HTTPSConnection):
    """HTTPS to the holder of one certificate, which nobody else vouches for: it was shown on its screen."""

    def __init__(self, host: str, port: int | None, *, fingerprint: str) -> None:
        context = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
        context.check_hostname = False
        context.verify_mode = ssl.CERT_NONE
        super().__init__(host, port, timeout=TIMEOUT_S, context=context)
        self._fingerprint = plain(fingerprint)

    def connect(self) -> None:
        """Connects, and says nothing before the certificate is the right one."""
        super().connect()
        seen = hashlib.sha256(self.sock.getpeercert(binary_form=True) or b"").hexdigest()
        if seen != self._fingerprint:
            self.close()
            raise ShutOut(
                "another certificate answers here than the one that was shown on the workbench",
                where=f"{self.host}:{self.port}",
                todo="see who answers at this address; if the workbench made a new one, copy its link",
            )


def plain(fingerprint: str) -> str:
    """A fingerprint without its colons and capitals.

    >>> plain("AB:0c")
    'ab0c'
    """
    return fingerprint.replace(":", "").lower()
