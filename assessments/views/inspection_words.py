"""What pages say of drawings, answers and reports, ready for the templates."""

from dataclasses import dataclass

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from assessments.formulas.references import REFERENCES
from assessments.inspection import Fault, Inspection, Item, Measure, Sentence
from assessments.inspection.drawing import as_text
from assessments.inspection.judgement import Answered, answered
from assessments.models import InspectionAnswer
from assessments.views.shown import Told


@dataclass(frozen=True, slots=True)
class ShownItem:
    """A drawing ready to be shown: SVG with its text alternative, the plant's limits, and what can be measured."""

    drawing: SafeString
    specified: list[str]
    heads: list[str]
    measures: list[tuple[str, str]]


def sentence(words: Sentence) -> str:
    """Return a sentence in the language of the page."""
    return _(words.text) % {name: _(value) for name, value in words.params.items()}


def measured(measure: Measure) -> tuple[str, str]:
    """Return what was measured, and its value with unit."""
    says = sentence(Sentence(measure.says, measure.params))
    return says, f"{_(measure.value)} {measure.unit}".strip()


def shown_item(item: Item) -> ShownItem:
    """Return a drawing ready for the page; its text alternative tells every measurement and no verdict."""
    measures = [measured(each) for each in item.specimen.measures]
    description = "; ".join(f"{says}: {value}" for says, value in measures) + "."
    drawing = as_text(item.specimen.drawing, title=_(item.inspection.title), description=description, translate=_)
    # Built by ElementTree, which escapes every text and attribute.
    return ShownItem(
        drawing=SafeString(drawing),
        specified=[sentence(each) for each in item.specimen.specified],
        heads=[_("What"), _("Value")],
        measures=measures,
    )


def held_rows(item: Item, *, broken_only: bool = False) -> list[list[object]]:
    """Return every limit, or those that are broken, with what was measured, and in words whether it is kept."""
    rows: list[list[object]] = []
    for held in item.specimen.held:
        if broken_only and held.is_within:
            continue
        says, value = measured(held.measure)
        kept = _("Within") if held.is_within else _("Outside")
        rows.append([says, value, sentence(held.limit), kept])
    return rows


def held_heads() -> list[str]:
    """Return the heads over `held_rows`."""
    return [_("What"), _("Measured"), _("Limit"), _("Kept?")]


def sources_of(inspection: Inspection) -> list[str]:
    """Return the sources of an inspection's limits, as they are printed."""
    return [_(str(REFERENCES[key])) for key in inspection.sources]


def told_answer(answer: InspectionAnswer, inspection: Inspection) -> Told:
    """Return what became of an answer, kindly and with what to look at next time."""
    truth, named = inspection.fault(answer.truth), inspection.fault(answer.named)
    result = answered(answer.truth, rejected=answer.rejected, named=answer.named)
    kind, title = _titles()[result]
    return Told(kind=kind, title=title, text=_told_text(result, truth, named))


def _titles() -> dict[Answered, tuple[str, str]]:
    return {
        Answered.PASSED: ("good", _("Right: it is good.")),
        Answered.NAMED: ("good", _("Right: stopped, and for the right fault.")),
        Answered.MISNAMED: ("info", _("Rightly stopped, but for another fault.")),
        Answered.MISSED: ("warn", _("Let through: it has a fault.")),
        Answered.FALSE_ALARM: ("warn", _("Stopped for nothing: it is good.")),
    }


def _told_text(result: Answered, truth: Fault | None, named: Fault | None) -> str:
    if truth is None:
        if result is Answered.FALSE_ALARM:
            return _("Every limit is kept; they stand below. A good one stopped costs the plant and stops the line.")
        return _("Every limit is kept.")
    names = {"fault": _(truth.name), "advice": _(truth.advice), "named": _(named.name) if named else ""}
    if result is Answered.MISNAMED:
        return _("You said: %(named)s. In truth: %(fault)s. %(advice)s") % names
    return _("What is wrong: %(fault)s. %(advice)s") % names


def seconds_said(seconds: int | None) -> str:
    """Return how long an answer took, or nothing where that is not known."""
    if seconds is None:
        return ""
    return ngettext("%(count)s second", "%(count)s seconds", seconds) % {"count": seconds}
