"""The bytes of an entry: one way to write a body down, so that it hashes the same everywhere for ever.

A body is JSON in UTF-8 without spaces. `v`, the version of this format, comes first and every other key in
the order of its code points, at every depth. Text is in Unicode normal form C; numbers are whole. That is a
subset of RFC 8785 (apart from the place of `v`) in which its two hard parts, floats and the ordering of keys
beyond ASCII, cannot occur. Nothing is ever re-serialised to verify it: the stored bytes are hashed. Pure.
"""

import hashlib
import hmac
import json
import unicodedata
from collections.abc import Mapping
from typing import Any, TypeAlias

Json: TypeAlias = "int | str | list[Json] | dict[str, Json]"
# What stands under which key is the schema's business, not the type checker's.
Body: TypeAlias = dict[str, Any]

FORMAT_VERSION = 1
FIRST_PREV = bytes(32)
SALT_BYTES = 16
# RFC 9162 2.1.1: the byte in front of a leaf, so that the hash of the chain is also the leaf of the tree.
LEAF_PREFIX = b"\x00"
# A reader in any language holds a signed 64-bit number.
WHOLE_MIN, WHOLE_MAX = -(2**63), 2**63 - 1


class CanonicalError(ValueError):
    """The body cannot be written down, or the bytes were not written down in this way."""


def encode(body: Mapping[str, object]) -> bytes:
    """Return the bytes of `body`.

    Raises CanonicalError for a value that is neither whole number, text, list nor mapping (true and false are
    0 and 1 here), for a key that is not plain ASCII text, and for a body whose `v` is missing.
    """
    if not isinstance(body.get("v"), int):
        raise CanonicalError("a body says first which format it is in (v)")
    rest = _mapping({key: value for key, value in body.items() if key != "v"}, "body")
    text = json.dumps({"v": _ordered(body["v"], "v"), **rest}, ensure_ascii=False, separators=(",", ":"))
    try:
        return text.encode()
    except UnicodeEncodeError as error:
        raise CanonicalError("half a character cannot be written down") from error


def decode(raw: bytes) -> Body:
    """Return the body that `raw` holds; CanonicalError when `encode` would not have written just these bytes."""
    try:
        body = json.loads(raw, object_pairs_hook=_without_repeats, parse_float=_refuse, parse_constant=_refuse)
    except (ValueError, RecursionError) as error:
        raise CanonicalError(f"not a body: {error}") from error
    if not isinstance(body, dict) or encode(body) != raw:
        raise CanonicalError("these bytes are not the one way to write this body down")
    return body


def parse(raw: bytes) -> Body:
    """Return the body that stored bytes hold, quickly: whether they are the true bytes is the verification's task.

    Raises CanonicalError when they hold none.
    """
    try:
        body = json.loads(raw)
    except (ValueError, RecursionError) as error:
        raise CanonicalError(f"not a body: {error}") from error
    if not isinstance(body, dict):
        raise CanonicalError("not a body")
    return body


def entry_hash(raw: bytes) -> bytes:
    """Return SHA-256(0x00 || raw), 32 bytes: the link of the chain and the leaf of the tree in one."""
    return hashlib.sha256(LEAF_PREFIX + raw).digest()


def commitment(salt: bytes, kind: str, value: str) -> bytes:
    """Return HMAC-SHA-256(salt, ["kind","value"]), 32 bytes: it binds a text to an entry that does not hold it.

    With the salt gone nobody can tell from it what the text was, so erasing salt and text erases the text.
    """
    if len(salt) != SALT_BYTES:
        raise CanonicalError(f"a salt has {SALT_BYTES} bytes")
    message = json.dumps([kind, unicodedata.normalize("NFC", value)], ensure_ascii=False, separators=(",", ":"))
    return hmac.new(salt, message.encode(), hashlib.sha256).digest()


def _ordered(value: object, where: str) -> Json:
    if isinstance(value, bool) or not isinstance(value, int | str | list | dict):
        raise CanonicalError(f"{where}: only whole numbers, text, lists and mappings, not {type(value).__name__}")
    if isinstance(value, int):
        return _whole(value, where)
    if isinstance(value, str):
        return unicodedata.normalize("NFC", str(value))
    if isinstance(value, list):
        return [_ordered(item, where) for item in value]
    return _mapping(value, where)


def _whole(value: int, where: str) -> int:
    if not WHOLE_MIN <= value <= WHOLE_MAX:
        raise CanonicalError(f"{where}: {value} is beyond 64 bits")
    return int(value)


def _mapping(value: Mapping[str, object], where: str) -> dict[str, Json]:
    ordered: dict[str, Json] = {}
    for key in sorted(value, key=str):
        if not isinstance(key, str) or not key.isascii():
            raise CanonicalError(f"{where}: a key is plain ASCII text, not {key!r}")
        ordered[str(key)] = _ordered(value[key], f"{where}.{key}")
    return ordered


def _without_repeats(pairs: list[tuple[str, Json]]) -> dict[str, Json]:
    mapping = dict(pairs)
    if len(mapping) != len(pairs):
        raise CanonicalError("a key stands twice")
    return mapping


def _refuse(text: str) -> Json:
    raise CanonicalError(f"not a whole number: {text}")
