"""Money as whole minor units (cents): reading, showing, scaling and splitting it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from crestrail.basis.errors import BadInput
from crestrail.basis.rounding import half_up


@dataclass(frozen=True, slots=True)
class Currency:
    """A currency: its ISO 4217 code, how many minor digits it has, and its sign."""

    code: str
    digits: int
    symbol: str


USD = Currency("USD", 2, "$")

_SPACES = re.compile("[ \t\u00a0\u2009\u202f]+")
_MINUS = "-\u2212"
_LARGEST_TYPED = 10**13
_PARTS_PER_MILLION = 1_000_000


def whole_minor(value: int) -> int:
    """The amount itself; TypeError unless it is a whole number (floats and bools are not)."""
    if isinstance(value, bool) or not isinstance(value, int):
        raise TypeError(f"money is a whole number of minor units, not {value!r}")
    return value


def format_money(amount: int, currency: Currency = USD, *, whole: bool = False) -> str:
    """``$1,234.50``; with ``whole`` an amount without cents is shown as ``$38``."""
    unit = 10**currency.digits
    major, minor = divmod(abs(whole_minor(amount)), unit)
    sign = "-" if amount < 0 else ""
    cents = f".{minor:0{currency.digits}d}" if currency.digits and (minor or not whole) else ""
    return f"{sign}{currency.symbol}{major:,}{cents}"


def _body(text: str, currency: Currency) -> tuple[str, str]:
    """Sign and digits of a typed amount, without currency sign or code."""
    body = _SPACES.sub(" ", text).strip(" ")
    sign = ""
    if body[:1] and body[0] in _MINUS:
        sign, body = "-", body[1:].strip(" ")
    for mark in (currency.symbol, currency.code, currency.code.lower()):
        body = body.removeprefix(mark).removesuffix(mark).strip(" ")
    return sign, body


def _pattern(digits: int) -> re.Pattern[str]:
    part = f"(?:([.,])([0-9]{{0,{digits}}}))?" if digits else "()()"
    grouped = r"[0-9]{1,3}(?:[, ][0-9]{3})+|[0-9]{1,3}(?:\.[0-9]{3})+"
    return re.compile(f"([0-9]+|{grouped}|){part}")


def parse_money(text: str, currency: Currency = USD) -> int:
    """Minor units of an amount as a person types it: ``12.50``, ``$1,200``, ``12,5``.

    A point or a comma may be the decimal mark; thousands may be set off by comma, point or
    space. BadInput when it is not an amount, or when ``1.200`` could be either.
    """
    sign, body = _body(text, currency)
    found = _pattern(currency.digits).fullmatch(body)
    if not found or not re.search("[0-9]", body):
        raise BadInput("bad_money", text=text[:40])
    whole, point, part = found.group(1), found.group(2) or "", found.group(3) or ""
    if point and point in whole:
        raise BadInput("bad_money", text=text[:40])
    if whole.count(".") == 1 and not point:
        raise BadInput("money_two_ways", text=text[:40])
    major = re.sub("[^0-9]", "", whole).lstrip("0")
    if len(major) > 13:
        raise BadInput("money_too_large", text=text[:40])
    amount = int((major or "0") + part.ljust(currency.digits, "0"))
    if amount > _LARGEST_TYPED:
        raise BadInput("money_too_large", text=text[:40])
    return -amount if sign else amount


def scale(amount: int, numerator: int, denominator: int) -> int:
    """``amount * numerator / denominator``, halves up; exact before the one rounding."""
    return half_up(whole_minor(amount) * numerator, denominator)


def parts_per_million(amount: int, ppm: int) -> int:
    """The share of an amount given in parts per million (a fee of 2.9% is 29,000)."""
    return scale(amount, ppm, _PARTS_PER_MILLION)


def split(total: int, weights: Sequence[int]) -> list[int]:
    """Shares of ``total`` in proportion to the weights, which add up to it exactly.

    Largest remainder (Hamilton): each share is floor(total * w / sum), and the cents left over
    go one each to the largest remainders total * w mod sum, ties to the earlier. All-zero
    weights share equally; a negative total splits as the positive one with the sign turned.
    ValueError for no weights or a negative one.
    """
    if not weights or min(whole_minor(w) for w in weights) < 0:
        raise ValueError("weights have to be there and must not be negative")
    if whole_minor(total) < 0:
        return [-share for share in split(-total, weights)]
    shares_of = list(weights) if any(weights) else [1] * len(weights)
    whole = sum(shares_of)
    shares = [total * w // whole for w in shares_of]
    left = total - sum(shares)
    by_remainder = sorted(range(len(shares)), key=lambda i: (-(total * shares_of[i] % whole), i))
    for i in by_remainder[:left]:
        shares[i] += 1
    return shares
