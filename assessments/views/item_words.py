"""How the problems of checks do, in words and figures: what is undefined is said, what may mislead is pointed out."""

from typing import Any, Final

from django.urls import reverse
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from assessments.calculations.frame import Calculation
from assessments.queries.item_statistics import CheckFigures, Item
from assessments.statistics.items import (
    LEAST_ANSWERS,
    LEAST_STRONG_WRONG,
    LEAST_TIMED,
    LEAST_WRONG,
    MOST_OF_STRONG,
    MOST_OF_WRONG,
    SLOW_TIMES,
    STRONG_REST,
    Doubt,
    ItemFigures,
    Pointer,
    Undefined,
)
from assessments.statistics.reliability import LEAST_SITTINGS, Reliability
from assessments.views.shown import Told
from assessments.vocabulary import Verdict

Row = list[Any]
MINUTE: Final = 60
#: The mistakes that no slip explains, in the order in which they are shown.
OTHER_FAULTS: Final = (
    Verdict.UNIT_MISSING,
    Verdict.UNIT_WRONG,
    Verdict.TOO_COARSE,
    Verdict.POWER_OF_TEN,
    Verdict.OTHER,
    Verdict.UNCLEAR,
    Verdict.UNREADABLE,
)


def item_heads() -> Row:
    """Return the heads of the list of items."""
    numbers = [_("Answers"), _("Right"), _("Tells people apart"), _("Time")]
    return [_("Problem"), *({"text": head, "number": True} for head in numbers), _("Most frequent slip"), _("Look at")]


def item_row(item: Item, query: str) -> Row:
    """Return the row of an item; `query` carries the period on."""
    figures = item.figures
    address = reverse("assessments:item", args=[figures.item]) + query
    slip = f"{_(figures.slips[0][0])} (×{figures.slips[0][1]})" if figures.slips else "–"
    return [
        {"text": item_title(item.kind, figures.item), "code": figures.item, "url": address},
        {"number": str(figures.answers)},
        {"number": percent(figures.difficulty)},
        {"number": discrimination_short(figures.discrimination)},
        {"number": clock(figures.seconds.middle)},
        slip,
        "; ".join(doubt_word(pointer.doubt) for pointer in figures.pointers) or "–",
    ]


def item_title(kind: Calculation | None, code: str) -> str:
    """Return what the problem is called; its code where the plant has it no longer."""
    return _(kind.title) if kind else code


def percent(share: float) -> str:
    """Return a share in whole percent."""
    return f"{100 * share:.0f} %"


def clock(seconds: float) -> str:
    """Return a time as minutes and seconds, with its units."""
    whole = round(seconds)
    minutes, rest = divmod(whole, MINUTE)
    return f"{minutes} min {rest:02} s" if minutes else f"{rest} s"


def signed(value: float) -> str:
    """Return a correlation with its sign, two decimals."""
    text = f"{value:+.2f}"
    return "0.00" if not text.strip("+-0.") else text.replace("-", "−")


def discrimination_short(held: float | Undefined) -> str:
    """Return the discrimination, or a dash."""
    return "–" if isinstance(held, Undefined) else signed(held)


def discrimination_words(held: float | Undefined) -> str:
    """Return the discrimination, or why there is none."""
    words = {
        Undefined.TOO_FEW: _("not given: it takes %(count)s answers") % {"count": LEAST_ANSWERS},
        Undefined.ALL_RIGHT: _("undefined: every answer was right"),
        Undefined.ALL_WRONG: _("undefined: every answer was wrong"),
        Undefined.SAME_REST: _("undefined: the rest of the check went alike for everybody"),
    }
    return words[held] if isinstance(held, Undefined) else signed(held)


def item_facts(figures: ItemFigures) -> list[tuple[str, str]]:
    """Return the figures of an item for its page."""
    within = {"low": percent(figures.within.low), "high": percent(figures.within.high)}
    interval = _("95 %% interval %(low)s to %(high)s") % within
    counts = _("%(right)s of %(answers)s") % {"right": figures.right, "answers": figures.answers}
    seconds = figures.seconds
    spread = {"middle": clock(seconds.middle), "low": clock(seconds.quarter), "high": clock(seconds.three_quarters)}
    return [
        (_("Right (difficulty p)"), f"{percent(figures.difficulty)}: {counts}; {interval}"),
        (_("Tells people apart (discrimination)"), discrimination_words(figures.discrimination)),
        (_("Time"), _("%(middle)s in the middle; half of them took %(low)s to %(high)s") % spread),
        *((fault_word(fault), _share_of(figures, figures.verdicts.get(fault, 0))) for fault in OTHER_FAULTS),
    ]


def fault_word(fault: Verdict) -> str:
    """Return a mistake that is no slip, in words."""
    words = {
        Verdict.UNIT_MISSING: _("Unit missing"),
        Verdict.UNIT_WRONG: _("Wrong unit"),
        Verdict.TOO_COARSE: _("Rounded too far"),
        Verdict.POWER_OF_TEN: _("Off by a power of ten"),
        Verdict.OTHER: _("Wrong, no slip known"),
        Verdict.UNCLEAR: _("Readable in two ways"),
        Verdict.UNREADABLE: _("Unreadable"),
    }
    return words[fault]


def _share_of(figures: ItemFigures, count: int) -> str:
    return f"{count} ({percent(count / figures.answers)})"


