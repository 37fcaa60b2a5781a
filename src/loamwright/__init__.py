"""Loamwright: bench book, calculator and adviser for mixes of compressed earth blocks."""

__version__ = "0.1.0"
