"""What a coordinator tells of a calculation, and its form as it is kept."""

from collections.abc import Mapping
from dataclasses import asdict, dataclass
from typing import Any

from assessments.calculations import cautions
from assessments.vocabulary import Family, HowKnown

CAUTIONS: Mapping[str, str] = {name: text for name, text in vars(cautions).items() if name.isupper()}
MOST_GIVENS, MOST_STEPS, MOST_SLIPS, LEAST_SLIPS = 8, 6, 8, 2


@dataclass(frozen=True, slots=True, kw_only=True)
class GivenTold:
    """One given: its symbol, what it is, and the range from which problems draw it, read to a resolution.

    `unit` is "" for a plain number. An exact one is counted or set, not measured.
    """

    symbol: str
    says: str
    unit: str
    low: float
    high: float
    resolution: float
    is_exact: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class StepTold:
    """One step: a symbol, what it finds, its formula and unit, and to how many decimals it is given."""

    symbol: str
    says: str
    formula: str
    unit: str
    decimals: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SlipTold:
    """A usual mistake: its name, how to avoid it, and the formula used in place of a step or a given."""

    name: str
    advice: str
    replaces: str
    formula: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Described:
    """A calculation of the plant, as it was told; the last step finds the answer.

    `code` is what tasks ask for it by, and `version` counts what was published under it. `cautions` are keys of
    CAUTIONS.
    """

    code: str
    version: int
    title: str
    family: Family
    asks: str
    givens: tuple[GivenTold, ...]
    steps: tuple[StepTold, ...]
    slips: tuple[SlipTold, ...]
    valid_for: str
    source: str
    how_known: HowKnown
    cautions: tuple[str, ...] = ()
    round_up: bool = False

    @property
    def full_code(self) -> str:
        """Return the code that problems and answers carry: it names the version, so that they can be read for ever."""
        return f"{self.code}-v{self.version}"


def as_kept(described: Described) -> dict[str, Any]:
    """Return what was told as it is kept, without code and version, which are kept beside it."""
    kept = asdict(described)
    del kept["code"], kept["version"]
    return {**kept, "family": described.family.value, "how_known": described.how_known.value}


def from_kept(kept: Mapping[str, Any], *, code: str, version: int) -> Described:
    """Return what was told from what is kept."""
    return Described(
        **{
            **kept,
            "code": code,
            "version": version,
            "family": Family(kept["family"]),
            "how_known": HowKnown(kept["how_known"]),
            "givens": tuple(GivenTold(**each) for each in kept["givens"]),
            "steps": tuple(StepTold(**each) for each in kept["steps"]),
            "slips": tuple(SlipTold(**each) for each in kept["slips"]),
            "cautions": tuple(kept["cautions"]),
        }
    )
