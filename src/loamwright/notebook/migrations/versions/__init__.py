"""Numbered, forward-only migrations of the envelope tables; entry bodies are never touched."""
