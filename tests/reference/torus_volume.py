"""The volume a bar with a round flute loses to a torus, to 30 digits.

Bar of 16 mm; the flute's floor at -2 mm, its radius 6 mm (or 7 mm); torus of 180 mm and 75 mm whose axis lies in the plane of
symmetry, 105 mm from the flute's floor at station nought and square to the bevel's normal there, the bevel being 45 degrees
(so the axis slopes 45 degrees, falling towards the handle); the bar's square end stands 12 mm in front of the floor.
Removed: the integral of s(w, h) + 12 over the section, s from a quadratic in the wheel's plane by Newton's iteration.

    python3 torus_volume.py        (needs mpmath)
"""

from mpmath import mp, mpf, quad, sqrt, sin, cos, acos, pi

mp.dps = 34
BAR, FLOOR = mpf(8), mpf(-2)
MAJOR, MINOR, END = mpf(180), mpf(75), mpf(-12)
HALF = sqrt(mpf(2)) / 2
# In (s, h): the bevel's normal (out of the wheel), the torus's axis through FOOT along ALONG.
NORMAL = (HALF, HALF)
ALONG = (HALF, -HALF)
FOOT = ((MAJOR - MINOR) * HALF, FLOOR + (MAJOR - MINOR) * HALF)


def station(w, h):
    """The greatest s on the torus (u along the axis, r from it)."""
    s = 8 - 75 * HALF + sqrt(75**2 - (h - FLOOR + 75 * HALF) ** 2)
    for _ in range(200):
        x, y = s - FOOT[0], h - FOOT[1]
        u, a = x * ALONG[0] + y * ALONG[1], -(x * NORMAL[0] + y * NORMAL[1])
        r = sqrt(a * a + w * w)
        g = u * u + (r - MAJOR) ** 2 - MINOR**2
        slope = 2 * u * ALONG[0] - 2 * (r - MAJOR) * a / r * NORMAL[0]
        step = g / slope
        s -= step
        if abs(step) < mpf(10) ** -32:
            break
    return s


def removed(flute):
    """Polar about the flute's axis, phi from straight down: between the flute's wall and the bar's outline."""
    axis = FLOOR + flute
    top = acos((axis**2 + flute**2 - BAR**2) / (2 * axis * flute))

    def outline(phi):
        return axis * cos(phi) + sqrt(BAR**2 - (axis * sin(phi)) ** 2)

    def depth(phi, rho):
        return (station(rho * sin(phi), axis - rho * cos(phi)) - END) * rho

    return 2 * quad(lambda phi: quad(lambda rho: depth(phi, rho), [flute, outline(phi)]), [0, top / 2, top])


for flute in (6, 7):
    print(flute, mp.nstr(removed(mpf(flute)), 22))
