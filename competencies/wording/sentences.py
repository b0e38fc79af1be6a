"""A sentence for every code of a reason or a refusal.

Two moods of one code may differ: `too_few_runs` reads the same whether it explains a standing or refuses an entry.
"""

from collections.abc import Mapping

from django.utils.translation import gettext_lazy as _

from competencies.wording.words import Text

SENTENCES: Mapping[str, Text] = {
    # what is missing
    "too_few_runs": _("%(counted)s of %(needed)s supervised runs count so far"),
    "too_few_shifts": _("the runs lie on %(counted)s different shifts of the %(needed)s that are asked"),
    "range": _("the runs do not show enough different values of %(name)s yet"),
    "calculation": _("no check of the calculation %(calculation)s was passed recently enough: take it again"),
    "prerequisite": _("%(task)s, which this task builds on, is not in force"),
    "confirmed_too_many": _(
        "the assessor watched %(confirmed)s of the %(counted)s runs, more than a critical task allows: ask another one"
    ),
    "awaiting_signature": _("the second signature is still missing"),
    "void": _("the assessment of %(assessed)s is void: no second signature came in time, so it is done again"),
    # why a run does not count
    "not_confirmed": _("whoever watched has not confirmed it yet"),
    "confirmed_late": _("it was confirmed more than %(hours)s hours afterwards"),
    "too_old": _("it is older than %(months)s months"),
    "coming_revision": _("it was made on revision %(revision)s, which is not in force yet"),
    "old_revision": _("it is about revision %(revision)s, which has been replaced"),
    "drill": _("it is a drill, and no more than %(most)s drills count"),
    "stopped": _("it was stopped part-way: neither a run nor a fault"),
    "before": _("it was made before %(since)s and does not count again"),
    "not_late": _("that run was not confirmed late: there is nothing to accept"),
    "never_late": _("on a critical task a run confirmed more than %(hours)s hours afterwards never counts"),
    # time
    "renewal_due": _("the last valid day is %(last_valid)s: a renewal is due"),
    "in_grace": _("the last valid day was %(last_valid)s, and the days of grace are running: renew now"),
    "lapsed": _("the last valid day was %(last_valid)s"),
    "stale": _("the task was last done on %(last)s, too long ago"),
    "terms_applied": _("by decision, the terms of %(effective)s hold for this sign-off since %(on)s"),
    # revisions
    "awaiting_revision": _("it was learned on revision %(revision)s, in force from %(effective)s"),
    "acknowledgement_due": _("revision %(revision)s is to be read and acknowledged by %(until)s"),
    "not_acknowledged": _("revision %(revision)s was not acknowledged by %(until)s"),
    "reclassified": _("revision %(revision)s was called minor until %(on)s, and is a major one since"),
    "delta_due": _("the changes of revision %(revision)s are to be shown by %(until)s"),
    "out_of_revision": _("the changes of revision %(revision)s, in force from %(effective)s, have not been shown"),
    "delta_missing": _("whoever watches or judges has not shown the changes of revision %(revision)s"),
    "unknown_revision": _("there was no approved revision %(revision)s on that day"),
    "initial_trainer": _("named as a first trainer until %(until)s"),
    "nothing_changed": _("the changes of revision %(revision)s have been shown already"),
    "already_acknowledged": _("revision %(revision)s has been acknowledged already"),
    "not_the_holder": _("only the person themselves can acknowledge a revision"),
    # losses
    "suspended": _("it is suspended while something is looked into"),
    "withdrawn": _("it was withdrawn for cause"),
    "check_owed": _("an extra check was asked for and has not been passed yet"),
    "not_yet_competent": _("the assessment of %(on)s said not yet competent"),
    "annulled": _("the sign-off of %(assessed)s was annulled: it was never in force"),
    "under_review": _("the sign-off of %(assessed)s is under review"),
    "appealed": _("the trainee appealed against the assessment of %(on)s: another assessor judges next"),
    "blocked": _("%(task)s, which this task builds on, does not hold"),
    "already_withdrawn": _("it has been withdrawn already"),
    "not_suspended": _("there is no suspension to lift"),
    "not_held": _("there is no sign-off in force to act on"),
    "before_suspension": _("a suspension cannot be lifted before it began"),
    # people
    "age": _("barred as a young worker until %(until)s"),
    "night": _("no night shifts as a young worker until %(until)s"),
    "left": _("the last working day was %(last_day)s"),
    "person_left": _("whoever watches or judges left on %(last_day)s"),
    "not_started_work": _("work here starts on %(starts)s"),
    "gained_later": _("it took effect at %(at)s, after the shift had begun, and serves from the next shift on"),
    # hours of the roster
    "hours_too_long": _("%(hours)s hours at a stretch; the limit with overtime is %(most)s"),
    "hours_at_night": _("%(hours)s hours at a stretch with a night shift in it; the limit at night is %(most)s"),
    "hours_safety_critical": _("%(hours)s hours at a stretch; the limit at safety-critical work is %(most)s"),
    "nights_running": _("night shift number %(count)s in a row; the limit is %(most)s"),
    "long_shifts_running": _("long shift number %(count)s in a row; the limit is %(most)s"),
    "early_shifts_running": _("early shift number %(count)s in a row; the limit is %(most)s"),
    "days_running": _("day %(count)s at work without a day off; the limit is %(most)s"),
    "short_rest": _("%(hours)s hours since the shift before; at least %(least)s are asked"),
    "too_few_nights_of_sleep": _(
        "%(count)s full nights of sleep when turning from days to nights; at least %(least)s are asked"
    ),
    # who may sign what
    "own": _("nobody signs for themselves"),
    "same_person": _("the second signature must come from somebody other than the assessor and the trainee"),
    "not_in_force": _("the watching person was not in force on this task there on that day"),
    "no_authority": _("no authority for the area %(area)s on that day"),
    "conflict": _("a conflict of interest was declared between these two: somebody else does this"),
    "role_missing": _("whoever signs second did not hold the role “%(role)s” on that day"),
    "same_assessor": _("the last two “not yet competent” were by this assessor: another one judges next"),
    "review_first": _(
        "after %(attempts)s “not yet competent” in a row the coordinator reviews them before the next attempt"
    ),
    "withdrew_it": _("whoever withdrew the sign-off does not assess the return: another assessor does"),
    "own_signoff": _("nobody corrects or annuls a sign-off that they signed or that is theirs"),
    "not_a_signoff": _("that entry is no sign-off that stands"),
    "already_annulled": _("that sign-off has been annulled already"),
    "unentitled_later": _("the first day in doubt lies after the assessment of %(assessed)s"),
    "not_under_review": _("that sign-off is not under review"),
    "assessed_it": _("whoever assessed it does not look at it again: another assessor does"),
    "no_review_due": _("there are not %(attempts)s “not yet competent” in a row to review"),
    "not_the_trainee": _("only the person who was assessed can do that"),
    "already_seen": _("that outcome has been seen already"),
    "nothing_to_appeal": _("an appeal is against an assessment that said not yet competent"),
    "already_appealed": _("an appeal against that assessment stands already"),
    "decided_since": _("there has been a later assessment since"),
    "appeal_to_another": _("the trainee appealed: another assessor than the first judges next"),
    "conflict_with_oneself": _("a conflict of interest is between two people"),
    "not_between_them": _("one of the two people or a coordinator declares a conflict of interest"),
    "conflict_end": _("only a coordinator who is neither of the two says when a conflict of interest ends"),
    "ends_before_it_begins": _("it cannot end before it begins"),
    # what the office decides about a task
    "taught_already": _(
        "%(count)s people hold revision %(revision)s there by a sign-off of their own: nobody needs to be named first"
    ),
    "named_before": _("was named a first trainer until %(until)s; after that only an own sign-off counts"),
    "two_people": _("two different people decide this"),
    "second_no_authority": _("the second person is entrusted with nothing in the area %(area)s on that day"),
    "major_already": _("revision %(revision)s is a major one already"),
    "first_revision": _("revision %(revision)s is the first: nobody held anything before it"),
    "issued_since": _("revision %(revision)s was issued meanwhile: start from that one"),
    "issue_before_last": _("it cannot be in force before the revision it follows (%(effective)s)"),
    "issue_in_past": _("a new revision works forward: it is in force from %(today)s or later"),
    "approved_later": _("it is issued when it is approved: the day of approval is %(today)s or earlier"),
    "no_criterion": _("there is no criterion %(number)s to touch"),
    "terms_in_past": _("new terms work forward: the first day is %(today)s or later"),
    "terms_before_later": _("other terms are set from %(later)s on: give a day that is not before"),
    "decided_before_terms": _("earlier sign-offs cannot come under the terms before %(effective)s, when these begin"),
    "more_shifts_than_runs": _("no more different shifts can be asked than supervised runs (%(runs)s)"),
    "more_drills_than_runs": _("no more drills can count than supervised runs are asked (%(runs)s)"),
    "range_beyond_runs": _("%(name)s asks more different values than there are supervised runs (%(runs)s)"),
    "circle": _("it cannot come first: %(task)s itself builds on this task"),
    # holds and erasing
    "hold_covers_nothing": _("name the people, the task or the line that the hold covers"),
    "days_out_of_order": _("the last day lies before the first"),
    "hold_ended_already": _("the hold has been ended already"),
    "hold_ended_by_setter": _("whoever set the hold does not end it: another person does"),
    "no_office": _("only the training coordinator of the whole plant may do this, or for a hold the auditor"),
    "second_no_office": _("the second person is a coordinator, an auditor or a supervisor of the whole plant"),
    "nothing_chosen": _("choose what is to be erased"),
    "not_due": _(
        "%(count)s of the people chosen have nothing due there any more, or a hold covers it: nothing was erased"
    ),
    # units
    "unknown_version": _("the plant has no version %(version)s of the unit %(unit)s"),
    "version_closed": _("this version of %(unit)s could be assessed until %(last_day)s"),
    "version_coming": _("this version of %(unit)s can be assessed from %(first_day)s"),
    "outcome_not_met": _("outcome %(outcome)s of the unit is not met"),
    "no_unit_authority": _("no assessor for an area of the unit %(unit)s on that day"),
    "not_coordinator": _("only a training coordinator does this, and was none on that day"),
    "not_moderator": _("only an auditor moderates, or a coordinator writes down what a moderator said"),
    "moderator_unnamed": _("say who the moderator was"),
    "unknown_decision": _("there is no such decision on a unit that stands"),
    "before_decision": _("it cannot be earlier than the decision of %(decided)s"),
    "already_reported": _("that decision was reported on %(reported)s already"),
    "moderator_disagrees": _("a moderator disagreed on %(disagreed)s: it is not reported until one agrees"),
    "decided_it": _("whoever decided the unit does not moderate it"),
    "enrolment_closed": _("the last day to begin this version of the pathway was %(last_day)s"),
    "already_enrolled": _("the person is on version %(version)s of this pathway already"),
    "older_version": _("the person follows version %(current)s: nobody goes back to version %(version)s"),
    "unit_withdrawn": _("the sign-off on %(task)s was withdrawn on %(on)s, after the unit was decided"),
    "unit_annulled": _("the sign-off on %(task)s was annulled on %(on)s"),
    "unit_under_review": _("the sign-off on %(task)s came under review on %(on)s"),
    "unit_corrected": _("entry #%(entry)s, on which the decision rests, was corrected"),
    # the entry itself
    "future": _("the day lies in the future: enter it once it has happened"),
    "no_reason": _("a reason must be given"),
    "wrong_scope": _("the task cannot be held there%(scope)s"),
    "criterion_not_judged": _("criterion %(criterion)s has not been judged yet"),
    "criterion_not_met": _("criterion %(criterion)s is not met, so the outcome cannot be competent"),
    "criterion_not_seen": _("criterion %(criterion)s was not seen: watch it before you say competent"),
    "not_awaiting": _("that assessment is not waiting for a second signature"),
    "too_late": _("the last day for the second signature was %(last_day)s: the assessment is void and is done again"),
    "before_assessment": _("it cannot be signed before it was assessed on %(assessed)s"),
    "already_corrected": _("that entry has been corrected already"),
    "nothing_instead": _("say what it should have been: nothing differs from the entry as it is"),
    "not_replaceable": _("an entry of this kind can only be struck, and what is right is entered anew"),
    "follows_another": _("it belongs to entry %(entry)s: correct that one, and this follows it"),
    "no_twin": _("the other of the pair must be of the same kind, about the same person, task and place, and stand"),
    "recorded_before": _("the entry was written down on %(at)s, before that day: nothing is recorded beforehand"),
    "instead_corrected": _(
        "entry %(entry)s, made in its place, has been corrected or signed since: correct that first"
    ),
    "part_instead": _("a joining is undone by parting the record again"),
    # people who are one, and records that hold two
    "same_record": _("these are one and the same record"),
    "already_joined": _("the record %(number)s has been joined to another already"),
    "own_record": _("nobody joins, parts or erases their own record"),
    "worked_both": _("both were on the %(shift)s shift of %(on)s, at different places: confirm that it is one person"),
    "signed_for_each_other": _("entry %(entry)s was signed by one of them about the other: correct or annul it first"),
    "signed_both": _("both signed for entry %(entry)s: correct or annul it first"),
    "no_entries": _("choose the entries that belong to the other person"),
    "not_of_person": _("entry %(entry)s is not on this record"),
    "goes_with_another": _("entry %(entry)s goes with entry %(of)s, wherever that goes"),
    "unknown_entry": _("there is no such entry about this person"),
    "not_recognisable": _("this task is never recognised from elsewhere: it is shown here"),
    "certificate_ended": _("the outside certificate ended on %(ended)s"),
}
# Where a code reads otherwise under another rule.
SENTENCES_OF_RULE: Mapping[tuple[str, str], Text] = {
    ("R1.1", "age"): _("barred as a young worker on that day"),
    ("R1.1", "in_grace"): _("whoever watches is in grace: they may do the task, and not watch it"),
    ("R2.2", "in_grace"): _("the assessor is in grace: they may do the task, and not judge it"),
    ("R2.2", "not_in_force"): _("the assessor was not in force on this task there on that day"),
    ("R3.6", "stale"): _("last at work before a long absence on %(last)s"),
    ("R4.10", "own"): _("nobody names themselves a first trainer"),
    ("R5.1", "too_few_runs"): _(
        "after “not yet competent” at least one more supervised run comes first, aimed at what was missing"
    ),
    ("R6.4", "in_grace"): _("whoever looks at it again is in grace: they may do the task, and not judge it"),
    ("R6.4", "not_in_force"): _("whoever looks at it again was not in force on this task there on that day"),
    ("R8", "age"): _("the unit %(unit)s is for adults: it can be decided from %(until)s on"),
    ("R11", "too_few_runs"): _("whatever was done elsewhere, at least one supervised run is made here"),
    ("R11", "too_old"): _("the evidence is older than %(months)s months"),
}
