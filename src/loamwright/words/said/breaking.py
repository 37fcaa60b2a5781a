"""Sentences of breaking."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {}
