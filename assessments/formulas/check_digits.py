"""Check digits of bar code numbers."""


def weighted_sum(body_digits: str, first_weight: int = 3) -> int:
    r"""Return the weighted sum behind a GS1 check digit.

    .. math:: S = 3 d_n + 1 d_{n-1} + 3 d_{n-2} + \ldots

    Parameters
    ----------
    body_digits : str
        The digits before the check digit [digits]
    first_weight : int
        Weight of the digit next to the check digit, 3 by the standard, 1 when taken from the wrong end [1]

    Returns
    -------
    int
        Weighted sum, S [1]

    Raises
    ------
    ValueError
        When it is not 7 to 17 digits.

    Notes
    -----
    Valid for GTIN-8, -12, -13, -14 and SSCC: 7 to 17 digits.

    Examples
    --------
    >>> weighted_sum("200012345678")
    78

    References
    ----------
    [GS1] weights 3 and 1.
    """
    if not (body_digits.isascii() and body_digits.isdigit() and 7 <= len(body_digits) <= 17):
        raise ValueError("Give the 7 to 17 digits before the check digit.")
    weights = (first_weight, 4 - first_weight)
    return sum(int(digit) * weights[place % 2] for place, digit in enumerate(reversed(body_digits)))


def check_digit(body_digits: str) -> int:
    r"""Return the GS1 check digit.

    .. math:: c = (10 - S \bmod 10) \bmod 10

    Parameters
    ----------
    body_digits : str
        The digits before the check digit [digits]

    Returns
    -------
    int
        Check digit, 0 to 9 [1]

    Raises
    ------
    ValueError
        When it is not 7 to 17 digits.

    Notes
    -----
    Valid for GTIN-8, -12, -13, -14 and SSCC: 7 to 17 digits.

    Examples
    --------
    >>> check_digit("200012345678")
    2

    References
    ----------
    [GS1] difference to the next ten.
    """
    return (10 - weighted_sum(body_digits) % 10) % 10
