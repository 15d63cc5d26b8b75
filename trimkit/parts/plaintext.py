"""Text from a file or a person, made safe to show on a page or in a terminal.

Escaping for HTML is left to the templates. This module handles what escaping does not touch: characters that move a
terminal's cursor or colour it, and those that reverse the direction of writing, so that ``37.5`` could read ``5.73``.
"""

from __future__ import annotations

import unicodedata

_TURN = frozenset("\u061c\u200e\u200f\u2028\u2029\ufeff") | {
    chr(code) for code in (*range(0x202A, 0x202F), *range(0x2066, 0x206A))
}
"""Marks and overrides of direction (Unicode Standard Annex 9, section 2); line separators; the byte-order mark."""


def shown(text: str) -> str:
    """Return text with every control character written out by its number; line ends stay.

    >>> shown("37.5\\u202e in"), shown("\\x1b[31mred"), shown("½ in, naïve")
    ('37.5<U+202E> in', '<U+001B>[31mred', '½ in, naïve')
    """
    return "".join(f"<U+{ord(sign):04X}>" if _is_obeyed(sign) else sign for sign in text)


def _is_obeyed(sign: str) -> bool:
    return sign in _TURN or (unicodedata.category(sign) in ("Cc", "Cs") and sign not in "\n\t")
