"""The same quantities ever nearer to where they end: writes limits.csv and meeting.csv.

    python3 limits.py [limits] [meeting]        (needs mpmath)

Each family closes in on a limit by tenths, from 0.1 down to 1e-12 of a millimetre (or of a degree). The tolerance of a row is
what 32 last bits of its inputs are worth there: it grows as the question itself grows ill-conditioned, and no faster.
"""

from side_view import *
from swing import BASE, PARABOLA, VEE, edge_point

HANDLE = {"support": "handle", "face": "round", "presentation": "axis", "radius_mm": "75", "edge_height_mm": "-21",
          "under_mm": "4", "obliquity_deg": "90", "arm_x_mm": "0", "arm_z_mm": "0", "arm_tilt_deg": "0",
          "tool_length_mm": "220"}
HOLDER = {"support": "holder", "face": "round", "presentation": "axis", "radius_mm": "75", "edge_height_mm": "0",
          "under_mm": "2", "obliquity_deg": "90", "arm_x_mm": "0", "arm_z_mm": "0", "arm_tilt_deg": "0",
          "hinge_setback_mm": "-71", "hinge_drop_mm": "220", "strut_length_mm": "0", "projection_mm": "50",
          "strut_angle_deg": "0"}
TABLE = {"support": "table", "face": "round", "presentation": "axis", "radius_mm": "75", "edge_height_mm": "2",
         "under_mm": "4", "obliquity_deg": "90", "hinge_x_mm": "110", "surface_offset_mm": "12", "front_mm": "-60",
         "rear_mm": "80", "tilt_deg": "0"}
DECADES = range(1, 13)


def shortened(limit, decade, sign=-1):
    """The limit less (or plus) a power of ten, in decimals."""
    digits = mp.nstr(mpf(limit) + sign * mpf(10) ** -decade, 30, strip_zeros=True)
    return digits


def start_turn(c):
    """Where to look: the meeting of two circles, of which only the place is taken."""
    pivot = pivot_in_bench(c)
    arm = matrix([0, c["edge_height_mm"]]) - pivot_in_tool(c)
    d, l = length(pivot), length(arm)
    if c["face"] == "flat":
        n = normal_of(c)
        gauge = dot(pivot, n)
        edge = pivot - n * gauge + matrix([-n[1], n[0]]) * sqrt(l * l - gauge * gauge)
    else:
        foot = (d * d + c["radius_mm"] ** 2 - l * l) / (2 * d)
        away = sqrt(c["radius_mm"] ** 2 - foot * foot)
        edge = (pivot * foot + matrix([-pivot[1], pivot[0]]) * away) / d
    leg = edge - pivot
    return atan2(leg[1], leg[0]) - atan2(arm[1], arm[0])


def side(table, family, text_of, near_of=None):
    for decade in DECADES:
        text = text_of(decade)
        c = exact(text)
        near = near_of(c) if near_of else {"pose": start_turn(c)}
        seen = view(c, near)
        if seen is None:
            print("left out:", family, decade)
            continue
        near = seen["near"]
        plain = {k: v for k, v in c.items() if not isinstance(v, str)}
        words = {k: v for k, v in c.items() if isinstance(v, str)}
        values = results(c, near)
        case = f"{family}@1e-{decade}"
        table.give(case, {**text, "family": family, "decade": decade})
        table.find(case, values, tolerances(lambda x: results({**words, **x}, near), plain, values))


def askew(table):
    """As the first family, the cup on a sloping arm that does not aim at the spindle: nothing is exact there."""
    arm = {"arm_x_mm": "40.7", "arm_z_mm": "-110.3", "arm_tilt_deg": "11.3"}

    def text_of(decade):
        c = exact({**HANDLE, **arm, "reach_mm": "0"})
        zero, along = pivot_in_bench(c), turned(radians(c["arm_tilt_deg"])) * matrix([1, 0])
        back = dot(zero, along)
        far = mpf(296) - mpf(10) ** -decade
        reach = sqrt(far**2 - dot(zero, zero) + back**2) - back
        # The nearest double below, so that the pivot is not beyond the limit.
        return {**HANDLE, **arm, "reach_mm": repr(float(reach) * (1 - 2.0**-53))}

    side(table, "pivot-nearly-too-far-on-a-sloping-arm", text_of)


