"""Sentences for what comes from a phone, and for photos."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {
    "picture_too_large": "This picture is {megabytes} MB; up to {most} MB are kept. Make it smaller and send it again.",
    "picture_not_known": "This file is not a photo that can be kept: JPEG, PNG and WebP are. Save it as JPEG and choose it again.",
    "picture_too_many_points": "This picture has {points} million points; up to {most} million are taken. Take the photo in a smaller size.",
    "picture_not_read": "This picture cannot be read ({reason}). Take the photo again.",
    "picture_changed": "This picture did not come whole. It is still on the phone; send it again.",
    "picture_not_here": "This picture has not arrived here yet. It waits on the phone that took it.",
    "no_picture": "No photo was chosen. Choose one, then keep it.",
    "file_not_waiting": "This is not a file of what waits on a phone: it begins “{found}”. Nothing was taken in.",
    "push_not_read": "What this phone sent could not be read: {reason}. Nothing of it was taken; all of it stays on the phone.",
    "push_too_large": "What this phone sent at once is over {most} MB. Nothing of it was taken; it is sent again in smaller parts.",
}
