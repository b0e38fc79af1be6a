"""Bringing files in: the upload, and the decision about what was read."""

from collections.abc import Iterable
from datetime import date
from typing import Any

from crispy_forms.helper import FormHelper
from crispy_forms.layout import Submit
from django import forms
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import UploadedFile
from django.core.validators import FileExtensionValidator
from django.db.models import QuerySet
from django.http import QueryDict
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from competencies.importing.differences import Change
from competencies.importing.nodes import MAX_BYTES
from competencies.models import Person
from competencies.vocabulary import ChangeClass

CLASS_PREFIX = "class_"
CLASS_LABELS = {
    ChangeClass.MINOR: gettext_lazy("Minor: holders read and acknowledge it"),
    ChangeClass.MAJOR: gettext_lazy("Major: holders do one supervised run and are judged on the touched criteria"),
}


class FileForm(forms.Form):
    """A file to look at. Nothing is written until it has been shown and somebody says yes."""

    def __init__(self, *args: Any, extensions: Iterable[str], help_text: str, **kwargs: Any) -> None:  # noqa: ANN401 - as the base class has it
        super().__init__(*args, **kwargs)
        self.extensions = list(extensions)
        self.fields["file"] = forms.FileField(
            label=_("File"),
            help_text=help_text,
            validators=[FileExtensionValidator(self.extensions)],
            widget=forms.FileInput(attrs={"accept": ",".join(f".{extension}" for extension in self.extensions)}),
        )
        self.helper = FormHelper()
        self.helper.form_id = "file-form"
        self.helper.add_input(Submit("look", _("Look at it"), css_class="button"))

    def clean_file(self) -> UploadedFile:
        """Return the file unless it is too large; its content has not been read yet."""
        file: UploadedFile = self.cleaned_data["file"]
        if (file.size or 0) > MAX_BYTES:
            raise ValidationError(_("The file is larger than %(limit)s kB.") % {"limit": MAX_BYTES // 1000})
        return file


class SyllabusDecisionForm(forms.Form):
    """What the file leaves open: from when it holds, who else decided, and the class of each changed procedure."""

    effective_on = forms.DateField(
        label=gettext_lazy("Holds from"),
        help_text=gettext_lazy("For every task whose day the file does not name."),
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
    )
    seconded_by = forms.ModelChoiceField(
        label=gettext_lazy("Decided together with"),
        help_text=gettext_lazy("Two people decide what a changed procedure asks of those who hold the task."),
        queryset=Person.objects.none(),
        required=False,
    )

    def __init__(
        self,
        typed: QueryDict | None,
        *,
        seconders: QuerySet[Person],
        revised: Iterable[Change],
        today: date,
    ) -> None:
        super().__init__(typed)
        revised = list(revised)
        self.fields["effective_on"].initial = today
        seconded_by = self.fields["seconded_by"]
        if isinstance(seconded_by, forms.ModelChoiceField):
            seconded_by.queryset = seconders
            seconded_by.required = bool(revised)
        for change in revised:
            self.fields[f"{CLASS_PREFIX}{change.code}"] = forms.ChoiceField(
                label=_("Change of %(code)s %(title)s") % {"code": change.code, "title": change.title},
                choices=[(kind.value, label) for kind, label in CLASS_LABELS.items()],
                initial=change.asked,
                widget=forms.RadioSelect,
            )
        if not revised:
            del self.fields["seconded_by"]
        self.helper = FormHelper()
        self.helper.add_input(Submit("take", _("Take the file"), css_class="button"))

    @property
    def classes(self) -> dict[str, ChangeClass]:
        """Return the class chosen for each changed procedure, by task code."""
        return {
            name.removeprefix(CLASS_PREFIX): ChangeClass(value)
            for name, value in self.cleaned_data.items()
            if name.startswith(CLASS_PREFIX)
        }


class PeopleDecisionForm(forms.Form):
    """Nothing is left open about people: only the yes."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:  # noqa: ANN401 - as the base class has it
        super().__init__(*args, **kwargs)
        self.helper = FormHelper()
        self.helper.add_input(Submit("take", _("Take these people"), css_class="button"))


class PlanDecisionForm(forms.Form):
    """Nothing is left open about a roster or absences: only the yes."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:  # noqa: ANN401 - as the base class has it
        super().__init__(*args, **kwargs)
        self.helper = FormHelper()
        self.helper.add_input(Submit("take", _("Take these rows"), css_class="button"))
