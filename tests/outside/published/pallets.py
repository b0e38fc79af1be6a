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
    "C16-pallets": [
        ({"units": 52000, "case": 24, "pallet": 56}, 39, 0, "[7.11b] arithmetic: 38 full pallets and 39 cases")
    ],
}
