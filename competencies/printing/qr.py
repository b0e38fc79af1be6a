"""The square code on a sheet that leads to its check page."""

import segno


def qr_data_uri(address: str) -> str:
    """Return a picture of an address as a data: URI: error correction M, with the quiet zone that readers want."""
    code = segno.make(address, error="m", micro=False)
    uri: str = code.svg_data_uri(border=4, scale=4, dark="#000", light="#fff")
    return uri
