"""Fifty entries that never change: their bytes were written by jq 1.6 and perl's Unicode::Normalize, their
hashes by openssl, so that nothing of the code under test had a hand in them."""

import json
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class Golden:
    """A body as somebody might give it, and the one way to write it down."""

    body: dict
    raw: bytes
    hash: bytes


def golden_chain():
    lines = (Path(__file__).parent / "golden.jsonl").read_text(encoding="utf-8").splitlines()
    return [
        Golden(line["body"], line["bytes"].encode(), bytes.fromhex(line["hash"])) for line in map(json.loads, lines)
    ]
