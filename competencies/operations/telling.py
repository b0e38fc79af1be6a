"""People are told of a new revision: on their page at once, and by e-mail where an address is known."""

import logging
from collections.abc import Sequence
from datetime import date, datetime
from smtplib import SMTPException

from django.core.mail import send_mail
from django.db import transaction
from django.utils import translation
from django.utils.formats import date_format
from django.utils.translation import gettext as _

from competencies.models import RevisionNotice, TaskRevision
from competencies.queries.told import concerned_by

logger = logging.getLogger(__name__)


@transaction.atomic
def tell_of_revision(*, revision: TaskRevision, on: date, now: datetime) -> Sequence[RevisionNotice]:
    """Tell everybody whom a revision concerns, each once however often it is called; return who is told now.

    The e-mails go out when the transaction is through, so that nobody hears of what was taken back. One that cannot be
    sent stays on the page, without a time of sending.
    """
    people = concerned_by(revision.task, on=on)
    told = set(RevisionNotice.objects.filter(revision=revision).values_list("person_id", flat=True))
    notices = RevisionNotice.objects.bulk_create(
        RevisionNotice(revision=revision, person=person, told_at=now) for person in people if person.pk not in told
    )
    transaction.on_commit(lambda: _mail(notices, now))
    return notices


def _mail(notices: Sequence[RevisionNotice], now: datetime) -> None:
    """Send the e-mails of some notices, and keep when each went out."""
    sent = [notice.pk for notice in notices if notice.person.email and _mailed(notice)]
    RevisionNotice.objects.filter(pk__in=sent).update(mailed_at=now)


def _mailed(notice: RevisionNotice) -> bool:
    revision, person = notice.revision, notice.person
    with translation.override(person.language or revision.task.plant.language):
        said = {
            "task": revision.task.code,
            "title": revision.task.title,
            "number": revision.number,
            "day": date_format(revision.effective_on, "j F Y"),
            "note": revision.change_note,
        }
        subject = _("%(task)s: revision %(number)s from %(day)s") % said
        todo = (
            _("Read it and acknowledge it on your page.")
            if revision.change == "minor"
            else _("Whoever holds the task shows the changes under supervision: ask your trainer.")
        )
        body = _("The procedure of %(task)s, %(title)s, changes on %(day)s.\n\nWhat changed and why: %(note)s") % said
    try:
        # A mail names a task and its change, and nothing of anybody's record.
        send_mail(subject, f"{body}\n\n{todo}\n", None, [person.email])
    except (OSError, SMTPException):
        logger.exception("an e-mail about a revision could not be sent")
        return False
    return True
