"""Pairs of solids whose closest points are known beforehand: writes solids.csv.

    python3 solids.py        (needs mpmath)

Two convex solids on either side of two parallel planes, each touching its own plane at one point, the two points facing each
other square to the planes, are as far apart as the planes. So a point and a normal of the first solid are chosen, the gap is
measured out along it, and the second solid is built behind the far plane so that it touches it there. The wheel's axis is y.
"""

from swing import *


def turn_by(rng):
    """A rotation matrix of three turns."""
    m = matrix([[1, 0, 0], [0, 1, 0], [0, 0, 1]])
    for axis in ([1, 0, 0], [0, 1, 0], [0, 0, 1]):
        m = m * about(matrix(axis), mpf(rng.uniform(-3, 3)))
    return m


def disc(rng):
    """A wheel, a point of it, and a normal there: on the rim, or at the corner of rim and side."""
    radius, half = mpf(rng.choice(["62.5", "75", "100"])), mpf(rng.choice(["10", "20"]))
    a = mpf(rng.uniform(-3, 3))
    out = matrix([cos(a), 0, sin(a)])
    lean = mpf(rng.uniform(0.05, 1.4)) * rng.choice([-1, 0, 1])
    normal = out * cos(lean) + matrix([0, 1, 0]) * sin(lean)
    aside = mpf(rng.uniform(-0.8, 0.8)) * half if lean == 0 else half * (1 if lean > 0 else -1)
    return {"first": "disc", "radius_mm": radius, "half_width_mm": half}, out * radius + matrix([0, 1, 0]) * aside, normal


def square_to(normal, rng):
    a = unit(cross(normal, matrix([mpf(rng.uniform(-1, 1)), mpf(rng.uniform(-1, 1)), mpf(2)])))
    return a * cos(mpf(rng.uniform(-3, 3))) + cross(normal, a) * sin(mpf(rng.uniform(-3, 3)))


def rod(prefix, point, normal, rng):
    """A rod beyond the plane through a point, touching it there: by an end, or by its side."""
    radius = mpf(rng.choice(["0", "6", "8.5"]))
    size = mpf(rng.uniform(20, 300))
    if rng.random() < 0.5:
        lean = mpf(rng.uniform(0.1, 1.5))
        along = normal * sin(lean) + unit(square_to(normal, rng)) * cos(lean)
        ends = (point + normal * radius, point + normal * radius + along * size)
    else:
        along = unit(square_to(normal, rng))
        share = mpf(rng.uniform(0.2, 0.8))
        middle = point + normal * radius
        ends = (middle - along * (size * share), middle + along * (size * (1 - share)))
    given_by = {f"{prefix}_radius_mm": radius}
    for i, end in enumerate(ends):
        for axis, value in zip("xyz", end):
            given_by[f"{prefix}_end{i}_{axis}"] = value
    return given_by


def block(prefix, point, normal, rng):
    """A block beyond the plane, touching it by a corner."""
    while True:
        m = turn_by(rng)
        axes = [m[:, i] for i in range(3)]
        axes = [a if dot(a, normal) > 0 else -a for a in axes]
        if min(dot(a, normal) for a in axes) > mpf("0.1"):
            break
    half = [mpf(rng.uniform(5, 60)) for _ in range(3)]
    centre = point + axes[0] * half[0] + axes[1] * half[1] + axes[2] * half[2]
    given_by = {}
    for axis, value in zip("xyz", centre):
        given_by[f"{prefix}_centre_{axis}"] = value
    for i in range(3):
        given_by[f"{prefix}_half_{i}"] = half[i]
        for axis, value in zip("xyz", axes[i]):
            given_by[f"{prefix}_axis{i}_{axis}"] = value
    return given_by


if __name__ == "__main__":
    rng = random.Random(53)
    table = Table("solids.csv")
    for number in range(1, 61):
        kind = ("disc-rod", "disc-block", "rod-block", "rod-rod", "block-block")[number % 5]
        gap = mpf(rng.choice(["0.001", "0.05", "1.5", "12", "150"]))
        one, other = kind.split("-")
        if one == "disc":
            text, point, normal = disc(rng)
        else:
            m = turn_by(rng)
            normal, point = m[:, 0], m[:, 1] * mpf(rng.uniform(10, 200))
            text = {"first": one}
            # The first solid lies behind its own plane: built as if it faced the other way.
            text.update((rod if one == "rod" else block)("first", point, -normal, rng))
        far = point + normal * gap
        text["second"] = other
        text.update((rod if other == "rod" else block)("second", far, normal, rng))
        printed = {k: v if isinstance(v, str) else nstr(v, 40, min_fixed=-4, max_fixed=6) for k, v in text.items()}
        table.give(f"{kind}-{number}", printed)
        # The walk between the solids without their rounding ends at 1e-11 of the square of their distance; coordinates
        # have last bits of 1e-14 mm.
        apart = gap + sum(v for k, v in text.items() if k in ("first_radius_mm", "second_radius_mm"))
        table.find(f"{kind}-{number}", {"gap_mm": gap}, {"gap_mm": apart * mpf(10) ** -11 + mpf(10) ** -12})
    table.close()
