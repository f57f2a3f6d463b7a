"""Checks of what learners read: links, glossary terms, figures' words, spelling and the length of sentences."""

from instructor.prose.checked import Finding, check_file, files_under, sentence_lengths

__all__ = ["Finding", "check_file", "files_under", "sentence_lengths"]
