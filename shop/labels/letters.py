"""How high letters must be at least, by place, size of the bag and what is in it."""

from shop.labels.places import Place

# Helvetica, in thousandths of its size: height of x and of capitals and figures (the Adobe metrics
# of the 14 fonts every PDF reader has; from memory). Figures are a hair lower: 703 counts.
X_OF_SIZE, FIGURE_OF_SIZE = 523, 703
POINT_UM = 25_400 / 72


def least_x(place: Place, face_mm2: int) -> int:
    """Least height of the letter x [um] on a bag whose largest side has `face_mm2` [mm²]."""
    small = face_mm2 < place.letters["small_face_mm2"]
    return int(place.letters["small_x_height_um" if small else "x_height_um"])


def least_figures(place: Place, net_mg: int, face_mm2: int) -> int:
    """Least height of the net quantity's figures [um]: by mass in Europe, by front in the US."""
    if "front" in place.letters:
        return int(next(high for area, high in place.letters["front"] if face_mm2 <= area))
    return int(next(high for grams, high in place.letters["figures"] if net_mg <= grams * 1000))


def size_for_x(high_um: int) -> float:
    """Size of Helvetica [pt] whose x is `high_um` high; rounded up to a tenth.

    >>> size_for_x(1200), size_for_x(1588)
    (6.6, 8.7)
    """
    return _up(high_um * 1000 / X_OF_SIZE / POINT_UM)


def size_for_figures(high_um: int) -> float:
    """Size of Helvetica [pt] whose figures are `high_um` high; rounded up to a tenth.

    >>> size_for_figures(3000)
    12.1
    """
    return _up(high_um * 1000 / FIGURE_OF_SIZE / POINT_UM)


def x_of(size_pt: float) -> float:
    """Height of x [um] at a size [pt]."""
    return size_pt * POINT_UM * X_OF_SIZE / 1000


def figures_of(size_pt: float) -> float:
    """Height of figures [um] at a size [pt]."""
    return size_pt * POINT_UM * FIGURE_OF_SIZE / 1000


def _up(size_pt: float) -> float:
    return -(-round(size_pt * 1000) // 100) / 10
