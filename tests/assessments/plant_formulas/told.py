"""A calculation as a coordinator tells it, for the tests: one small change makes each case."""

from dataclasses import replace

from django.utils import timezone

from assessments.operations.plant_calculations import begin_calculation
from assessments.plant_formulas.compiling import compiled
from assessments.plant_formulas.described import Described, GivenTold, SlipTold, StepTold
from assessments.vocabulary import Family, HowKnown

VOLUME = GivenTold(symbol="V", says="beer in the tank", unit="hL", low=200, high=600, resolution=1)
EXTRACT = GivenTold(symbol="E", says="its original extract", unit="°P", low=14, high=16.5, resolution=0.1)
WANTED = GivenTold(symbol="E_s", says="extract for sale", unit="°P", low=11, high=12.5, resolution=0.1, is_exact=True)
WATER = StepTold(symbol="W", says="blending water", formula="V * (E / E_s - 1)", unit="hL", decimals=0)
INVERTED = SlipTold(
    name="ratio inverted", advice="The stronger extract stands above.", replaces="W", formula="V * (1 - E_s / E)"
)
WHOLE_TANK = SlipTold(
    name="whole tank given", advice="Take off the beer that is there.", replaces="W", formula="V * E / E_s"
)
BLEND = Described(
    code="X01",
    version=1,
    title="Water to blend down a tank",
    family=Family.FILTRATION,
    asks="How much water brings the tank down to the extract for sale?",
    givens=(VOLUME, EXTRACT, WANTED),
    steps=(WATER,),
    slips=(INVERTED, WHOLE_TANK),
    valid_for="deaerated water, volumes taken as additive",
    source="Mass balance of extract",
    how_known=HowKnown.DERIVED,
    cautions=("CO2",),
)


def blend(**changes):
    """Return the calculation of a blend, with some of what was told changed."""
    return compiled(replace(BLEND, **changes))


def drafted_by(person):
    """Return a draft of the blend, kept by somebody of a plant."""
    return begin_calculation(plant=person.plant, told=BLEND, by=person, now=timezone.now())
