"""Who can sign in to the demo plant. Everyone may read this: the people are invented, and the key is no secret."""

from collections.abc import Mapping
from typing import NamedTuple

from django.conf import settings

from competencies.models import Person, Plant, User
from competencies.operations.pins import set_pin


class SignIn(NamedTuple):
    """One line of the table that `manage.py demo` prints; the PIN is empty for those who sign nothing."""

    username: str
    password: str
    pin: str
    who: str


class PublicPasswordError(Exception):
    """Passwords that everybody can read are for looking around only."""


SIGN_INS: tuple[SignIn, ...] = (
    SignIn("thuylan", "three-green-valves", "583716", "trainer on the bottle line, crew B"),
    SignIn("zofia", "quiet-copper-morning", "274951", "trainee on the bottle line, crew B"),
    SignIn("niamh", "small-harbour-lamp", "615382", "trainee under 18 on the bottle line, crew A"),
    SignIn("marius", "seven-steady-seams", "492857", "assessor in packaging, crew C"),
    SignIn("adaeze", "clear-glass-orchard", "738264", "food-safety lead: second signatures"),
    SignIn("tomasz", "padlock-on-the-hasp", "361749", "safety lead: second signatures"),
    SignIn("sorcha", "paper-boats-at-noon", "857413", "training coordinator"),
    SignIn("ilinca", "long-conveyor-road", "946285", "line supervisor, crew B"),
    SignIn("perpetua", "second-sheet-of-two", "", "auditor"),
)
WORKS_NUMBERS: Mapping[str, str] = {
    "thuylan": "1022",
    "zofia": "1043",
    "niamh": "1045",
    "marius": "1023",
    "adaeze": "1003",
    "tomasz": "1002",
    "sorcha": "1001",
    "ilinca": "1008",
    "perpetua": "1903",
}


def make_sign_ins(plant: Plant) -> None:
    """Let the people of the table sign in. Raises PublicPasswordError unless this is a demo or a workbench."""
    if not (settings.DEMO or settings.DEBUG):
        message = "The demo's passwords are public: set DEMO=1 to load them."
        raise PublicPasswordError(message)
    for sign_in in SIGN_INS:
        person = Person.objects.get(plant=plant, works_number=WORKS_NUMBERS[sign_in.username])
        person.user = User.objects.create_user(sign_in.username, password=sign_in.password)
        person.save(update_fields=["user"])
        if sign_in.pin:
            set_pin(person=person, pin=sign_in.pin)
