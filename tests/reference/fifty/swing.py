"""Edge points of a gouge that is rolled about a line, in space: the wheel is a circle in a plane, turned about the roll line
by rotation matrices until it passes through the edge. Writes swing.csv.

    python3 swing.py        (needs mpmath)

Tool frame (s, h, w): along from the nose, up from the bar's centreline, across.
"""

from common import *


def dot(a, b):
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a, b):
    return matrix([a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]])


def length(a):
    return sqrt(dot(a, a))


def unit(a):
    return a / length(a)


def about(axis, turn):
    """The matrix that turns space about a unit vector."""
    x, y, z = axis
    k = matrix([[0, -z, y], [z, 0, -x], [-y, x, 0]])
    one = matrix([[1, 0, 0], [0, 1, 0], [0, 0, 1]])
    return one + k * sin(turn) + (k * k) * (1 - cos(turn))


def wall(c, w):
    """The flute's height."""
    if c["flute"] == "power":
        return c["floor_mm"] + c["factor"] * abs(w) ** c["exponent"]
    if c["flute"] == "vee":
        m, rho = c["slope"], c["floor_radius_mm"]
        return c["floor_mm"] + m * (sqrt(w * w + (m * rho) ** 2) - m * rho)
    return c["floor_mm"] + c["flute_radius_mm"] - sqrt(c["flute_radius_mm"] ** 2 - w * w)


def wing_top(c):
    radius = c["bar_mm"] / 2
    off = lambda w: w * w + wall(c, w) ** 2 - radius**2
    most = radius if c["flute"] != "circle" else min(radius, c["flute_radius_mm"])
    low, high = crossings(lambda w: float(off(mpf(w))), 0.0, float(most), 400)[0]
    return root(off, mpf(low + high) / 2)


class Grind:
    """The roll line and the wheel in the holder's frame, which is the tool's where it is not turned in it."""

    def __init__(self, c):
        self.c = c
        self.centre = matrix([0, c["roll_centre_mm"], 0])
        self.pivot = matrix([c["pivot_s_mm"], c["pivot_h_mm"], 0])
        self.axis = unit(self.pivot - self.centre)
        beta = radians(c["bevel_deg"])
        nose = matrix([0, c["floor_mm"], 0])
        # The wheel stands under the nose: its rim leaves the edge at the bevel.
        wheel = nose - matrix([sin(beta), cos(beta), 0]) * c["radius_mm"]
        self.plane = matrix([0, 0, 1])
        # Turned in the holder so that the +w wing is raised.
        turn = -radians(c["turn_deg"])
        self.seat = about(matrix([1, 0, 0]), turn)
        if c["turn_deg"] != 0:
            # The nose has moved: rolled back into the wheel's plane, it meets a wheel as far from the pivot as before.
            moved = self.seat * nose
            arm = moved - self.centre
            back = root(lambda t: dot(about(self.axis, t) * arm, self.plane), mpf(0))
            moved = self.centre + about(self.axis, back) * arm
            distance = length(wheel - self.pivot)

            def off(x, y):
                p = matrix([x, y, 0])
                return [length(p - self.pivot) - distance, length(p - moved) - c["radius_mm"]]

            found = findroot(off, (wheel[0], wheel[1]), tol=mpf(10) ** -125, verify=False)
            wheel = matrix([found[0], found[1], 0])
        self.wheel = wheel

    def pose(self, roll):
        """The wheel's centre and the normal of its plane, rolled so far."""
        m = about(self.axis, roll)
        return self.centre + m * (self.wheel - self.centre), m * self.plane

    def seated(self, s, h, w):
        return self.seat * matrix([s, h, w])

    def roll_of(self, p):
        """How far the wheel is rolled where its plane holds a point, on the wheel's side of the line."""
        arm = p - self.centre
        across = cross(self.axis, self.plane)
        if dot(across, self.wheel - self.centre) < 0:
            across = -across
        # Turned by +t the middle plane's direction `across` goes to across*cos + (axis x across)*sin.
        return atan2(dot(arm, cross(self.axis, across)), dot(arm, across))

    def off_circle(self, s, h, w):
        p = self.seated(s, h, w)
        wheel, _ = self.pose(self.roll_of(p))
        return dot(p - wheel, p - wheel) - self.c["radius_mm"] ** 2

    def off_end(self, s, h, w, side):
        """From the rim of the wheel as it stands at an end of the swing, in its whole width; None beside it."""
        p = self.seated(s, h, w)
        wheel, normal = self.pose(side * radians(self.c["swing_deg"]))
        aside = dot(p - wheel, normal)
        return dot(p - wheel, p - wheel) - aside**2 - self.c["radius_mm"] ** 2, aside

    def start(self, h, w):
        """The greatest s where the wheel's swept rim, or its rim at an end of the swing, meets a ray: (s, face)."""
        best = None
        swing = radians(self.c["swing_deg"])
        mp.dps = 17
        for low, high in crossings(lambda s: float(self.off_circle(mpf(s), h, w)), -40.0, 60.0, 500):
            mp.dps = 70
            s = root(lambda s: self.off_circle(s, h, w), mpf(low + high) / 2)
            if abs(self.roll_of(self.seated(s, h, w))) <= swing and (best is None or s > best[0]):
                best = (s, "sweep")
            mp.dps = 17
        for side in (1, -1):
            for low, high in crossings(lambda s: float(self.off_end(mpf(s), h, w, side)[0]), -40.0, 60.0, 500):
                mp.dps = 70
                s = root(lambda s: self.off_end(s, h, w, side)[0], mpf(low + high) / 2)
                aside = self.off_end(s, h, w, side)[1]
                if abs(aside) <= self.c["wheel_width_mm"] / 2 and (best is None or s > best[0] + mpf(10) ** -9):
                    best = (s, side)
                mp.dps = 17
        mp.dps = 70
        return best

    def meets(self, near, h, w, face):
        """The same place again, closely: both the roll and s looked for at once in the sweep."""
        if face != "sweep":
            return root(lambda s: self.off_end(s, h, w, face)[0], near), face * radians(self.c["swing_deg"])
        roll = self.roll_of(self.seated(near, h, w))

        def off(s, t):
            p = self.seated(s, h, w)
            wheel, normal = self.pose(t)
            return [dot(p - wheel, normal), dot(p - wheel, p - wheel) - self.c["radius_mm"] ** 2]

        found = findroot(off, (near, roll), tol=mpf(10) ** -120, verify=False)
        return found[0], found[1]


