"""What a person is told when nothing can be signed."""

import pytest
from django.core.exceptions import PermissionDenied
from django.http import HttpResponse
from django.template import engines
from django.test import override_settings
from django.urls import include, path

from competencies.ledger.guards import LedgerGuardError


def closed(request):
    raise LedgerGuardError("trigger ledger_entry_kept is missing")


def refused(request):
    raise PermissionDenied


def open_ledger(request):
    return HttpResponse("signed")


urlpatterns = [
    path("closed/", closed),
    path("refused/", refused),
    path("open/", open_ledger),
    path("", include("config.urls")),
]


@pytest.fixture
def visit(client, db):
    # The pages of this test stand beside those of the site.
    with override_settings(ROOT_URLCONF=__name__):
        yield client.get


def test_a_closed_ledger_answers_503_in_words_and_tells_nothing_of_the_database(visit, caplog):
    response = visit("/closed/")

    assert response.status_code == 503
    assert "Nothing can be signed just now" in response.content.decode()
    assert "trigger" not in response.content.decode()
    assert "trigger ledger_entry_kept is missing" in caplog.text


def test_other_faults_go_their_own_way(visit):
    assert visit("/refused/").status_code == 403
    assert visit("/open/").content == b"signed"


def test_the_page_is_there():
    assert engines["django"].get_template("503.html")
