"""Photos: what is taken as a picture, and a picture made small enough to keep."""

import io
from typing import Any

from loamwright.errors import InputError

MOST_BYTES = 6 * 1024 * 1024
MOST_POINTS = 60_000_000  # decoded, three bytes each: looked at before anything is decoded
LONGEST_SIDE = 1600
QUALITY = 82
# The first bytes of a file, as their formats' standards have them.
_MARKS = (
    (b"\xff\xd8\xff", "image/jpeg"),
    (b"\x89PNG\r\n\x1a\n", "image/png"),
)


def media_type(data: bytes) -> str:
    """The media type of picture bytes by how they begin, or an empty text for anything that is not JPEG, PNG or WebP.

    >>> media_type(bytes.fromhex("ffd8ffe000104a464946")), media_type(b"<svg>")
    ('image/jpeg', '')
    """
    for mark, found in _MARKS:
        if data.startswith(mark):
            return found
    return "image/webp" if data[:4] == b"RIFF" and data[8:12] == b"WEBP" else ""


def check_picture(data: bytes) -> str:
    """The media type of a picture that may be kept: of a known format, not too large, and whole.

    Raises
    ------
    InputError
        "picture_too_large", "picture_not_known", "picture_too_many_points" or "picture_not_read".
    """
    if len(data) > MOST_BYTES:
        raise InputError("picture_too_large", megabytes=len(data) / 1024**2, most=MOST_BYTES // 1024**2)
    _decoded(data, LONGEST_SIDE)
    return media_type(data)


def reduced(data: bytes) -> bytes:
    """A picture upright, with its longest side at most `LONGEST_SIDE` points, as JPEG without what a camera wrote beside it.

    Raises
    ------
    InputError
        "picture_not_known", "picture_too_many_points" or "picture_not_read".
    """
    from PIL import Image, ImageOps

    picture = _decoded(data, LONGEST_SIDE)
    picture = ImageOps.exif_transpose(picture) or picture
    if picture.mode not in ("RGB", "L"):
        ground = Image.new("RGB", picture.size, "white")
        layered = picture.convert("RGBA")
        ground.paste(layered, mask=layered.getchannel("A"))
        picture = ground
    picture.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
    out = io.BytesIO()
    picture.save(out, "JPEG", quality=QUALITY)
    return out.getvalue()


def _decoded(data: bytes, side: int) -> Any:
    """A picture decoded whole; a JPEG no larger than is needed for a side."""
    kind = media_type(data)
    if not kind:
        raise InputError("picture_not_known")
    try:
        picture = _opened(data, kind)
        points = picture.size[0] * picture.size[1]
        if points > MOST_POINTS:
            raise InputError("picture_too_many_points", points=points / 1e6, most=MOST_POINTS / 1e6)
        picture.draft("RGB", (side, side))
        picture.load()
    except InputError:
        raise
    except Exception as fault:  # a damaged or hostile file makes its reader raise anything
        raise InputError("picture_not_read", reason=str(fault) or type(fault).__name__) from fault
    return picture


def _opened(data: bytes, kind: str) -> Any:
    """A picture by the reader of its own format alone, its head read and nothing decoded."""
    from PIL.JpegImagePlugin import JpegImageFile
    from PIL.PngImagePlugin import PngImageFile
    from PIL.WebPImagePlugin import WebPImageFile

    readers: dict[str, Any] = {"image/jpeg": JpegImageFile, "image/png": PngImageFile, "image/webp": WebPImageFile}
    return readers[kind](io.BytesIO(data))