def edge_point(c, near=None):
    """Everything about the edge at the parameter t of the wall, w = half width sin(90 t)."""
    grind = Grind(c)
    w = wing_top(c) * sin(pi / 2 * c["t"])
    if c["flute"] == "circle":
        # Evenly in the circle's own angle.
        w = c["flute_radius_mm"] * sin(mp.asin(wing_top(c) / c["flute_radius_mm"]) * c["t"])
    h = wall(c, w)
    if near is None:
        found = grind.start(h, w)
        if found is None:
            return None
        near = {"s": found[0], "face": found[1]}
    s, roll = grind.meets(near["s"], h, w, near["face"])
    p = grind.seated(s, h, w)
    wheel, normal = grind.pose(roll)
    values = {"w_mm": w, "s_mm": s}
    # The face at the point: along the rim, and along the way it is swept (or along the wheel's width).
    radial = p - wheel
    if near["face"] != "sweep":
        radial = radial - normal * dot(radial, normal)
    rim = cross(normal, unit(radial))
    swept = cross(grind.axis, p - grind.centre) if near["face"] == "sweep" else normal
    out = unit(cross(rim, swept))
    if dot(out, radial) > 0:
        out = -out
    # Into the flute, by a difference of the wall.
    rise = slope(lambda x: wall(c, x), w)
    flute = unit(grind.seated(0, 1, -rise))
    values["wedge_deg"] = 180 - degrees(mp.acos(dot(flute, out)))
    values["to_axis_deg"] = degrees(mp.asin(abs(out[0])))
    if near["face"] == "sweep":
        # Positive towards +w, which is backwards about the line as it runs to the pivot.
        values["roll_deg"] = -degrees(roll)
    # The heel: along the rim, away from the flute, until the bar's outside.
    middle = p - radial
    away = rim if dot(rim, flute) < 0 else -rim
    on_rim = lambda t: middle + unit(radial) * (cos(t) * c["radius_mm"]) + away * (sin(t) * c["radius_mm"])
    gone = lambda t: on_rim(t)[1] ** 2 + on_rim(t)[2] ** 2 - (c["bar_mm"] / 2) ** 2
    # A wing top stands on the outside itself: no facet there.
    if abs(c["t"]) < 1:
        turn = near.get("heel")
        if turn is None:
            mp.dps = 17
            found = crossings(lambda t: float(gone(mpf(t))), 1e-7, 2.5, 4000)
            mp.dps = 70
            turn = mpf(found[0][0] + found[0][1]) / 2
        turn = root(gone, turn)
        values["facet_mm"] = length(on_rim(turn) - p)
        back = grind.seat.T * on_rim(turn)
        values["heel_s_mm"], values["heel_h_mm"], values["heel_w_mm"] = back
        near = {**near, "heel": turn}
    return {"values": values, "near": near}


