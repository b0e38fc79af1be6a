"""Published figures: hot water."""

PUBLISHED = {
    "C21-hot_water": [
        ({"volume": 0.01, "temperature": 72}, 0.9766, 0.0002, "[2.1d] density by IAPWS-95 as coded in CoolProp 8.0.0")
    ],
    "C21-heat": [
        (
            {"mass": 3600, "start": 69.5, "end": 70.5},
            4.19,
            0.005,
            "[2.1e] specific heat at 70 °C by IAPWS-95 as coded in CoolProp 8.0.0: 3600 kg by one degree",
        ),
    ],
}
