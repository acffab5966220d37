"""Whole-number arithmetic that Python and JavaScript share."""


def half_up(n: int, d: int) -> int:
    """n/d rounded to the nearest whole number, halves upwards (d > 0).

    >>> half_up(5, 2), half_up(-5, 2), half_up(7, 3)
    (3, -2, 2)
    """
    return (2 * n + d) // (2 * d)