def heel(table):
    """A facet through ever more steel, until the wheel's arc turns back: 112.5 mm at 60 degrees on a wheel of 150 mm."""
    for decade in DECADES:
        text = {"radius_mm": "75", "bevel_deg": "60", "under_mm": shortened("112.5", decade)}
        c = {k: given(v) for k, v in text.items()}

        def facet(x):
            normal = matrix([sin(radians(x["bevel_deg"])), cos(radians(x["bevel_deg"]))])
            middle = -normal * x["radius_mm"]
            rim = lambda t: middle + turned(-t) * normal * x["radius_mm"]
            # Close to the arc's lowest place, on this side of it: the square root of what is missing.
            short = x["radius_mm"] * (1 + cos(radians(x["bevel_deg"]))) - x["under_mm"]
            guess = pi - radians(x["bevel_deg"]) - mp.acos(1 - short / x["radius_mm"])
            t = root(lambda t: -rim(t)[1] - x["under_mm"], guess, mpf(10) ** -20)
            return {"heel_deg": x["bevel_deg"] + degrees(t), "facet_mm": length(rim(t)), "heel_s_mm": rim(t)[0]}

        values = facet(c)
        case = f"heel-at-the-wheel's-limit@1e-{decade}"
        table.give(case, {**text, "family": "heel at the wheel's limit", "decade": decade})
        table.find(case, values, tolerances(facet, c, values))


def nose(table):
    """A roll centre ever nearer to the flute's floor."""
    for decade in (1, 2, 3, 4, 6, 8, 10, 12):
        for name, shape in (("parabola", PARABOLA), ("vee", VEE)):
            text = {**BASE, **shape, "roll_centre_mm": shortened("-4", decade, 1), "t": "0.3",
                    "swing_deg": "180"}
            c = {k: v if k == "flute" else given(v) for k, v in text.items()}
            seen = edge_point(c)
            words = {"flute": c["flute"], "turn_deg": c["turn_deg"]}
            plain = {k: v for k, v in c.items() if k not in words}
            values = {k: seen["values"][k] for k in ("s_mm", "wedge_deg", "to_axis_deg", "roll_deg")}
            tolerance = tolerances(
                lambda x: {k: edge_point({**words, **x}, seen["near"])["values"][k] for k in values}, plain, values)
            for key in tolerance:
                tolerance[key] += mpf(5) * mpf(10) ** (-12 if key.endswith("_deg") else -13)
            table.give(f"nose-at-the-roll-centre-{name}@1e-{decade}",
                       {**text, "family": f"roll centre at the floor: {name}", "decade": decade})
            table.find(f"nose-at-the-roll-centre-{name}@1e-{decade}", values, tolerance)


def bevel_of(c):
    pose = stands(c, start_turn(c))
    return bevel_at(c, pose["axis"], pose["edge"])


def double_root(table):
    """Two answers of the inverse that close in on one another: the arm's line just cuts the circle of the pivot's places."""
    text = {**HANDLE, "edge_height_mm": "-4", "arm_x_mm": "0", "arm_z_mm": "-250", "tool_length_mm": "220"}
    for decade in range(-1, 7):
        reach = mpf(10) ** -decade
        c = {**exact({**text}), "reach_mm": reach}
        target_text = nstr(bevel_of(c), 17)
        target = given(target_text)
        both = {}
        plain = {k: v for k, v in c.items() if not isinstance(v, str) and k != "reach_mm"}
        words = {k: v for k, v in c.items() if isinstance(v, str)}

        def answers(x):
            rest = {**words, **{k: v for k, v in x.items() if k != "target"}}
            off = lambda v: bevel_of({**rest, "reach_mm": v}) - x["target"]
            return {"answer_1": root(off, -reach, reach * mpf(10) ** -8), "answer_2": root(off, reach, reach * mpf(10) ** -8)}

        try:
            both = answers({**plain, "target": target})
        except (AssertionError, ZeroDivisionError):
            # The nearest double to that bevel is out of reach: there is no root.
            continue
        case = f"double-root-reach@1e{-decade}"
        table.give(case, {**text, "reach_mm": "0", "by": "reach_mm", "target_deg": target_text,
                          "family": "two reaches that meet", "decade": decade})
        table.find(case, both, tolerances(answers, {**plain, "target": target}, both))


if __name__ == "__main__":
    import sys

    if "limits" in sys.argv[1:] or len(sys.argv) == 1:
        table = Table("limits.csv")
        side(table, "pivot-nearly-too-far", lambda k: {**HANDLE, "reach_mm": shortened("296", k)})
        side(table, "pivot-nearly-too-near", lambda k: {**HOLDER, "reach_mm": shortened("146", k, 1)})
        side(table, "pivot-nearly-too-far-of-a-flat-face",
             lambda k: {**{a: b for a, b in HANDLE.items() if a != "radius_mm"}, "face": "flat", "normal_deg": "0",
                        "reach_mm": shortened("221", k)})
        side(table, "table-nearly-out-of-reach",
             lambda k: {**TABLE, "hinge_z_mm": shortened("59", k)},
             lambda c: {"pose": sqrt(c["radius_mm"] ** 2 - (c["hinge_z_mm"] + 16) ** 2) - c["hinge_x_mm"]})
        heel(table)
        nose(table)
        askew(table)
        table.close()
    if "meeting" in sys.argv[1:] or len(sys.argv) == 1:
        table = Table("meeting.csv")
        double_root(table)
        table.close()
