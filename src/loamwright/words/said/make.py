"""Sentences of make."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {}
