"""Sentences of papers."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {}
