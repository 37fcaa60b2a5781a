"""The language of an answer: the one tapped on this device, else the first of the browser's list that there is."""

from collections.abc import Awaitable, Callable, Mapping

from fastapi import Request, Response

from loamwright.words.language import Language, best, speaking

COOKIE = "language"
Next = Callable[[Request], Awaitable[Response]]


def tongue(languages: Mapping[str, Language]) -> Callable[[Request, Next], Awaitable[Response]]:
    """The function that sets the language before a request is answered."""

    async def speak(request: Request, following: Next) -> Response:
        wanted = request.cookies.get(COOKIE, "")
        chosen = languages.get(wanted) or best(request.headers.get("accept-language", ""), languages)
        with speaking(chosen):
            return await following(request)

    return speak
