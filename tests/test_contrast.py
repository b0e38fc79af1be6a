"""Whether everyone can read the pages: contrast of the colours in tokens.css, in the light and in the dark theme.

Source of the measure and of the limits: W3C, Web Content Accessibility Guidelines (WCAG) 2.2, definitions "relative
luminance" and "contrast ratio"; success criteria 1.4.3 (text, 4.5:1) and 1.4.11 (shapes and edges, 3:1).
"""

import re

import pytest
from django.conf import settings

from competencies.vocabulary import Standing

TOKENS = (settings.BASE_DIR / "static" / "css" / "tokens.css").read_text()
SITE = (settings.BASE_DIR / "static" / "css" / "site.css").read_text()
TEXT, SHAPE = 4.5, 3.0
GROUNDS = ["page", "sheet", "sheet-2"]
TONES = ["good", "calm", "warn", "stop", "mute", "held"]

PAIRS = [
    *[(ink, ground, TEXT) for ink in ("ink", "ink-soft", "link") for ground in GROUNDS],
    *[(line, ground, SHAPE) for line in ("rule-strong", "focus", "action") for ground in GROUNDS],
    ("on-action", "action", TEXT),
    ("on-action", "action-hover", TEXT),
    ("page", "rule-ink", TEXT),
    *[("on-enamel", ground, TEXT) for ground in ("enamel", "enamel-deep")],
    *[("on-enamel-soft", ground, SHAPE) for ground in ("enamel", "enamel-deep")],
    *[("focus-on-enamel", ground, SHAPE) for ground in ("enamel", "enamel-deep")],
    *[("copper-bright", ground, SHAPE) for ground in ("enamel", "enamel-deep")],
    ("on-caution", "caution", TEXT),
    ("caution-edge", "page", SHAPE),
    *[(f"{tone}-ink", f"{tone}-paper", TEXT) for tone in TONES],
    *[(f"{tone}-line", ground, SHAPE) for tone in TONES for ground in (f"{tone}-paper", *GROUNDS)],
    *[("stop-ink", ground, TEXT) for ground in GROUNDS],
    *[(f"standing-{value}-ink", f"standing-{value}-paper", TEXT) for value in Standing],
    *[(f"standing-{value}-line", f"standing-{value}-paper", SHAPE) for value in Standing],
    *[(f"standing-{value}-line", ground, SHAPE) for value in Standing for ground in GROUNDS],
]


def declared(selector):
    """Return the custom properties that a rule sets."""
    body = re.search(re.escape(selector) + r"\s*\{(.*?)\}", TOKENS, flags=re.DOTALL).group(1)
    return dict(re.findall(r"--([\w-]+):\s*([^;]+);", body))


LIGHT = declared(":root")
DARK_BY_DEVICE = declared(':root:not([data-theme="light"])')
DARK_BY_CHOICE = declared(':root[data-theme="dark"]')
THEMES = {"light": LIGHT, "dark": {**LIGHT, **DARK_BY_CHOICE}}


def colour(name, theme):
    """Return red, green and blue from 0 to 1, following a token that stands for another."""
    value = theme[name]
    other = re.fullmatch(r"var\(--([\w-]+)\)", value)
    if other:
        return colour(other.group(1), theme)
    return tuple(int(value[n : n + 2], 16) / 255 for n in (1, 3, 5))


def luminance(rgb):
    linear = [part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in rgb]
    return sum(weight * part for weight, part in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


def contrast(one, other):
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def test_the_measure_gives_the_ends_of_its_scale():
    # WCAG 2.2, "contrast ratio", note 1: ratios range from 1 to 21.
    assert contrast((0, 0, 0), (1, 1, 1)) == pytest.approx(21)
    assert contrast((0.3, 0.3, 0.3), (0.3, 0.3, 0.3)) == pytest.approx(1)


def test_the_measure_gives_the_well_known_limit_grey():
    # From memory: #767676 is the lightest grey that reaches 4.5:1 on white, #777777 is the first that does not.
    assert contrast((0x76 / 255,) * 3, (1, 1, 1)) == pytest.approx(4.54, abs=0.005)
    assert contrast((0x77 / 255,) * 3, (1, 1, 1)) < TEXT


@pytest.mark.parametrize("theme", THEMES)
@pytest.mark.parametrize(("front", "ground", "least"), PAIRS, ids=str)
def test_colours_stand_out_enough(theme, front, ground, least):
    ratio = contrast(colour(front, THEMES[theme]), colour(ground, THEMES[theme]))

    assert ratio >= least, f"{front} on {ground} is {ratio:.2f}:1"


def test_dark_by_device_and_dark_by_choice_are_the_same():
    assert DARK_BY_DEVICE == DARK_BY_CHOICE


def test_dark_sets_every_colour_that_light_sets():
    colours = {name for name, value in LIGHT.items() if value.startswith("#")}

    assert colours - set(DARK_BY_CHOICE) == set()


@pytest.mark.parametrize("value", list(Standing))
def test_every_standing_has_its_tone(value):
    assert {f"standing-{value}-{part}" for part in ("ink", "paper", "line")} <= set(LIGHT)
    assert f".standing-{value} {{" in SITE


def test_parts_take_their_colours_from_the_tokens():
    allowed = {"#000", "#fff"}  # paper, in the part for a browser's own print
    on_screen = SITE.split("@media print")[0]

    assert re.findall(r"#[0-9a-fA-F]{3,8}\b(?=[^{]*;)", on_screen) == []
    assert set(re.findall(r"#[0-9a-fA-F]{3,8}\b(?=[^{]*;)", SITE)) <= allowed


def test_parts_use_only_tokens_that_exist():
    used = set(re.findall(r"var\(--([\w-]+)\)", SITE))
    own = {"tone-ink", "tone-paper", "tone-line"}

    assert used - set(LIGHT) - own == set()
