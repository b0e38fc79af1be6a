"""The printed explanation of a standing: in black and white, with both clocks, the chain, and what ties it down."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime, timedelta
from typing import Any, Final
from urllib.parse import quote
from zoneinfo import ZoneInfo

from django.template.loader import render_to_string
from django.utils import timezone, translation
from django.utils.text import capfirst
from django.utils.translation import gettext as _

from competencies.printing import words
from competencies.printing.pdf import render_pdf
from competencies.printing.qr import qr_data_uri
from competencies.printing.records import Proof, in_groups
from competencies.queries.answers import Between, TwoAnswers
from competencies.queries.band import EVERYTHING, Band, band_of, days_of_change, window_around
from competencies.queries.chain import Link, SignOffChain, Word
from competencies.queries.explanation import Explanation
from competencies.queries.person_task import NEWCOMER, Entry
from competencies.queries.signatures import Signature
from competencies.standing.calendar import INSTANT, clock_of
from competencies.standing.timeline import Period, Timeline
from competencies.vocabulary import EntryKind
from competencies.wording import AUTHORITIES, MEANINGS, STANDINGS, sentence, step_doer, step_sentence

TEMPLATE: Final = "competencies/explanation_sheet.html"
ONE_YEAR: Final = timedelta(days=366)
Row = dict[str, Any]


def explanation_pdf(
    found: Explanation, proof: Proof, *, answers: TwoAnswers | None, chains: Sequence[SignOffChain]
) -> bytes:
    """Return the sheets as a tagged PDF. Raises PdfUnavailableError."""
    return render_pdf(explanation_html(found, proof, answers=answers, chains=chains))


def explanation_html(
    found: Explanation, proof: Proof, *, answers: TwoAnswers | None, chains: Sequence[SignOffChain]
) -> str:
    """Return the page, in the plant's language and zone."""
    plant = found.person.plant
    with timezone.override(ZoneInfo(plant.timezone)), translation.override(plant.language):
        return render_to_string(TEMPLATE, _context(found, proof, answers, chains))


def _context(
    found: Explanation, proof: Proof, answers: TwoAnswers | None, chains: Sequence[SignOffChain]
) -> dict[str, Any]:
    band = _band(found, proof.printed_at)
    return {
        "plant": found.person.plant,
        "found": found,
        "place": words.place(found.scope),
        "moment": words.moment(timezone.localtime(found.moment)),
        "period": _period_row(found.period),
        "reasons": reason_lines(found.period),
        "steps": [(capfirst(step_sentence(step)), step_doer(step)) for step in found.period.way_back],
        "is_new": found.period.standing in NEWCOMER,
        "drawing": band_picture(band),
        "window": band.window,
        "periods": [{"number": number, **_period_row(each)} for number, each in enumerate(found.periods, start=1)],
        "answers": answers,
        "then": _period_row(answers.then) if answers else None,
        "now": _period_row(answers.now) if answers else None,
        "between": [_between_row(each) for each in answers.between] if answers else [],
        "entries": [_entry_row(each) for each in found.entries],
        "links": [row for chain in chains for row in _chain_rows(chain)],
        "proof": proof,
        "head_groups": in_groups(proof.head),
        "root_groups": in_groups(proof.root),
        "qr": qr_data_uri(proof.address),
        "as_of": found.as_of,
        "known_at": proof.known_at,
        "printed_at": proof.printed_at,
        "printed_by": proof.printed_by,
        "check_code": proof.code,
    }


def reason_lines(period: Period) -> list[str]:
    """Return every reason as a sentence, each once."""
    return list(dict.fromkeys(f"{capfirst(sentence(reason))}." for reason in period.reasons))


def _period_row(period: Period) -> Row:
    return {
        "standing": period.standing.value,
        "word": capfirst(str(STANDINGS[period.standing])),
        "from": _edge(period.start, _("the beginning")),
        "to": _edge(period.end - INSTANT if period.end else None, _("no end known"), is_end=True),
        "counts": _("yes") if period.counts else _("no"),
        "last_valid": words.day(period.last_valid_on) if period.last_valid_on else "–",
        "revision": period.revision if period.revision is not None else "–",
        "reasons": reason_lines(period),
        "rests_on": _places(period.rests_on),
    }


def _edge(moment: datetime | None, open_word: str, *, is_end: bool = False) -> str:
    """Return a day where a period begins or ends with it, otherwise the minute."""
    if moment is None:
        return open_word
    local = timezone.localtime(moment)
    edge = (23, 59) if is_end else (0, 0)
    return words.day(local.date()) if (local.hour, local.minute) == edge else words.moment(local)


