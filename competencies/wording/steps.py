"""The steps of the way back, and who may do each."""

from collections.abc import Mapping

from django.utils.translation import gettext_lazy as _

from competencies.wording.words import Text

STEPS: Mapping[str, Text] = {
    "assessment": _("full assessment on %(task)s"),
    "delta": _("show the changes of %(task)s and have them judged"),
    "second_signature": _("second signature on %(task)s"),
    "acknowledgement": _("read and acknowledge the new revision of %(task)s"),
    "lifting": _("have the suspension on %(task)s lifted"),
    "reverification": _("have the sign-off on %(task)s looked at again"),
}
# Who may do each step, told beside it so that nobody has to guess whom to ask.
STEP_DOERS: Mapping[str, Text] = {
    "run": _("with somebody in force on the task"),
    "assessment": _("an assessor for the area"),
    "delta": _("an assessor for the area"),
    "second_signature": _("whoever holds the food or safety role that the task asks for"),
    "acknowledgement": _("the person themselves"),
    "lifting": _("a supervisor or the coordinator"),
    "reverification": _("another assessor for the area"),
}
