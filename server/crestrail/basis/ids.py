"""Names for things, made without asking anybody: record ids, device ids, tag codes.

Random bytes and the time are passed in, so the same bytes give the same id.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from crestrail.basis.errors import BadInput

RandomBytes = Callable[[int], bytes]
"""Gives so many random bytes; ``secrets.token_bytes`` outside tests."""

SYMBOLS = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
"""The 32 symbols of Crockford's base 32 (crockford.com/base32.html): no I, L, O, U."""

CHECK_SYMBOLS = SYMBOLS + "*~$=U"
"""Symbols for a number modulo 37; the last five cannot be read aloud and are never used."""

RANDOM_SYMBOLS = 8
_UUID = re.compile("[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}")
_DEVICE = re.compile("[0-9a-f]{16}")
_LOOKALIKES = str.maketrans({"I": "1", "L": "1", "O": "0"})
_SEPARATORS = re.compile("[-\u2010-\u2015\u2212 \t\r\n\u00a0]")


def new_id(now_ms: int, random_bytes: RandomBytes) -> str:
    """A UUID of version 7 (RFC 9562 section 5.7): 48 bits of milliseconds, 74 random bits."""
    tail = int.from_bytes(random_bytes(10), "big")
    rand_a = (tail >> 64) & 0xFFF
    rand_b = tail & (1 << 62) - 1
    value = (now_ms & (1 << 48) - 1) << 80 | 7 << 76 | rand_a << 64 | 2 << 62 | rand_b
    text = f"{value:032x}"
    return "-".join((text[:8], text[8:12], text[12:16], text[16:20], text[20:]))


def is_id(value: object) -> bool:
    """Whether it is a UUID in lower case, of whatever version."""
    return isinstance(value, str) and _UUID.fullmatch(value) is not None


def new_device_id(random_bytes: RandomBytes) -> str:
    """A device's id: 16 lower-case hexadecimal digits."""
    return random_bytes(8).hex()


def is_device_id(value: object) -> bool:
    """Whether it is a device's id."""
    return isinstance(value, str) and _DEVICE.fullmatch(value) is not None


def encode(number: int, width: int = 1) -> str:
    """A number in Crockford's base 32, with leading zeros up to ``width`` symbols."""
    text = ""
    while number or not text:
        number, digit = divmod(number, 32)
        text = SYMBOLS[digit] + text
    return text.rjust(width, "0")


def decode(symbols: str) -> int:
    """The number of base 32 symbols in upper case; ValueError for any other character."""
    number = 0
    for symbol in symbols:
        number = number * 32 + SYMBOLS.index(symbol)
    return number


def check_symbol(symbols: str) -> str:
    """The check symbol of base 32 symbols: their number modulo 37."""
    return CHECK_SYMBOLS[decode(symbols) % 37]


def random_symbols(random_bytes: RandomBytes, count: int) -> str:
    """So many random base 32 symbols, each equally likely."""
    return "".join(SYMBOLS[byte & 31] for byte in random_bytes(count))


def new_tag_code(random_bytes: RandomBytes) -> str:
    """A tag code: 8 random symbols and their check symbol.

    Codes whose check symbol is one of ``*~$=U`` are drawn again (5 in 37).
    """
    while True:
        symbols = random_symbols(random_bytes, RANDOM_SYMBOLS)
        check = check_symbol(symbols)
        if check in SYMBOLS:
            return symbols + check


def is_tag_code(value: object) -> bool:
    """Whether it is a tag code as it is kept: upper case, no hyphens, right check symbol."""
    if not isinstance(value, str) or len(value) != RANDOM_SYMBOLS + 1:
        return False
    return all(symbol in SYMBOLS for symbol in value) and check_symbol(value[:-1]) == value[-1]


def tidy_code(typed: str) -> str:
    """A typed code in upper case without hyphens and spaces; I and L read as 1, O as 0."""
    return _SEPARATORS.sub("", typed).upper().translate(_LOOKALIKES)


def parse_tag_code(typed: str) -> str:
    """The tag code that a person typed; BadInput says what is wrong with it."""
    code = tidy_code(typed)
    for symbol in code:
        if symbol not in SYMBOLS:
            raise BadInput("code_symbol", symbol=symbol)
    if len(code) != RANDOM_SYMBOLS + 1:
        raise BadInput("code_length", count=len(code))
    if check_symbol(code[:-1]) != code[-1]:
        raise BadInput("code_check")
    return code


def show_tag_code(code: str) -> str:
    """A tag code as it is printed: ``XXXX-XXXX-X``."""
    return f"{code[:4]}-{code[4:8]}-{code[8:]}"
