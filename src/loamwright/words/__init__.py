"""Sentences, numbers and dates as people read them: the one place where codes become words, shared by pages, shell and papers."""
