"""What an answer says, apart from what is drawn afresh for each showing."""

import re

FRESH = re.compile(rb'name="csrfmiddlewaretoken" value="[^"]*"')


def bare(response) -> bytes:
    """Return the body of an answer without the forms' tokens, which differ each time."""
    return FRESH.sub(b"", response.content)
