"""Equal grinds and the roll centre that belongs to a wing: writes equal.csv.

    python3 equal.py        (needs mpmath)

A second projection grinds the same surface where its pivot lies on the same roll line: the strut is turned about its hinge
until it does. The roll centre is moved until the wing's setback, by the rebuilt edge of swing.py, is the wanted one.
"""

from swing import *

STRUT = {"hinge_setback_mm": "15", "hinge_drop_mm": "3", "strut_length_mm": "70"}


def strut_end(c, projection, angle):
    hinge = matrix([projection + c["hinge_setback_mm"], -c["hinge_drop_mm"]])
    m = matrix([[cos(angle), sin(angle)], [-sin(angle), cos(angle)]])
    return hinge + m * matrix([c["strut_length_mm"], 0])


def equal(c, near=None):
    centre = matrix([0, c["roll_centre_mm"]])
    old = strut_end(c, c["projection_mm"], radians(c["strut_angle_deg"]))
    along = old - centre
    off = lambda a: (strut_end(c, c["other_projection_mm"], a) - centre)[0] * along[1] - (
        strut_end(c, c["other_projection_mm"], a) - centre)[1] * along[0]
    angle = root(off, near or radians(c["strut_angle_deg"]))
    pivot = strut_end(c, c["other_projection_mm"], angle)
    beta = radians(c["bevel_deg"])
    wheel = matrix([0, c["floor_mm"]]) - matrix([sin(beta), cos(beta)]) * c["radius_mm"]
    apart = lambda p: sqrt((p[0] - wheel[0]) ** 2 + (p[1] - wheel[1]) ** 2)
    return {"values": {"strut_angle_2_deg": degrees(angle), "distance_mm": apart(old), "distance_2_mm": apart(pivot)},
            "near": angle}


if __name__ == "__main__":
    rng = random.Random(52)
    table = Table("equal.csv")
    count = 0
    while count < 12:
        text = {**STRUT, "projection_mm": f"{rng.uniform(55, 90):.2f}", "other_projection_mm": f"{rng.uniform(40, 80):.2f}",
                "strut_angle_deg": f"{rng.uniform(40, 65):.2f}", "roll_centre_mm": f"{rng.uniform(-2, 4):.2f}",
                "floor_mm": "-4", "bevel_deg": f"{rng.uniform(30, 60):.2f}", "radius_mm": f"{rng.uniform(60, 125):.2f}"}
        c = {k: given(v) for k, v in text.items()}
        try:
            seen = equal(c)
        except AssertionError:
            continue
        if not 20 < seen["values"]["strut_angle_2_deg"] < 85:
            continue
        count += 1
        tolerance = tolerances(lambda x: equal(x, seen["near"])["values"], c, seen["values"])
        table.give(f"equal-{count}", text)
        table.find(f"equal-{count}", seen["values"], tolerance)
    # Roll centres, from a wing sweep.
    for number, (shape, sweep, start) in enumerate([
        (PARABOLA, "9.5", "0.7"), (PARABOLA, "7", "-0.5"), (POWER, "8.25", "0.3"), (VEE, "7.75", "0.2"),
    ], 1):
        text = {**BASE, **shape, "swing_deg": "180", "wing_sweep_mm": sweep}
        text.pop("roll_centre_mm")
        c = exact(text)
        place = edge_point({**c, "roll_centre_mm": given(start), "t": given("1")})
        near = {"s": place["near"]["s"], "face": "sweep"}

        def sweep_at(height, c=c):
            grind = Grind({**c, "roll_centre_mm": height})
            w = wing_top(c)
            return grind.meets(near["s"], wall(c, w), w, "sweep")[0]

        def results(x):
            inputs = {**x, "flute": c["flute"]}
            return {"roll_centre_mm": root(lambda v: sweep_at(v, inputs) - x["wing_sweep_mm"], centre)}

        # Of several the one nearest to the centreline.
        seen = []
        for tenths in range(-35, 60, 5):
            try:
                seen.append(root(lambda v: sweep_at(v) - c["wing_sweep_mm"], mpf(tenths) / 10, mpf(10) ** -6))
            except (AssertionError, ValueError, ZeroDivisionError):
                continue
        centre = min(seen, key=abs)
        print(number, mp.nstr(centre, 8))
        plain = {k: v for k, v in c.items() if not isinstance(v, str) and v != 0}
        zero = {k: v for k, v in c.items() if not isinstance(v, str) and v == 0}
        values = {"roll_centre_mm": centre}
        tolerance = tolerances(lambda x: results({**zero, **x}), plain, values)
        # The search for it ends at 1e-12 mm, on wings that are known to 1e-13 mm.
        tolerance["roll_centre_mm"] += mpf(10) ** -11
        table.give(f"centre-{number}", text)
        table.find(f"centre-{number}", values, tolerance)
    table.close()
