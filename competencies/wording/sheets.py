"""What each kind of printed sheet is called, as the check page and the list of paper say it."""

from collections.abc import Mapping

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from competencies.vocabulary import SheetKind

SHEETS: Mapping[SheetKind, Promise] = {
    SheetKind.RECORD: _("Progress record"),
    SheetKind.STANDING: _("A standing explained"),
    SheetKind.TASK_CARD: _("Task card"),
    SheetKind.MATRIX: _("Matrix for the wall"),
    SheetKind.COVER: _("Shift cover sheet"),
    SheetKind.ASSESSMENT: _("Assessment record"),
    SheetKind.CERTIFICATE: _("Certificate of completion"),
    SheetKind.AUDIT: _("Audit pack"),
    SheetKind.INCIDENT: _("Incident"),
}
