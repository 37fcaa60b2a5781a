"""Killing writers of a notebook and counting what was lost."""