def slip_rows(item: Item) -> list[Row]:
    """Return each slip with how often it was made and how to avoid it."""
    advice = {slip.name: slip.advice for slip in item.kind.slips} if item.kind else {}
    return [
        [
            capfirst(_(name)),
            {"number": str(count)},
            {"number": percent(count / item.figures.answers)},
            _(advice[name]) if name in advice else "–",
        ]
        for name, count in item.figures.slips
    ]


def slip_heads() -> Row:
    """Return the heads of the slips."""
    numbers = [_("Answers"), _("Of all answers")]
    return [_("Slip"), *({"text": head, "number": True} for head in numbers), _("How to avoid it")]


def doubt_word(doubt: Doubt) -> str:
    """Return a doubt in a few words, for the list."""
    words = {
        Doubt.TURNED_ROUND: _("the stronger get it wrong more often"),
        Doubt.FOOLS_THE_STRONG: _("the strong fall for one slip"),
        Doubt.ONE_SLIP: _("one slip makes up most mistakes"),
        Doubt.SLOW: _("far slower than the others"),
    }
    return words[doubt]


def told_pointer(pointer: Pointer) -> Told:
    """Return a doubt with what it rests on, the rule behind it, and what to look at."""
    counted = {
        "slip": _(pointer.slip) if pointer.slip else "",
        "count": pointer.count,
        "total": pointer.total,
        "ratio": f"{pointer.ratio:.1f}",
    }
    found, rule, look = _pointer_words()[pointer.doubt]
    return Told(
        kind="warn",
        title=f"{capfirst(doubt_word(pointer.doubt))}.",
        points=tuple(text for text in (found % counted, rule, look) if text),
    )


def _pointer_words() -> dict[Doubt, tuple[str, str, str]]:
    """Return for each doubt what was found, its rule, and what to look at."""
    strong = {"share": percent(STRONG_REST), "count": LEAST_STRONG_WRONG, "part": percent(MOST_OF_STRONG)}
    one = {"count": LEAST_WRONG, "part": percent(MOST_OF_WRONG)}
    slow = {"times": f"{SLOW_TIMES:g}", "count": LEAST_TIMED}
    return {
        Doubt.TURNED_ROUND: (
            "",
            _("Rule: a discrimination below 0 by more than chance alone gives, from %(count)s answers on.")
            % {"count": LEAST_ANSWERS},
            _("Work the problem yourself: the answer kept as right, the rounding or a given may be at fault."),
        ),
        Doubt.FOOLS_THE_STRONG: (
            _("%(count)s of %(total)s wrong answers by the strong: %(slip)s."),
            _("Rule: of those with %(share)s or more of the rest right, %(count)s or more wrong, over %(part)s alike.")
            % strong,
            _("Read the question as they would: a word in it may lead there, or the plant does it that way."),
        ),
        Doubt.ONE_SLIP: (
            _("%(count)s of %(total)s wrong answers: %(slip)s."),
            _("Rule: from %(count)s wrong answers on, %(part)s or more of them with the same slip.") % one,
            _("Teach this one point again, and see whether the givens are said clearly."),
        ),
        Doubt.SLOW: (
            _("It takes %(ratio)s times as long as the others do."),
            _("Rule: %(times)s times the usual time or more, from %(count)s answers on.") % slow,
            _("Look whether it asks for more than one thing, or for a table that is not at hand."),
        ),
    }


def check_heads() -> Row:
    """Return the heads of the checks."""
    numbers = [_("Sittings"), _("Passed"), _("To pass"), _("Reliability"), _("Standard error")]
    return [_("Check"), *({"text": head, "number": True} for head in numbers), _("What it means")]


def check_row(check: CheckFigures) -> Row:
    """Return the row of a check."""
    found = check.reliability
    needed = {"needed": check.pass_mark, "problems": check.problems}
    return [
        {"text": item_title(check.kind, check.calculation), "code": check.calculation},
        {"number": str(found.sittings)},
        {"number": str(check.passed)},
        {"number": _("%(needed)s of %(problems)s") % needed},
        {"number": "–" if found.alpha is None else signed(found.alpha).removeprefix("+")},
        {
            "number": "–" if found.error is None else f"{found.error:.1f}",
            "unit": "" if found.error is None else _("right"),
        },
        reliability_words(found, check.pass_mark),
    ]


def reliability_words(found: Reliability, pass_mark: int) -> str:
    """Return what the reliability of a check means for its pass mark."""
    if found.alpha is None:
        return _why_undefined(found)
    unsure, said = found.unsure(pass_mark), ""
    if found.alpha <= 0:
        said = _("The problems do not go together: who does well on one does no better on the rest.") + " "
    if unsure:
        ends = {"first": unsure[0], "last": unsure[-1]}
        one = _("A result of %(first)s could fall the other way by chance alone.")
        several = _("Results from %(first)s to %(last)s could fall the other way by chance alone.")
        said += (one if len(unsure) == 1 else several) % ends
    else:
        said += _("No result lies so near the mark that chance alone would turn it.")
    if not found.is_firm:
        few = {"count": found.sittings, "needed": LEAST_SITTINGS}
        said += " " + _("Not firm: %(count)s sittings, %(needed)s are asked for.") % few
    return said


def _why_undefined(found: Reliability) -> str:
    if found.sittings < 2:  # noqa: PLR2004 - differences between people take two
        return ngettext("Undefined: %(count)s sitting.", "Undefined: %(count)s sittings.", found.sittings) % {
            "count": found.sittings
        }
    if found.problems < 2:  # noqa: PLR2004 - agreement between problems takes two
        return _("Undefined: a single problem has nothing to agree with.")
    return _("Undefined: every sitting had the same number right.")
