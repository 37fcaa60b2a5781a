"""Every page that leads on from some, one after the other, as often as asked of one shape."""

import html
import re
from collections import Counter
from collections.abc import Iterable, Iterator

from httpx2 import Response
from starlette.testclient import TestClient

ID = re.compile(r"[0-9a-f]{8}-[0-9a-f-]{27}")


def followed(
    client: TestClient, start: Iterable[str], *, link: re.Pattern[str], left_out: tuple[str, ...], most: int
) -> Iterator[tuple[str, str, Response]]:
    """Address, shape (ids as stars, questions aside) and answer of each page; what a page links to comes after it."""
    waiting, seen, shapes = list(start), set(), Counter[str]()
    while waiting:
        address = html.unescape(waiting.pop(0))
        shape = ID.sub("*", address.split("?")[0])
        if address in seen or shapes[shape] >= most or shape.endswith(left_out):
            continue
        seen.add(address)
        shapes[shape] += 1
        page = client.get(address)
        yield address, shape, page
        if page.headers.get("content-type", "").startswith("text/html"):
            waiting += link.findall(page.text)
