"""Who stands behind a sign-off: for the auditor, and for everybody who may see the person."""

from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_safe

from competencies.middleware import ActorRequest
from competencies.permissions import may_print_record
from competencies.queries.chain import sign_off_chain as chain_behind
from competencies.views.loading import NUMBER_DIGITS, own_plant, task_in
from competencies.views.people import person_shown


@login_required
@require_safe
def sign_off_chain(request: ActorRequest, person_id: int, task_code: str, entry_seq: int) -> HttpResponse:
    """Show each signature behind a sign-off with what entitled its signer that day, as known then and as known now."""
    person = person_shown(request, person_id)
    plant = own_plant(request.actor)
    task = task_in(plant, task_code)
    chain = chain_behind(plant, person, task, entry_seq) if len(str(entry_seq)) <= NUMBER_DIGITS else None
    if chain is None:
        raise Http404
    context = {"person": person, "task": task, "chain": chain, "may_print": may_print_record(request.actor, person)}
    return render(request, "competencies/chain.html", context)