BASE = {"bar_mm": "16", "floor_mm": "-4", "pivot_s_mm": "139.5", "pivot_h_mm": "-49.5", "roll_centre_mm": "0",
        "bevel_deg": "45", "radius_mm": "75", "wheel_width_mm": "40", "swing_deg": "90", "turn_deg": "0"}
PARABOLA = {"flute": "power", "factor": "0.25", "exponent": "2"}
POWER = {"flute": "power", "factor": "0.06", "exponent": "3.3"}
VEE = {"flute": "vee", "slope": "1.6", "floor_radius_mm": "1.5"}
CIRCLE = {"flute": "circle", "flute_radius_mm": "7"}
GRINDS = {
    "parabola": {**BASE, **PARABOLA},
    "parabola-high": {**BASE, **PARABOLA, "roll_centre_mm": "3.5", "bevel_deg": "60", "radius_mm": "100"},
    "parabola-low": {**BASE, **PARABOLA, "roll_centre_mm": "-2.5", "pivot_h_mm": "-20", "bevel_deg": "35"},
    "power": {**BASE, **POWER},
    "power-small-wheel": {**BASE, **POWER, "radius_mm": "62.5", "bevel_deg": "55", "pivot_s_mm": "120"},
    "vee": {**BASE, **VEE},
    "vee-steep": {**BASE, **VEE, "slope": "2.4", "floor_radius_mm": "0.8", "bevel_deg": "40"},
    "circle": {**BASE, **CIRCLE, "floor_mm": "-2"},
    "parabola-turned": {**BASE, **PARABOLA, "turn_deg": "6"},
    "power-turned": {**BASE, **POWER, "turn_deg": "-9", "roll_centre_mm": "1.2"},
    "short-swing": {**BASE, **PARABOLA, "swing_deg": "40"},
}
PLACES = ["-1", "-0.7", "0.05", "0.35", "0.6", "0.85", "1"]


def exact(text):
    return {k: v if k == "flute" else given(v) for k, v in text.items()}


if __name__ == "__main__":
    table = Table("swing.csv")
    for name, text in GRINDS.items():
        for place in PLACES:
            c = exact({**text, "t": place})
            seen = edge_point(c)
            if seen is None:
                continue
            case = f"{name}@{place}"
            plain = {k: v for k, v in c.items() if not isinstance(v, str)}
            words = {"flute": c["flute"]}
            values = seen["values"]
            # Whole parameters stay whole: half a step beyond the wing top there is no wall.
            fixed = {k: plain.pop(k) for k in ("t", "turn_deg") if plain[k] in (0, 1, -1)}
            tolerance = tolerances(
                lambda x: edge_point({**words, **fixed, **x}, seen["near"])["values"], plain, values)
            # Beside that a few last bits of coordinates about the roll line, which are as large as the pivot is far off,
            # and in degrees what they are on the least radius in play.
            for key in tolerance:
                tolerance[key] += mpf(5) * mpf(10) ** (-12 if key.endswith("_deg") else -13)
            # The heel is followed in steps of which the last is below 1e-5 mm and the next its square.
            for key in ("facet_mm", "heel_s_mm", "heel_h_mm", "heel_w_mm"):
                if key in tolerance:
                    tolerance[key] += mpf(10) ** -9
            table.give(case, {**text, "t": place, "face": "sweep" if seen["near"]["face"] == "sweep" else "end"})
            table.find(case, values, tolerance)
    table.close()
