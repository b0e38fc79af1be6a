"""Published figures: strength, drinks and energy on the label."""

EU_BEER = "European Union: beer"
US_MALT = "United States: malt beverage"

PUBLISHED = {
    "C32-lowest": [
        ({"market": EU_BEER, "label": 5.5}, 5.5 - 0.5, 1e-4, "[8.1a] Regulation (EU) 1169/2011 Annex XII"),
        (
            {"market": "European Union: other drink", "label": 5.0},
            5.0 - 0.3,
            1e-4,
            "[8.1c] Regulation (EU) 1169/2011 Annex XII",
        ),
        ({"market": "United States: spirits", "label": 40}, 39.7, 1e-9, "[8.1e] 27 CFR 19.356: 39.7 to 40.3 % vol"),
        (
            {"market": "Australia or New Zealand: beer or cider", "label": 5.0},
            5.0 - 0.3,
            1e-4,
            "[8.1f] FSANZ Standard 2.7.1 (from memory)",
        ),
    ],
    # Above 0 the label passes, below 0 it fails; the sign is the published verdict, the size is |a - a_l| by hand.
    "C32-room": [
        (
            {"market": EU_BEER, "label": 5.0, "measured": 5.4},
            0.5 - 0.4,
            1e-9,
            "[8.1g] Regulation (EU) 1169/2011 Annex XII: 0.4 is within 0.5, a pass",
        ),
        (
            {"market": US_MALT, "label": 5.0, "measured": 5.4},
            0.3 - 0.4,
            1e-9,
            "[8.1h] 27 CFR 7.65: 0.4 is more than 0.3, a fail",
        ),
    ],
    "C32-uk_units": [
        ({"volume": 568, "strength": 4.0}, 2.3, 0.05, "[8.2b] alcoholchange.org.uk, Alcohol units: a pint at 4 %"),
        ({"volume": 330, "strength": 5.0}, 1.7, 0.06, "[8.2c] alcoholchange.org.uk, Alcohol units: a bottle at 5 %"),
        ({"volume": 35, "strength": 40}, 1.4, 0.001, "[8.2g] encyclopaedia article on the standard drink"),
    ],
    "C32-standard_drinks": [
        (
            {"volume": 375, "strength": 4.8, "country": "Australia (10 g)"},
            1.42,
            0.01,
            "[8.2d] FSANZ Standard 2.7.1: 10 g of ethanol",
        ),
        (
            {"volume": 30, "strength": 40, "country": "Australia (10 g)"},
            0.95,
            0.005,
            "[8.2e] encyclopaedia article on the standard drink",
        ),
    ],
    "C32-us_drinks": [
        ({"volume": 12, "strength": 5.0}, 1.0, 0.001, "[8.2f] encyclopaedia article on the standard drink"),
    ],
    "C32-energy": [
        (
            {"strength": 12, "carbohydrate": 0, "protein": 0},
            275.0,
            0.6,
            "[8.3a] help.scantrust.com, energy on an electronic label, worked example: the alcohol's share",
        ),
        (
            {"strength": 5.0, "carbohydrate": 3.2, "protein": 0.4},
            175.6,
            0.2,
            "[8.3c] Regulation (EU) 1169/2011 Annex XIV, factors 29 and 17",
        ),
    ],
    "C32-calories": [
        (
            {"strength": 5.0, "carbohydrate": 3.2, "protein": 0.4},
            42.0,
            0.1,
            "[8.3d] Regulation (EU) 1169/2011 Annex XIV, factors 7 and 4",
        ),
    ],
    "C32-cider": [
        (
            {"strength": 12, "sugar": 3, "acid": 6, "polyols": 7},
            294.5,
            0.5,
            "[8.3b] Regulation (EU) 1169/2011 Annex XIV on the inputs of the example at help.scantrust.com",
        ),
    ],
}
