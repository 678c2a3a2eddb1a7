"""What every handler may ask for: the site that a request came to, and who asks."""

from __future__ import annotations

from typing import Annotated, cast

from fastapi import Depends, Request

from evenhand.web.served import Site


def site_of(request: Request) -> Site:
    """The site that a request came to."""
    return cast("Site", request.app.state.site)


Here = Annotated[Site, Depends(site_of)]


def who_asks(request: Request) -> str:
    """The name of the device that a request came from."""
    return str(request.state.by)


By = Annotated[str, Depends(who_asks)]
