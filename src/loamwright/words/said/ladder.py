"""Sentences of ladder."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {}
