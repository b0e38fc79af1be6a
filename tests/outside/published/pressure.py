"""Published figures: pressure."""

ATMOSPHERE_BAR = 1.01325
PUBLISHED = {
    "C01-pressure": [({"pressure": 14.5038}, 1.0, 0.0001, "NIST SP 811: 1 bar = 14.5038 psi (from memory)")],
    "C01-psi": [({"pressure": 1}, 14.5038, 0.0001, "NIST SP 811: 1 bar = 14.5038 psi (from memory)")],
    "C01-absolute": [
        ({"gauge": 1.2, "atmosphere": ATMOSPHERE_BAR}, 221.325, 0.001, "[1.2b] definition: 1 bar = 100 kPa")
    ],
    "C01-psi_absolute": [
        ({"gauge": 12, "atmosphere": ATMOSPHERE_BAR}, 1.8406, 0.0005, "[1.2a] psi as coded in pint 0.25.3"),
    ],
    "C01-gauge": [
        ({"absolute": 250, "atmosphere": ATMOSPHERE_BAR}, 1.48675, 0.0001, "[1.2e] gauge = absolute - atmosphere"),
        (
            # 0.001 psi are 0.00007 bar.
            {"absolute": 14.696 * 6.894757, "atmosphere": ATMOSPHERE_BAR},
            0.0,
            0.00007,
            "[1.2d] the standard atmosphere, 14.696 psi absolute, is no gauge pressure",
        ),
    ],
}
