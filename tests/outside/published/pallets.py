"""Published figures: pallets and stock."""

PUBLISHED = {
    "C16-stock": [
        (
            {"full": 1, "layers": 7, "cases": 8, "units": 24, "part_cases": 0},
            1344,
            0,
            "[7.11a] arithmetic: 8 cases by 7 layers by 24 bottles",
        ),
    ],
    "C38-layers": [
        (
            {"units": 52000, "case": 24, "layer": 8, "layers": 7},
            5,
            0,
            "[7.11b, 7.11c] arithmetic: 39 cases on the part pallet, 8 to the layer",
        ),
    ],
    "C38-mass": [
        (
            {"layer": 8, "layers": 7, "case": 17.5, "empty": 25},
            1005,
            1e-9,
            "arithmetic, by hand: 56 cases of 17.5 kg are 980 kg, and 25 kg of wood",
        ),
    ],
    "C16-pallets": [
        ({"units": 52000, "case": 24, "pallet": 56}, 39, 0, "[7.11b] arithmetic: 38 full pallets and 39 cases")
    ],
}
