"""Currents in two flat strips, out and back, by filaments: each has its resistance and is coupled to every other.

The mean logarithm of the distance between two filaments is that of their middles, or of 256 pairs of points where they
are near; of one with itself that of a rectangle, 0.2235 (a + b) (Maxwell, recalled).
"""

import numpy as np

MU0 = 4e-7 * np.pi
RESISTIVITY = 1 / 58e6
"""Annealed copper, IEC 60028."""
ACROSS, THROUGH = 44, 6
"""Filaments over the width and the thickness, finer towards the edges."""
AT = np.array([-0.8611363116, -0.3399810436, 0.3399810436, 0.8611363116]) / 2
WEIGHT = np.array([0.3478548451, 0.6521451549, 0.6521451549, 0.3478548451]) / 2


def resistance_ratios(width_m, gap_m, thickness_m, frequencies_hz):
    """Resistance of either strip over its direct-current resistance, at each frequency."""
    x, y, wide, high = filaments(width_m, thickness_m)
    near = mean_logarithms(x, y, wide, high)
    # the other strip carries the same current back, mirrored at the middle of the gap
    far = np.log(np.hypot(x[:, None] + gap_m + x, y[:, None] - y))
    mutual = -MU0 / (2 * np.pi) * (near - far)
    area = wide * high
    direct = RESISTIVITY / (width_m * thickness_m)
    found = []
    for hertz in frequencies_hz:
        currents = np.linalg.solve(np.diag(RESISTIVITY / area) + 2j * np.pi * hertz * mutual, np.ones(x.size))
        found.append((1 / currents.sum()).real / direct)
    return np.array(found)


def filaments(width_m, thickness_m):
    """Middles and sizes of the filaments of one strip whose near edge is at 0."""
    across, through = (
        size * (1 - np.cos(np.pi * np.arange(n + 1) / n)) / 2 for size, n in ((width_m, ACROSS), (thickness_m, THROUGH))
    )
    x, y = np.meshgrid((across[1:] + across[:-1]) / 2, (through[1:] + through[:-1]) / 2)
    wide, high = np.meshgrid(np.diff(across), np.diff(through))
    return x.ravel(), y.ravel(), wide.ravel(), high.ravel()


def mean_logarithms(x, y, wide, high):
    apart = np.hypot(x[:, None] - x, y[:, None] - y)
    size = np.maximum(wide, high)
    found = np.log(np.where(apart > 0, apart, 1.0))
    one, other = np.nonzero((apart > 0) & (apart < 3 * np.maximum(size[:, None], size)))
    points = [(a, b, u * v) for a, u in zip(AT, WEIGHT, strict=True) for b, v in zip(AT, WEIGHT, strict=True)]
    found[one, other] = sum(
        u * v * np.log(np.hypot(
            x[one] + a * wide[one] - x[other] - c * wide[other], y[one] + b * high[one] - y[other] - d * high[other]
        ))
        for a, b, u in points
        for c, d, v in points
    )  # fmt: skip
    np.fill_diagonal(found, np.log(0.2235 * (wide + high)))
    return found
