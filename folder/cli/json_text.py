"""Values as JSON text for machines."""

from __future__ import annotations

import re

import msgspec


def rounded_for_json(value: object) -> object:
    """The value with every number rounded to nine decimals: what lies below is noise of the arithmetic."""
    if isinstance(value, float):
        # Adding zero turns -0.0 into 0.0.
        return round(value, 9) + 0.0
    if isinstance(value, dict):
        return {k: rounded_for_json(v) for k, v in value.items()}
    if isinstance(value, list | tuple):
        return [rounded_for_json(v) for v in value]
    return value


def json_text(value: object) -> str:
    """A value as JSON text for machines, with nothing in it that a terminal would obey."""
    text = msgspec.json.format(msgspec.json.encode(rounded_for_json(msgspec.to_builtins(value))), indent=2).decode()
    return re.sub(r"[^\n -~]", _shown, text)


def _shown(letter: re.Match[str]) -> str:
    """A letter as it is, or by its numbers where it would not be seen but do something (RFC 8259, 7)."""
    if letter[0].isprintable():
        return letter[0]
    codes = letter[0].encode("utf-16-be").hex()
    return "".join(f"\\u{codes[k : k + 4]}" for k in range(0, len(codes), 4))
