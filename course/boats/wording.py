"""Names of things as they stand in sentences."""

from __future__ import annotations


def capital(text: str) -> str:
    """Return the text with a large first letter, the others as they are: alloys and standards have capitals of their own."""
    return text[:1].upper() + text[1:]


def in_a_sentence(label: str) -> str:
    """Return the name of a circuit as it stands within a sentence."""
    plain = label if label[1:2].isupper() else label[:1].lower() + label[1:]
    return f"the {plain}"
