"""Sentences of plan."""

from collections.abc import Mapping

SAID: Mapping[str, str] = {}
