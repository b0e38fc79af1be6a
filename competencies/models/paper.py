"""What was printed, and files waiting for a yes."""

import secrets

from django.db import models
from django.utils.translation import gettext_lazy as _

from competencies.models.framework import Task
from competencies.models.people import Person
from competencies.models.place import Plant


def new_sheet_code() -> str:
    """Return a code that cannot be guessed: whoever holds the sheet may look it up."""
    return secrets.token_urlsafe(12)


class PrintedSheet(models.Model):
    """A record as it was printed: what it said (as a digest), when, by whom, and how long the ledger was then.

    A sheet about one standing names its `task`, `scope` and `moment` as well.
    """

    code = models.CharField(max_length=24, primary_key=True, default=new_sheet_code)
    plant = models.ForeignKey(Plant, models.PROTECT, related_name="printed_sheets")
    kind = models.CharField(_("sheet"), max_length=30)
    person = models.ForeignKey(Person, models.CASCADE, null=True, blank=True, related_name="printed_sheets")
    task = models.ForeignKey(Task, models.PROTECT, null=True, blank=True, related_name="+")
    scope = models.CharField(_("place"), max_length=41, blank=True)
    moment = models.DateTimeField(_("minute asked about"), null=True, blank=True)
    as_of = models.DateField(_("as of"))
    printed_at = models.DateTimeField(_("printed at"))
    printed_by = models.ForeignKey(Person, models.PROTECT, null=True, blank=True, related_name="+")
    digest = models.CharField(_("digest"), max_length=64)
    ledger_size = models.BigIntegerField(_("entries in the ledger"))
    ledger_head = models.CharField(_("last entry's hash"), max_length=64)

    def __str__(self) -> str:
        """Return the code."""
        return self.code


class PendingFile(models.Model):
    """A file that was read and shown, and waits until somebody says yes or no."""

    plant = models.ForeignKey(Plant, models.CASCADE, related_name="pending_files")
    kind = models.CharField(_("what it holds"), max_length=20)
    name = models.CharField(_("file name"), max_length=200)
    content = models.BinaryField(_("content"))
    uploaded_by = models.ForeignKey(Person, models.CASCADE, related_name="+")
    uploaded_at = models.DateTimeField(_("uploaded at"))

    def __str__(self) -> str:
        """Return the file name."""
        return self.name
