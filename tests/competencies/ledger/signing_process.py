"""A process that signs as fast as it can, as a tablet of its own would; started by the tests.

Called with the plant's number, a person's number, seconds to run (0: twelve times) and a form token or "".
Prints what it was told: the places of its entries, the time each took, and what went wrong.
"""

import json
import sys
import time

import django

django.setup()

from django.utils import timezone  # noqa: E402 - Django first

from competencies.ledger.writer import append, writing  # noqa: E402 - Django first
from competencies.models import Plant  # noqa: E402 - Django first
from competencies.vocabulary import EntryKind  # noqa: E402 - Django first


def sign(plant, person, token):
    with writing():
        return append(
            kind=EntryKind.RUN,
            plant=plant,
            at=timezone.now(),
            fields={"task": "QC-04", "shift": "day", "revision": 2, "token": token or None},
            texts={"note": "seen"},
            names={"subject": (person, "Ann Bell"), "actor": (person + 1, "Ben Clay")},
        )


def main(plant_id, person, seconds, token):
    plant = Plant.objects.get(pk=plant_id)
    end, places, took, failures = time.monotonic() + seconds, [], [], []
    while (time.monotonic() < end) if seconds else (len(took) < 12):
        start = time.monotonic()
        try:
            places.append(sign(plant, person, token).seq)
        except Exception as error:  # noqa: BLE001 - whatever it is, the test wants to know
            failures.append(repr(error))
        took.append(time.monotonic() - start)
    json.dump({"places": places, "took": took, "failures": failures}, sys.stdout)


if __name__ == "__main__":
    main(int(sys.argv[1]), int(sys.argv[2]), float(sys.argv[3]), sys.argv[4])
