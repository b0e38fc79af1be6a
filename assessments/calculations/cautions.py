"""The usual cautions, shown wherever a calculation leads to work that can hurt someone.

They are the trade's common warnings, not a procedure: the plant's own instructions, the safety data sheet and
local rules come first.
"""

from assessments.vocabulary import gettext_noop

HOT_LIQUOR = gettext_noop("Hot water and wort scald. Keep hands out of the mash, and open hot valves slowly.")
CO2 = gettext_noop(
    "CO2 chokes without warning. Do not lean into a tank, nor enter one without a permit; leave when the alarm sounds."
)
PRESSURE = gettext_noop("Never open a vessel, keg or filter before the gauge reads zero and the vent is open.")
CAUSTIC = gettext_noop(
    "Caustic and acid burn and blind. Wear goggles, gloves and apron; add concentrate to water, never water to "
    "concentrate; know where the shower is. Never mix acid with chlorinated cleaner."
)
DUST = gettext_noop("Filter aid dust harms the lungs. Wear the mask, tip slowly, keep the extraction on.")
GLASS = gettext_noop("Bottles burst. Wear goggles and cut-proof gloves, and clear a break by the plant's rule.")
SHARP_EDGES = gettext_noop("Cut cans have edges like knives. Wear cut-proof gloves when you take a seam apart.")
FORKLIFT = gettext_noop("Count pallets from the walkway. Stay clear of moving trucks and of leaning stacks.")
MACHINE = gettext_noop("Read the line from outside its guards. Take nothing out of a running machine.")
PASTEURISER = gettext_noop("Water, steam and packs from a pasteuriser scald. Let packs cool before you lift them.")
TASTING = gettext_noop("Beer for a test is not for drinking. Young workers follow their own limits.")
SOLVENT = gettext_noop("Iso-octane burns, and its vapour creeps. Work in the fume cupboard, away from any flame.")
HOT_CIRCUIT = gettext_noop("A cleaning circuit is hot, caustic and under pressure. Open nothing before it is drained.")
MALT_DUST = gettext_noop("Malt dust can explode and harms the lungs. No flame, no sparks; keep the extraction on.")
STAIN = gettext_noop("The stain for dead cells colours skin and harms when swallowed. Wear gloves, pipette by bulb.")
BEYOND_RULES = gettext_noop(
    "The plant's procedure, the safety data sheet and local rules come first; some work needs a licence or permit."
)
IODINE = gettext_noop("Iodine and what it touched never go back to the mash. It stains, and it is not for drinking.")
