"""What each post at the demo plant asks its holder to be signed off on, and who holds which post.

A place is written `code` for the site, `code@line` for a line and `code@line/machine` for a machine.
"""

from collections.abc import Iterable, Mapping

from competencies.standing.facts import Scope

Key = tuple[str, Scope]

ENTRY = "HS-01 HS-10"
CLEANING = "HS-05 CP-02@CE"
BREWING = "HS-04 HS-05 HS-03@BR/M1 RM-01 RM-02@BR/M1 RM-03 BH-07 BH-01@BR BH-02@BR BH-03@BR BH-04@BR BH-05@BR BH-06@BR"
CELLAR = "HS-04 HS-03@CE/K1 BH-07 FC-02 FC-03@CE FC-06@CE FB-06@CE"
FILTER = "HS-03@CE/K1 BH-07 FB-01@CE/K1 FB-02@CE/K1 FB-05@CE/D1"
BOTTLES = "HS-02@L1 HS-03@L1/F1 CP-03@L1/F1 QC-03@L1 PK-01@L1 PK-04@L1/F1 PK-10@L1/F1 LC-03@L1/J1"
CANS = "HS-02@L2 HS-03@L2/C1 CP-03@L2/C1 QC-03@L2 QC-04@L2/S1 PK-05@L2/C1 PK-06@L2/S1 PK-07@L2/T1 PK-10@L2/C1"
KEGS = "HS-03@L3/K1 PK-08@L3/K1 LC-06@L3/Q1"
PACKING = "HS-02@L1 HS-03@L1/F1 PK-10@L1/F1 HS-08@L1 LC-01@L1 LC-05@L1/P1 LC-06@L1/Q1"
CLEANER = "HS-03@L1/F1 CP-01 CP-02@BR CP-03@L1/F1 CP-04 CP-07"
LABORATORY = "QC-01 QC-02 QC-03@L1 QC-03@L2 QC-04@L2/S1 QC-06 QC-08 CP-04"
WAREHOUSE = "WH-01@WD/T1 WH-02@WD/T1 WH-03 WH-04 WH-06"

BOTTLE_POST = (ENTRY, CLEANING, BOTTLES)
CAN_POST = (ENTRY, CLEANING, CANS)
BREW_POST = (ENTRY, BREWING)

