"""What is said of the search for a blend."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {
    "no_windows": "Say what the blend should meet: choose one window or more.",
}
