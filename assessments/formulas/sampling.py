"""Sampling of batches: how many packs, how many defectives, and the test of the mean."""

import math
from bisect import bisect_left
from dataclasses import dataclass

from assessments.vocabulary import gettext_noop as _


@dataclass(frozen=True, slots=True)
class DoublePlan:
    """Packs drawn at a time, and the defectives that accept and refuse after one sample and after both."""

    drawn: int
    accepted: int
    refused: int
    accepted_of_both: int
    refused_of_both: int


OPENED = _("packs are opened")
WHOLE = _("packs stay whole")

#: Largest batch of a row, then its plan.
DOUBLE_PLANS = (
    (500, DoublePlan(30, 1, 3, 4, 5)),
    (3200, DoublePlan(50, 2, 5, 6, 7)),
    (10_000, DoublePlan(80, 3, 7, 8, 9)),
)
#: Packs opened in a destructive test, and the defectives that accept and refuse.
OPENED_PLAN = (20, 1, 2)

#: Student's t by plan and packs drawn: the quantile of n - 1 degrees of freedom.
STUDENT = {
    _("Europe: 20 packs opened (t = 2.861)"): (20, 2.861),
    _("Europe: 30 packs (t = 2.756)"): (30, 2.756),
    _("Europe: 50 packs (t = 2.680)"): (50, 2.68),
    _("OIML: 80 packs (t = 2.640)"): (80, 2.64),
    _("OIML: 125 packs (t = 2.616)"): (125, 2.616),
    _("United States: 12 packs (t = 2.201)"): (12, 2.201),
    _("United States: 24 packs (t = 2.069)"): (24, 2.069),
    _("United States: 48 packs (t = 2.012)"): (48, 2.012),
}
#: The factors on the standard deviation as the European plan prints them: largest batch, packs drawn, factor.
MEAN_FACTORS = ((500, 30, 0.503), (10_000, 50, 0.379))


def double_plan(batch_count: float) -> DoublePlan:
    r"""Return the double sampling plan of a batch whose packs stay whole.

    .. math:: n_1, c_1, r_1, \quad n_1 + n_2, c_2, r_2 \text{ by the row of the batch}

    Parameters
    ----------
    batch_count : float
        Packs in the batch [1]

    Returns
    -------
    DoublePlan
        Packs drawn and limits [1]

    Raises
    ------
    ValueError
        Outside 100 to 10 000 packs.

    Notes
    -----
    Valid for 100 to 10 000 packs, an hour's output. A defective holds less than Q_n - TNE.

    Examples
    --------
    >>> double_plan(1200.0).refused
    5

    References
    ----------
    [DIR-76-211-II] 2.2.1.
    """
    return DOUBLE_PLANS[_row(batch_count, [bound for bound, _ in DOUBLE_PLANS])][1]


def refusing_count(batch_count: float, test: str) -> int:
    r"""Return how many defectives in the first sample refuse a batch at once.

    .. math:: r_1 \text{ by the row of the batch}

    Parameters
    ----------
    batch_count : float
        Packs in the batch [1]
    test : str
        `WHOLE` or `OPENED` [word]

    Returns
    -------
    int
        Defectives, r_1 [1]

    Raises
    ------
    ValueError
        Outside 100 to 10 000 packs, or when the test is neither.

    Notes
    -----
    Valid for 100 to 10 000 packs; opened packs have one plan for every batch.

    Examples
    --------
    >>> refusing_count(1200.0, WHOLE)
    5

    References
    ----------
    [DIR-76-211-II] 2.2.1 and 2.2.2.
    """
    plan = double_plan(batch_count)
    if test not in {WHOLE, OPENED}:
        raise ValueError("Say whether the packs are opened or stay whole.")
    return plan.refused if test == WHOLE else OPENED_PLAN[2]