# Who was at work when the record was begun, by employee number, and what they are signed off on from its first weeks.
FOUNDERS: Mapping[str, tuple[str, ...]] = {
    "1002": (
        ENTRY,
        "HS-04 HS-05 HS-07 HS-02@L1 HS-02@L2 HS-08@L1 HS-08@L2 HS-09@L1 QC-08",
        "HS-03@BR/M1 HS-03@CE/K1 HS-03@L1/F1 HS-03@L2/C1 HS-03@L3/K1 HS-06",
        WAREHOUSE,
        "WH-05 TR-01 TR-02",
    ),
    "1003": (
        ENTRY,
        CLEANING,
        LABORATORY,
        "BH-07 QC-05@L1/F1 QC-07 CP-01 CP-06 CP-07 HS-08@L1 HS-08@L2",
        "LC-01@L1 LC-01@L2 LC-03@L1/J1 LC-03@L2/J1 LC-04 LC-07@L1",
    ),
    "1004": (
        ENTRY,
        BREWING,
        CLEANING,
        CELLAR,
        "BH-08@BR RM-04 RM-05 CP-02@BR CP-01 CP-04 QC-01 QC-02 QC-03@L1 QC-06 QC-08 FC-01@CE FC-04@CE FC-05 FC-07@CE",
        "HS-02@L1 HS-08@L1 HS-09@BR LC-01@L1 LC-02@L1/A1 LC-03@L1/J1",
    ),
    "1005": (
        ENTRY,
        CLEANING,
        BOTTLES,
        CANS,
        KEGS,
        PACKING,
        "HS-04 HS-09@L1 CP-01 CP-04 QC-01 QC-08 BH-07 HS-08@L2 PK-01@L2 PK-02@L1/R1 PK-03@L1/E1 PK-09@L1 PK-11@L2/T1",
        "QC-05@L1/F1 LC-01@L2 LC-02@L1/A1 LC-03@L2/J1 LC-04 LC-05@L2/P1 LC-06@L2/Q1 LC-07@L1",
    ),
    "1006": (
        ENTRY,
        CLEANING,
        FILTER,
        "HS-04 HS-06 HS-07 HS-03@BR/M1 HS-03@L1/F1 HS-03@L2/C1 CP-01 CP-02@BR CP-03@L1/F1 CP-03@L2/C1",
        "CP-04 CP-05 CP-06 CP-07 QC-01 QC-02 QC-08 FB-03@CE/K1 FB-04@CE/G1 FB-06@CE FB-07@CE HS-09@CE",
    ),
    "1007": (*BOTTLE_POST, CANS, "PK-03@L1/E1"),
    "1008": CAN_POST,
    "1009": CAN_POST,
    "1010": (ENTRY, PACKING, "WH-01@WD/T1 WH-03"),
    "1011": BREW_POST,
    "1012": (*BREW_POST, "HS-09@BR BH-08@BR"),
    "1013": (ENTRY, CLEANING, CELLAR),
    "1014": (
        ENTRY,
        CLEANING,
        CELLAR,
        FILTER,
        "RM-03 QC-01 QC-02 QC-08 FB-04@CE/G1 FB-07@CE FC-04@CE FC-07@CE",
    ),
    "1015": (ENTRY, CLEANING, FILTER),
    "1016": (ENTRY, CLEANING, FILTER, "CP-04"),
    "1017": (ENTRY, CLEANING, CLEANER, "HS-03@L2/C1 CP-03@L2/C1 CP-05"),
    "1018": (ENTRY, CLEANING, CLEANER),
    "1019": (ENTRY, LABORATORY, "BH-07"),
    "1020": (ENTRY, LABORATORY, "BH-07 QC-07"),
    "1021": (*BOTTLE_POST, "PK-03@L1/E1"),
    "1022": BOTTLE_POST,
    "1023": (
        ENTRY,
        CLEANING,
        BOTTLES,
        CANS,
        KEGS,
        "HS-08@L1 LC-01@L1 QC-08 PK-01@L2 PK-03@L1/E1 PK-09@L1 PK-11@L2/T1",
    ),
    "1024": (*BOTTLE_POST, CANS, KEGS),
    "1025": (ENTRY, PACKING),
    "1026": (ENTRY, PACKING),
    "1027": (
        ENTRY,
        PACKING,
        "HS-02@L2 HS-03@L2/C1 PK-10@L2/C1 HS-08@L2 LC-01@L2 LC-02@L1/A1 LC-03@L1/J1 LC-03@L2/J1 LC-04",
        "LC-05@L2/P1 LC-06@L2/Q1 LC-07@L1",
    ),
    "1028": (ENTRY, PACKING),
    "1029": (ENTRY, WAREHOUSE, "QC-08 WH-05"),
    "1030": (ENTRY, WAREHOUSE),
    "1031": (ENTRY, WAREHOUSE),
    "1032": (ENTRY, WAREHOUSE),
    "1033": CAN_POST,
    "1034": CAN_POST,
    "1035": (*BOTTLE_POST, KEGS),
    "1036": CAN_POST,
    "1037": BREW_POST,
    "1038": BREW_POST,
    "1039": (ENTRY, "HS-04 BH-07"),
    "1040": (ENTRY, "HS-05"),
}


def parsed(text: str) -> Key:
    """Return the key that `code@line/machine` stands for."""
    code, _, place = text.partition("@")
    return code, Scope.parse(place)


def keys_of(post: Iterable[str]) -> tuple[Key, ...]:
    """Return the keys of a post, each once, in the order written."""
    return tuple(dict.fromkeys(parsed(text) for part in post for text in part.split()))
