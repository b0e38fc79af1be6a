"""The page of all the parts, and the components one by one."""

from datetime import UTC, date, datetime

import pytest
from django.core.paginator import Paginator
from django.http import QueryDict
from django.template import engines
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import translation

from competencies.models import Authority, Person, Plant, User
from competencies.templatetags.standing_words import standing_meaning, standing_word
from competencies.views import parts as parts_view
from competencies.vocabulary import AuthorityKind, Standing

TODAY = date(2026, 11, 25)
NOW = datetime(2026, 11, 25, 9, 30, tzinfo=UTC)


def part(name, /, **variables):
    return render_to_string(f"components/{name}.html", variables)


@pytest.fixture
def live(settings):
    settings.DEBUG = settings.DEMO = False
    return settings


def signed_in(client, *kinds):
    plant = Plant.objects.create(name="Tidewater Malthouse Drinks")
    user = User.objects.create(username="maren")
    person = Person.objects.create(
        plant=plant, user=user, works_number="41207", name="Maren Oduya", started_on=date(2020, 1, 6)
    )
    for kind in kinds:
        Authority.objects.create(
            person=person, kind=kind, from_on=date(2020, 1, 6), recorded_at="2020-01-06T06:00Z", entry_seq=1
        )
    client.force_login(user)
    return client


@pytest.mark.django_db
def test_parts_are_open_in_the_demo(client):
    response = client.get(reverse("competencies:parts"))

    assert response.status_code == 200
    assert b"All the parts" in response.content


@pytest.mark.django_db
def test_parts_are_shut_to_strangers_elsewhere(client, live):
    assert client.get(reverse("competencies:parts")).status_code == 403


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("kinds", "status"),
    [([AuthorityKind.COORDINATE], 200), ([AuthorityKind.TRAIN], 403)],
    ids=["coordinator", "trainer"],
)
def test_parts_are_for_coordinators_elsewhere(rf, client, live, kinds, status, monkeypatch):
    signed_in(client, *kinds)
    monkeypatch.setattr("competencies.context_processors.reverse", lambda name: "/")

    assert client.get(reverse("competencies:parts")).status_code == status


@pytest.mark.parametrize("value", list(Standing))
def test_a_badge_has_a_shape_and_a_word(value):
    badge = part("standing_badge", standing=value, note="until 12 Jan 2027")

    assert str(standing_word(value)) in badge
    assert f"standing-{value.value}" in badge
    assert "until 12 Jan 2027" in badge
    drawing = badge[badge.index("<svg") : badge.index("</svg>")]
    assert "<path" in drawing or "<circle" in drawing
    assert standing_meaning(value).endswith(".")


def test_no_two_standings_look_or_read_alike():
    drawings = {part("shape_drawing", standing=value) for value in Standing}

    assert len(drawings) == len(Standing)
    assert len({standing_word(value) for value in Standing}) == len(Standing)


def test_the_sheet_of_shapes_holds_every_standing():
    sheet = part("shape_sheet")

    assert all(f'id="shape-{value.value}"' in sheet for value in Standing)


def test_a_word_of_ones_own_stands_in_the_badge():
    assert "Signed off" in part("standing_badge", standing="in_force", word="Signed off")
    assert "In force" not in part("standing_badge", standing="in_force", word="Signed off")


@pytest.mark.parametrize(
    ("done", "total", "width", "text"),
    [
        (43, 72, "60", "43 of 72 credits"),
        (0, 4, "0", "0 of 4 credits"),
        (0, 0, "0", "0 of 0 credits"),
        (4, 4, "100", "4 of 4"),
    ],
)
def test_progress_says_its_figure_in_words(done, total, width, text):
    progress = part("progress", done=done, total=total, unit="credits")

    assert f'width="{width}"' in progress
    assert text in progress


def test_a_longer_way_than_asked_fills_the_scale_and_no_more():
    assert 'width="100"' in part("progress", done=80, total=72, unit="credits")


def test_a_number_and_its_unit_do_not_part():
    assert "5.10</span>&nbsp;<span" in part("quantity", number="5.10", unit="g/L")


def test_a_caution_always_defers_to_the_plant_and_the_law():
    caution = part("caution", points=["Hot caustic burns."], wear=["face shield", "long gloves"])

    assert "Hot caustic burns." in caution
    assert "face shield, long gloves" in caution
    assert "local law come first" in caution