def second_sample_count(batch_count: float, found_count: float) -> int:
    r"""Return how many defectives the second sample may hold at most for the batch to be accepted.

    .. math:: d_2 \le c_2 - d_1

    Parameters
    ----------
    batch_count : float
        Packs in the batch [1]
    found_count : float
        Defectives in the first sample, d_1 [1]

    Returns
    -------
    int
        Most defectives in the second sample [1]

    Raises
    ------
    ValueError
        Outside 100 to 10 000 packs, or when the first sample already decides.

    Notes
    -----
    Valid for packs that stay whole, where the first sample neither accepts nor refuses.

    Examples
    --------
    >>> second_sample_count(1200.0, 3.0)
    3

    References
    ----------
    [DIR-76-211-II] 2.2.1.
    """
    plan = double_plan(batch_count)
    if not plan.accepted < found_count < plan.refused:
        raise ValueError("The first sample decides already: there is no second.")
    return plan.accepted_of_both - int(found_count)


def student_factor(plan: str) -> float:
    r"""Return the factor on the standard deviation in a test of the mean.

    .. math:: k = \frac{t_{n-1}}{\sqrt{n}}

    Parameters
    ----------
    plan : str
        A plan of `STUDENT`: market and packs drawn [word]

    Returns
    -------
    float
        Factor, k [1]

    Raises
    ------
    ValueError
        When there is no such plan.

    Notes
    -----
    Valid for the plans listed, t one-sided at 99.5 % for Europe and OIML and at 97.5 % for the United States. The
    last two come from memory, and are held against the distribution itself.

    Examples
    --------
    >>> round(student_factor("Europe: 30 packs (t = 2.756)"), 3)
    0.503

    References
    ----------
    [SI-2006-659] Schedule 2: the European factors.
    [OIML-R87] sampling plans.
    [NIST-HB133] Table 2-1.
    """
    if plan not in STUDENT:
        raise ValueError("There is no such plan.")
    drawn, student = STUDENT[plan]
    return student / math.sqrt(drawn)


def mean_factor(batch_count: float) -> float:
    r"""Return the factor on the standard deviation that the European plan prints for a batch.

    .. math:: k = 0.503 \text{ up to } 500, \; 0.379 \text{ above}

    Parameters
    ----------
    batch_count : float
        Packs in the batch [1]

    Returns
    -------
    float
        Factor, k [1]

    Raises
    ------
    ValueError
        Outside 100 to 10 000 packs.

    Notes
    -----
    Valid for 100 to 10 000 packs that stay whole: 30 are drawn up to 500, 50 above.

    Examples
    --------
    >>> mean_factor(1200.0)
    0.379

    References
    ----------
    [DIR-76-211-II] 2.3.
    """
    return MEAN_FACTORS[_row(batch_count, [bound for bound, _, _ in MEAN_FACTORS])][2]


def mean_margin_ml(nominal_ml: float, batch_count: float, mean_ml: float, deviation_ml: float) -> float:
    r"""Return by how much the mean of a sample lies above the least that accepts its batch.

    .. math:: a = \bar{x} - (Q_n - k s)

    Parameters
    ----------
    nominal_ml : float
        Nominal content, Q_n [mL]
    batch_count : float
        Packs in the batch [1]
    mean_ml : float
        Mean content of the sample [mL]
    deviation_ml : float
        Standard deviation of the sample, over n - 1, s [mL]

    Returns
    -------
    float
        Margin, negative when the batch is refused [mL]

    Raises
    ------
    ValueError
        Outside 100 to 10 000 packs, or when a content or s is not above 0.

    Notes
    -----
    Valid for 100 to 10 000 packs that stay whole. The batch must also keep its number of defectives.

    Examples
    --------
    >>> round(mean_margin_ml(330.0, 1200.0, 329.5, 1.8), 2)
    0.18

    References
    ----------
    [DIR-76-211-II] 2.3.
    """
    if min(nominal_ml, mean_ml, deviation_ml) <= 0:
        raise ValueError("The contents and the standard deviation must be above 0 mL.")
    return mean_ml - (nominal_ml - mean_factor(batch_count) * deviation_ml)


def _row(batch_count: float, bounds: list[int]) -> int:
    if not 100 <= batch_count <= bounds[-1]:
        raise ValueError("A batch holds 100 to 10 000 packs.")
    return bisect_left(bounds, batch_count)
