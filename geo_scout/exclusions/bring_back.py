"""Numbers printed as a way back: rounded to the side on which the site does come back."""


def just_below(value: float, decimals: int) -> float:
    """Return the largest number of that many decimals that is not above the value.

    >>> just_below(0.19996, 4), just_below(0.29, 4)
    (0.1999, 0.29)
    """
    rounded = round(float(value), decimals)
    return rounded if rounded <= value else round(rounded - 10.0**-decimals, decimals)


def just_above(value: float, decimals: int) -> float:
    """Return the smallest number of that many decimals that is not below the value.

    >>> just_above(0.05001, 4), just_above(0.29, 4)
    (0.0501, 0.29)
    """
    return -just_below(-float(value), decimals)
