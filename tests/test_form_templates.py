"""The project's own form templates: what a person with a screen reader, a glove or a typing slip gets."""

import re

import pytest
from crispy_forms.bootstrap import AppendedText, InlineRadios
from crispy_forms.helper import FormHelper
from crispy_forms.layout import Button, ButtonHolder, Column, Div, Field, Fieldset, Hidden, Layout, Row, Submit
from crispy_forms.utils import render_crispy_form
from django import forms
from django.template import engines

JUDGEMENTS = [("met", "Met"), ("not_met", "Not met")]


class ReadingForm(forms.Form):
    name = forms.CharField(label="Name", help_text="As on the badge.")
    value = forms.DecimalField(label="Overlap", help_text="Between 1.0 and 1.4 mm.", max_value=5)
    judged = forms.ChoiceField(label="Judged", choices=JUDGEMENTS, widget=forms.RadioSelect, help_text="What you saw.")
    people = forms.MultipleChoiceField(
        label="People",
        choices=[("Crew A", [("1", "Ada")]), ("Crew B", [("2", "Ben")])],
        widget=forms.CheckboxSelectMultiple,
    )
    line = forms.ChoiceField(label="Line", choices=[("L1", "Line 1")], required=False)
    remarks = forms.CharField(label="Remarks", widget=forms.Textarea, required=False)
    agreed = forms.BooleanField(label="Agreed", help_text="You were there.")
    token = forms.CharField(widget=forms.HiddenInput)

    def clean(self):
        if not self.cleaned_data.get("token"):
            raise forms.ValidationError("The page had been open too long.")


def rendered(form, layout=None, **settings):
    helper = FormHelper()
    helper.layout = layout
    for name, value in settings.items():
        setattr(helper, name, value)
    return render_crispy_form(form, helper=helper, context={"csrf_token": "t0ken"})


def ids(html):
    return re.findall(r'\sid="([^"]+)"', html)


@pytest.fixture
def faulty():
    return ReadingForm({"name": "Ada <b>", "value": "9", "people": ["3"]})


@pytest.mark.parametrize("form", [ReadingForm(), ReadingForm({})], ids=["empty", "faulty"])
def test_every_described_by_points_at_something_that_is_there(form):
    html = rendered(form)

    described = re.findall(r'aria-describedby="([^"]+)"', html)
    assert len(described) >= 3
    assert {one for group in described for one in group.split()} <= set(ids(html))


@pytest.mark.parametrize("form", [ReadingForm(), ReadingForm({})], ids=["empty", "faulty"])
def test_no_id_comes_twice(form):
    found = ids(rendered(form))

    assert len(found) == len(set(found))


@pytest.mark.parametrize("form", [ReadingForm(), ReadingForm({})], ids=["empty", "faulty"])
def test_every_label_points_at_its_control(form):
    html = rendered(form)

    assert set(re.findall(r'<label[^>]*\sfor="([^"]+)"', html)) <= set(ids(html))


def test_faults_are_summed_up_with_links_to_their_fields(faulty):
    html = rendered(faulty)

    links = re.findall(r'<a href="#([^"]+)">', html)
    assert links == ["id_value", "id_judged", "id_people", "id_agreed"]
    assert set(links) <= set(ids(html))
    assert html.count("The page had been open too long.") == 1
    assert 'role="alert"' in html


def test_a_fault_is_said_at_its_field_and_what_was_typed_stays(faulty):
    html = rendered(faulty)

    at_field = html[html.index('id="id_value_error"') :]
    assert "less than or equal to 5" in at_field[: at_field.index("</ul>")]
    assert 'value="9"' in html
    assert 'value="Ada &lt;b&gt;"' in html


def test_an_empty_form_says_nothing_of_faults():
    html = rendered(ReadingForm())

    assert 'role="alert"' not in html
    assert "_error" not in html


def test_only_what_may_be_left_out_is_marked():
    html = rendered(ReadingForm())

    marked = re.findall(r"<label[^>]*>([^<]+?)\s*<span class=\"optional\">", html)
    assert marked == ["Line", "Remarks"]


