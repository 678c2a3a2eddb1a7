"""A photo as it is handed out: a picture of a fixed kind, in which nothing may run."""

from __future__ import annotations

from fastapi import Request
from fastapi.responses import Response

POLICY = "default-src 'none'; sandbox"  # its bytes are anybody's: nothing in them may run


def picture_answer(request: Request, media: str, data: bytes, *, mark: str) -> Response:
    """The bytes as a picture. A browser asks each time, since it may be closed; it need not be sent twice."""
    headers = {
        "Content-Security-Policy": POLICY,
        "Content-Disposition": "inline",
        "Cache-Control": "private, no-cache",
        "ETag": f'"{mark}"',
    }
    if request.headers.get("if-none-match") == headers["ETag"]:
        return Response(status_code=304, headers=headers)
    return Response(data, media_type=media, headers=headers)
