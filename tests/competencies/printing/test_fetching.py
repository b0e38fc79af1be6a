"""A sheet fetches nothing: neither from the network nor from a disk, whichever way it is asked to."""

import threading
from dataclasses import replace
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from io import BytesIO

import pikepdf
import pypdfium2
import pytest

from competencies.printing.fetching import font_uri, refusing_fetcher
from competencies.printing.pdf import render_pdf
from competencies.printing.records import record_html

SECRET = "a line that no sheet may carry out of the house"
DOT = (
    "data:image/png;base64,iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJ"
    "AAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg=="
)
# Each way puts the address in; `{u}` stands for it.
WAYS = {
    "picture": '<img src="{u}" alt="x">',
    "picture set": '<img srcset="{u} 2x" src="{u}" alt="x">',
    "style in an attribute": '<p style="background: url({u})">x</p>',
    "style sheet link": '<link rel="stylesheet" href="{u}">',
    "style import": '<style>@import url("{u}");</style>',
    "font": '<style>@font-face {{ font-family: F; src: url("{u}") }} p {{ font-family: F }}</style><p>x</p>',
    "drawing that uses another": '<svg width="9" height="9"><use href="{u}#a"/></svg>',
    "picture in a drawing": '<svg width="9" height="9"><image href="{u}" width="9" height="9"/></svg>',
    "object": '<object data="{u}" type="image/svg+xml">x</object>',
    "embed": '<embed src="{u}" type="image/svg+xml">',
    "attachment link": '<link rel="attachment" href="{u}">',
    "attachment anchor": '<a rel="attachment" href="{u}">x</a>',
    "base address": '<base href="{u}"><img src="dot.png" alt="x">',
    "drawing in data": '<img alt="x" src="data:image/svg+xml,'
    "%3Csvg xmlns='http://www.w3.org/2000/svg'%3E%3Cimage href='{u}'/%3E%3C/svg%3E\">",
    "list bullet": '<ul style="list-style-image: url({u})"><li>x</li></ul>',
    "content": '<style>p::before {{ content: url("{u}") }}</style><p>x</p>',
}


class Watch(BaseHTTPRequestHandler):
    """Counts who asks, and answers with the secret."""

    def do_GET(self):
        self.server.asked.append(self.path)
        self.send_response(200)
        self.send_header("Content-Type", "text/css")
        self.end_headers()
        self.wfile.write(SECRET.encode())

    def log_message(self, *_):
        """Say nothing."""


@pytest.fixture
def watched():
    with ThreadingHTTPServer(("127.0.0.1", 0), Watch) as server:
        server.asked = []
        thread = threading.Thread(target=server.serve_forever, daemon=True)
        thread.start()
        yield server
        server.shutdown()
        thread.join()


@pytest.fixture
def addresses(watched, tmp_path):
    """Return an address on the network and one on the disk."""
    secret = tmp_path / "secret.svg"
    secret.write_text(f'<svg xmlns="http://www.w3.org/2000/svg" id="a"><text>{SECRET}</text></svg>')
    return f"http://127.0.0.1:{watched.server_port}/x.png", secret.as_uri()


def contents(pdf):
    """Return every stream of a file, unpacked, and its texts."""
    with pikepdf.open(BytesIO(pdf)) as opened:
        streams = [each.read_bytes() for each in opened.objects if isinstance(each, pikepdf.Stream) and decodes(each)]
        attachments = len(opened.attachments)
    texts = [page.get_textpage().get_text_bounded() for page in pypdfium2.PdfDocument(pdf)]
    return b"".join(streams) + " ".join(texts).encode(), attachments


def decodes(stream):
    return stream.get("/Subtype") != pikepdf.Name.Image


def holds_nothing(pdf):
    content, attachments = contents(pdf)
    return SECRET.encode() not in content and attachments == 0


@pytest.mark.parametrize("way", list(WAYS))
def test_page_that_asks_gets_nothing(way, addresses, watched):
    asked = "".join(WAYS[way].format(u=address) for address in addresses)

    pdf = render_pdf(f'<html lang="en"><title>x</title><body>{asked}</body></html>')

    assert watched.asked == []
    assert holds_nothing(pdf)


@pytest.mark.django_db
def test_no_way_works_in_a_name_a_note_or_a_title(printed, addresses, watched):
    asked = "".join(WAYS[way].format(u=address) for way in WAYS for address in addresses)
    record = printed.record
    [correction], [event], [attempt] = record.corrections, record.events, record.attempts
    changed = replace(
        record,
        corrections=(replace(correction, note=asked, cause=asked),),
        events=(replace(event, note=asked),),
        attempts=(replace(attempt, feedback=asked, practise=asked, open_criteria=((1, asked, "not_met"),)),),
        tasks=tuple(replace(line, title=asked) for line in record.tasks[:1]),
        runs=tuple(replace(line, signed=replace(line.signed, name=asked), shift=asked) for line in record.runs[:1]),
    )
    changed.person.name, name = asked, changed.person.name
    changed.person.plant.address, address = asked, changed.person.plant.address
    try:
        html = record_html(changed, replace(printed.proof, printed_by=asked), shifts={})
    finally:
        changed.person.name, changed.person.plant.address = name, address

    assert html.count("&lt;embed") >= 10
    assert holds_nothing(render_pdf(html))
    assert watched.asked == []


def test_picture_that_stands_in_the_page_is_drawn():
    pdf = render_pdf(f'<html lang="en"><title>x</title><body><img alt="a dot" src="{DOT}"></body></html>')

    with pikepdf.open(BytesIO(pdf)) as opened:
        assert [each for each in opened.objects if isinstance(each, pikepdf.Stream) and not decodes(each)]


def test_fetcher_knows_the_font_and_no_other_file(tmp_path):
    other = tmp_path / "SourceSans3.ttf"
    other.write_bytes(b"x")
    fetcher = refusing_fetcher()

    assert fetcher.fetch(font_uri()).read(4) in {b"\x00\x01\x00\x00", b"OTTO", b"true"}
    for address in [
        other.as_uri(),
        f"{font_uri()}?x",
        "file:///etc/passwd",
        "https://example.org/",
        "ftp://x/",
        "x.css",
    ]:
        with pytest.raises(ValueError, match="nothing from elsewhere"):
            fetcher.fetch(address)