@pytest.mark.parametrize(
    ("kind", "tone"),
    [("info", "info"), ("good", "good"), ("success", "good"), ("warning", "warn"), ("error", "stop"), ("", "info")],
)
def test_a_banner_takes_the_tone_of_its_kind(kind, tone):
    assert f"tone-{tone}" in part("banner", kind=kind, text="Said once.")


def test_pages_keep_the_filters():
    page = Paginator(range(45), 20).page(2)

    pages = part("pagination", page=page, query=QueryDict("name=Ada&page=2"))

    assert "21 to 40 of 45" in pages
    assert "?name=Ada&amp;page=1" in pages
    assert "?name=Ada&amp;page=3" in pages


def test_one_page_needs_no_way_through():
    assert part("pagination", page=Paginator(range(3), 20).page(1), query=QueryDict()).strip() == ""


def test_a_table_names_its_columns_and_its_first_cells():
    table = part(
        "table",
        id="tasks",
        caption="Tasks",
        heads=["Task", {"text": "Runs", "number": True}],
        rows=[[{"text": "Seam", "code": "PK-07", "url": "/t/1"}, {"number": "3", "unit": "runs"}], ["Fill", "none"]],
    )

    assert table.count('<th scope="col"') == 2
    assert table.count('<th scope="row">') == 2
    assert 'data-head="Runs"' in table
    assert 'aria-labelledby="tasks-caption"' in table
    assert '<a href="/t/1">Seam</a>' in table


def test_an_empty_table_says_so():
    assert "Nobody yet." in part("table", id="t", caption="People", heads=["Name"], rows=[], empty="Nobody yet.")


def test_what_people_typed_is_never_markup():
    evil = "<script>alert(1)</script>"
    pages = [
        part("page_head", title=evil, lead=evil),
        part("banner", kind="info", text=evil),
        part("table", id="t", caption=evil, heads=[evil], rows=[[evil, {"text": evil}]]),
        part("person_chip", name=evil, number=evil),
        part("tick_card", name="who", value=evil, label=evil),
    ]

    assert all("<script" not in page for page in pages)


def test_the_band_draws_in_figures_that_every_language_reads():
    with translation.override("de"):
        band = parts_view.specimen_band()
        drawn = part("timeline_drawn", label="The way", band=band, pieces=[(piece, "#") for piece in band.pieces])

    assert 'x="0.457%"' in drawn


@pytest.mark.django_db
def test_a_missing_page_says_so_calmly(client):
    response = client.get("/nothing/here/")

    assert response.status_code == 404
    assert b"Nothing is kept under this address" in response.content


@pytest.mark.parametrize("template", ["400.html", "403.html", "404.html", "403_csrf.html", "429.html", "500.html"])
def test_fault_pages_need_no_context(template):
    assert "<h1>" in render_to_string(template)


def test_a_sheet_says_what_it_is_and_how_many_pages():
    source = (
        '{% extends "print.html" %}{% block title %}Task card{% endblock %}{% block main %}<h1>Seam</h1>{% endblock %}'
    )
    page = (
        engines["django"]
        .from_string(source)
        .render({"as_of": TODAY, "printed_by": "Gil Aranda", "printed_at": NOW, "check_code": "7K2M"})
    )

    assert "<title>Task card</title>" in page
    assert "As it stood on 25 November 2026." in page
    assert "by Gil Aranda" in page
    assert "Check code 7K2M" in page
    assert 'Page <span class="page-number"></span> of <span class="page-count"></span>' in page


def test_a_pin_is_asked_with_what_it_says_and_never_shown_again():
    form = parts_view.SpecimenForm({"pin": "483920"})

    asked = part("pin_field", field=form["pin"], says="I judged this performance competent.")

    assert "I judged this performance competent." in asked
    assert 'inputmode="numeric"' in asked
    assert 'type="password"' in asked
    assert "483920" not in asked


def test_a_confirmation_posts_with_its_token_and_offers_the_way_back():
    panel = part(
        "confirm_panel",
        title="Withdraw?",
        text="The record stays.",
        action_url="/withdraw/",
        confirm_label="Withdraw",
        cancel_url="/back/",
        csrf_token="t0ken",
        hidden=[("seen", "yes")],
        kind="stop",
    )

    assert 'method="post"' in panel
    assert 'name="csrfmiddlewaretoken" value="t0ken"' in panel
    assert '<input type="hidden" name="seen" value="yes">' in panel
    assert 'href="/back/"' in panel
    assert "button-stop" in panel
