"""Numbers and their units as people write them: 4.10 stays 4.10, a stored 4.10000 is shown as 4.1."""

from decimal import Decimal

from django import template

register = template.Library()

# Units are kept in plain letters; these have a sign.
SIGNS = {
    "degC": "°C",
    "percent": "%",
    "um": "µm",
    "ug/L": "µg/L",
    "uS/cm": "µS/cm",
    "degP": "°P",
    "degBrix": "°Bx",
    "million/mL per degP": "million/mL per °P",
    "percent v/v": "% v/v",
    "m3/h": "m³/h",
    "g/m2": "g/m²",
    "count": "",
    "result": "",
    "match": "",
}


@register.filter
def unit_sign(unit: str) -> str:
    """Return a unit as it is written beside a number; a count has none."""
    return SIGNS.get(unit, unit)


@register.filter
def amount(value: Decimal) -> str:
    """Return a target or a limit without the noughts that the column adds."""
    text = f"{value:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