def _places(seqs: Iterable[int]) -> str:
    return ", ".join(f"#{seq}" for seq in seqs) or "–"


def _kind(kind: str) -> str:
    return capfirst(words.kind_word(EntryKind(kind)))


def _signed(signature: Signature | None) -> Row:
    if signature is None:
        return {"name": "", "meaning": "", "role": "", "texts": []}
    return {
        "name": signature.name or _("name erased"),
        "meaning": str(MEANINGS[signature.meaning]),
        "role": str(AUTHORITIES[signature.role]) if signature.role else "",
        "texts": list(signature.texts.values()),
    }


def _entry_row(each: Entry) -> Row:
    fact = each.fact
    return {
        "seq": fact.seq,
        "what": _kind(each.kind),
        "happened": words.moment(timezone.localtime(fact.happened_at)),
        "recorded": words.moment(timezone.localtime(fact.recorded_at)),
        "rests_on": _places(each.rests_on),
        "struck": _("corrected by entry %(seq)s") % {"seq": each.struck_by} if each.struck_by is not None else "",
        **_signed(each.signature),
    }


def _between_row(each: Between) -> Row:
    return {
        "seq": each.seq,
        "what": _kind(each.kind),
        "task": each.task,
        "happened": words.moment(timezone.localtime(each.happened_at)),
        "recorded": words.moment(timezone.localtime(each.recorded_at)),
        **_signed(each.signature),
    }


def _chain_rows(chain: SignOffChain) -> list[Row]:
    parts = [(_("Assessor"), [chain.assessor]), (_("Second signature"), chain.seconds), (_("Watched"), chain.runs)]
    return [_link_row(part, link) for part, links in parts for link in links]


def _link_row(part: str, link: Link) -> Row:
    then, now = word_lines(link.then), word_lines(link.now)
    return {
        "seq": link.fact.seq,
        "part": part,
        "on": words.day(link.fact.on),
        **_signed(link.signature),
        "then": then,
        "now": now if link.differs else [],
    }


def word_lines(word: Word) -> list[str]:
    """Return what entitled a signer, or did not, in a few lines."""
    if word.faults:
        lines = [_("Not entitled:"), *(f"{capfirst(sentence(fault))}." for fault in word.faults)]
    else:
        lines = [_("Entitled.")]
    if word.period is not None:
        lines.append(_("Own standing: %(word)s.") % {"word": STANDINGS[word.period.standing]})
    own = word.own
    if own is not None and own.on is not None:
        if own.named_by is not None:
            lines.append(
                _("Initial trainer since %(day)s, #%(seq)s.") % {"day": words.day(own.on), "seq": own.named_by}
            )
        else:
            by = own.signature.name if own.signature and own.signature.name else _("name erased")
            said: Mapping[str, Any] = {"day": words.day(own.on), "name": by, "seq": own.seq}
            lines.append(_("Own sign-off of %(day)s by %(name)s, #%(seq)s.") % said)
    for each in word.grants:
        said = {
            "kind": AUTHORITIES[each.grant.kind],
            "name": each.given.name or _("name erased"),
            "seq": each.given.seq,
        }
        lines.append(capfirst(_("%(kind)s, granted by %(name)s, #%(seq)s.") % said))
    return lines


def _band(found: Explanation, now: datetime) -> Band:
    clock = clock_of(found.person.plant.timezone)
    entered = [each.fact.on for each in found.entries]
    days = [*entered, *days_of_change(found.periods, clock), found.as_of]
    # A way out that opens years after a lapse would press everything else together.
    last = min(max(days), max(found.as_of, clock.day(now)) + ONE_YEAR)
    window = window_around(found.as_of, EVERYTHING, first_on=min(days), last_on=last)
    timeline = Timeline(person=found.person.pk, task=found.task.code, scope=found.scope, periods=tuple(found.periods))
    marks = [(each.fact.seq, each.fact.happened_at, each.struck_by is not None) for each in found.entries]
    return band_of(timeline, window, clock, moment=found.moment, now=now, entries=marks)


def band_picture(band: Band) -> str:
    """Return the drawing as a data: address; in black and white, a bar's height says what its number's row says."""
    drawing = render_to_string("components/timeline_ink.html", {"band": band})
    return f"data:image/svg+xml,{quote(' '.join(drawing.split()))}"
