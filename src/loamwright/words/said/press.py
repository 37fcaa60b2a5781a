"""Sentences of press."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {}
