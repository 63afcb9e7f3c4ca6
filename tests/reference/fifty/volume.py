"""What a rolled gouge loses from a square end: the integral of where steel begins over the section, by quadrature. Writes
volume.csv.

    python3 volume.py        (needs mpmath; a minute or two)

Where steel begins is found by Newton's iteration on the distance from the wheel's circle, turned to hold the ray's point.
"""

from swing import *


def volume(c, digits):
    grind = Grind(c)
    radius, top = c["bar_mm"] / 2, wing_top(c)
    near = [grind.start(c["floor_mm"], mpf(0))[0]]
    axis, centre = grind.axis, grind.centre
    across = cross(axis, grind.plane)
    if dot(across, grind.wheel - centre) < 0:
        across = -across
    wheel_u, wheel_r = dot(grind.wheel - centre, axis), dot(grind.wheel - centre, across)

    def begins(h, w):
        # Along the line, and from it: the circle turned about the line.
        s = near[0]
        for _ in range(100):
            p = matrix([s, h, w]) - centre
            u, a, b = dot(p, axis), dot(p, across), dot(p, grind.plane)
            r = sqrt(a * a + b * b)
            off = sqrt((u - wheel_u) ** 2 + (r - wheel_r) ** 2) - c["radius_mm"]
            rate = ((u - wheel_u) * axis[0] + (r - wheel_r) * a / r * across[0]) / (off + c["radius_mm"])
            step = off / rate
            s -= step
            if abs(step) < mpf(10) ** (-digits):
                break
        near[0] = s
        return s - c["end_mm"]

    def strip(angle):
        # w = r sin(angle), so that the outline has no upright tangent.
        w = radius * sin(angle)
        low = -sqrt(radius**2 - w * w)
        high = wall(c, w) if w <= top else -low
        return gauss(lambda h: begins(h, w), low, high) * radius * cos(angle)

    at_top = mp.asin(top / radius)
    return 2 * (gauss(strip, mpf(0), at_top) + gauss(strip, at_top, pi / 2))


NODES = {}


def gauss(f, low, high):
    """Gauss and Legendre's rule of so many nodes: everything integrated here is smooth."""
    middle, half = (low + high) / 2, (high - low) / 2
    return half * sum(weight * f(middle + half * x) for x, weight in NODES["now"])


def nodes(count):
    """The roots of Legendre's polynomial, and their weights."""
    found = []
    for i in range(count):
        x = cos(pi * (i + mpf("0.75")) / (count + mpf("0.5")))
        for _ in range(100):
            p, before = mpf(1), mpf(0)
            for k in range(1, count + 1):
                p, before = ((2 * k - 1) * x * p - (k - 1) * before) / k, p
            rate = count * (x * p - before) / (x * x - 1)
            step = p / rate
            x -= step
            if abs(step) < mpf(10) ** (-mp.dps + 3):
                break
        found.append((x, 2 / ((1 - x * x) * rate * rate)))
    return found


if __name__ == "__main__":
    table = Table("volume.csv")
    for name, text in [("parabola", {**BASE, **PARABOLA, "end_mm": "-30", "swing_deg": "180"}),
                       ("vee", {**BASE, **VEE, "bevel_deg": "55", "radius_mm": "100", "end_mm": "-25", "roll_centre_mm": "1",
                               "swing_deg": "180"})]:
        c = exact(text)
        mp.dps = 38
        values = []
        for count in (48, 64):
            NODES["now"] = nodes(count)
            values.append(volume(c, 34))
        mp.dps = 70
        value = values[1]
        # Sixteen more nodes change nothing that is printed of it.
        assert abs(values[1] - values[0]) < mpf(10) ** -20 * value, values
        print(name, nstr(value, 34), nstr(values[1] - values[0], 3))
        table.give(name, text)
        # To be reproduced when an accuracy of 1e-11 is asked for.
        table.find(name, {"removed_mm3": value}, {"removed_mm3": value * mpf(10) ** -11})
    table.close()
