"""A page without the end tags that HTML lets be left out: rows, cells and items end where the next begins."""

from __future__ import annotations

import re

_END = re.compile(
    r"</(?:t[dh](?=>\s*(?:<t[dh]\b|</tr>))|tr(?=>\s*(?:<tr\b|</t(?:head|body|foot|able)>))"
    r"|li(?=>\s*(?:<li\b|</[uo]l>))|d[td](?=>\s*(?:<d[td]\b|</dl>)))>"
)


def lean_ends(page: str) -> str:
    """The page with the same elements, fewer of them closed (HTML Living Standard, 13.1.2.4 Optional tags).

    >>> lean_ends("<ul><li>one</li> <li>two <p>more</p></li></ul>")
    '<ul><li>one <li>two <p>more</p></ul>'
    >>> lean_ends("<table><tbody><tr><th>a</th><td>b</td></tr><tr><td>c</td></tr></tbody></table>")
    '<table><tbody><tr><th>a<td>b<tr><td>c</tbody></table>'
    """
    return _END.sub("", page)