def test_choices_keep_their_groups_and_what_was_ticked():
    html = rendered(ReadingForm({"people": ["2"], "judged": "met"}))

    assert re.findall(r'<p class="tick-group">([^<]+)</p>', html) == ["Crew A", "Crew B"]
    ticked = [tag for tag in re.findall(r"<input[^>]+>", html) if " checked" in tag]
    assert [re.search(r'value="([^"]+)"', tag).group(1) for tag in ticked] == ["met", "2"]


def test_hidden_fields_stand_without_label():
    html = rendered(ReadingForm())

    assert '<input type="hidden" name="token"' in html
    assert "id_token_helptext" not in html
    assert 'for="id_token"' not in html


def test_a_form_posts_with_its_token_and_a_filter_gets_without():
    posted, got = rendered(ReadingForm()), rendered(ReadingForm(), form_method="get")

    assert 'method="post"' in posted
    assert "csrfmiddlewaretoken" in posted
    assert 'method="get"' in got
    assert "csrfmiddlewaretoken" not in got


def test_a_layout_draws_its_parts():
    layout = Layout(
        Fieldset("Readings", AppendedText("value", "mm"), css_class="wide", css_id="readings"),
        Row(Column("name"), Column("line")),
        Div(InlineRadios("judged"), css_id="criteria"),
        Field("remarks", wrapper_class="last"),
        ButtonHolder(Submit("sign", "Sign"), Button("draft", "Draft"), Hidden("step", "2")),
    )

    html = rendered(ReadingForm(), layout)

    assert re.search(r'<fieldset class="group wide" id="readings"[^>]*>\s*<legend>Readings</legend>', html)
    assert '<span class="visually-hidden">mm</span>' in html
    assert html.count('class="form-column"') == 2
    assert 'class="tick-row"' in html
    assert 'class="field last"' in html
    assert re.search(r'<button type="submit" name="sign" value="Sign"[^>]*>Sign</button>', html)
    assert '<input type="hidden" name="step" value="2">' in html
    assert 'id="id_people"' not in html


def test_a_class_of_one_field_does_not_leak_to_the_next():
    html = rendered(
        ReadingForm(), Layout(Field("name", wrapper_class="first"), "line", AppendedText("value", "mm"), "remarks")
    )

    assert html.count("first") == 1
    assert html.count(">mm<") == 2  # once seen, once for the screen reader


def test_a_form_with_a_file_is_sent_in_parts():
    class UploadForm(forms.Form):
        file = forms.FileField()

    assert 'enctype="multipart/form-data"' in rendered(UploadForm())


def rows_of(data=None):
    rows = forms.formset_factory(ReadingForm, extra=2)
    return rows(data, prefix="rows")


def test_a_table_of_forms_has_a_row_each_and_a_label_for_every_control():
    html = rendered(rows_of(), template="plant/table_inline_formset.html", caption="Seams")

    assert html.count("<tr>") == 3
    assert "<caption>Seams</caption>" in html
    assert 'name="rows-TOTAL_FORMS"' in html
    assert html.count('name="rows-0-token"') == 1
    controls = set(re.findall(r'<(?:input|select|textarea)[^>]*\sid="(id_rows-[^"]+)"', html))
    hidden = {one for one in controls if one.endswith(("FORMS", "token"))}
    assert controls - hidden - set(re.findall(r'<label[^>]*\sfor="([^"]+)"', html)) == set()


@pytest.mark.parametrize("template", [None, "plant/table_inline_formset.html"], ids=["stacked", "table"])
def test_a_set_of_forms_sums_up_its_faults_by_row(template):
    rows = rows_of({"rows-TOTAL_FORMS": "2", "rows-INITIAL_FORMS": "0", "rows-1-name": "Ada", "rows-1-value": "9"})

    html = rendered(rows, template=template)

    assert "Row 2, Overlap: Ensure this value is less than or equal to 5." in html
    assert "Row 1" not in html
    assert html.count('role="alert"') == 1
    assert set(re.findall(r'<a href="#([^"]+)">', html)) <= set(ids(html))


def test_the_filter_draws_a_form_and_a_single_field():
    context = {"form": ReadingForm(), "field": ReadingForm()["name"]}
    source = "{% load crispy_forms_filters %}{{ form|crispy }}|{{ field|as_crispy_field }}"

    whole, one = engines["django"].from_string(source).render(context).split("|", 1)

    assert "<form" not in whole
    assert 'id="id_value_helptext"' in whole
    assert 'id="id_name_helptext"' in one
