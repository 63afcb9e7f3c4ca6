"""The side view forward and its slopes, on all three supports: writes side_view.csv.

    python3 side_view.py        (needs mpmath)
"""

from bench import *

NUMBERS = {
    "handle": ["arm_x_mm", "arm_z_mm", "arm_tilt_deg", "reach_mm", "tool_length_mm"],
    "holder": ["arm_x_mm", "arm_z_mm", "arm_tilt_deg", "reach_mm", "hinge_setback_mm", "hinge_drop_mm",
               "strut_length_mm", "projection_mm", "strut_angle_deg"],
    "table": ["hinge_x_mm", "hinge_z_mm", "surface_offset_mm", "front_mm", "rear_mm", "tilt_deg"],
}
RANGES = {
    "radius_mm": (35, 150), "normal_deg": (-30, 95), "edge_height_mm": (-8, 8), "under_mm": (1, 10),
    "obliquity_deg": (35, 90), "arm_x_mm": (20, 80), "arm_z_mm": (-200, 10), "arm_tilt_deg": (-15, 35),
    "reach_mm": (60, 500), "tool_length_mm": (150, 500), "hinge_setback_mm": (5, 30), "hinge_drop_mm": (-10, 20),
    "strut_length_mm": (20, 120), "projection_mm": (20, 100), "strut_angle_deg": (20, 90), "hinge_x_mm": (90, 180),
    "hinge_z_mm": (-60, 40), "surface_offset_mm": (0, 20), "front_mm": (-10, 20), "rear_mm": (30, 80),
    "tilt_deg": (-20, 50),
}


def number(name, rng):
    low, high = RANGES[name]
    return f"{rng.uniform(low, high):.3f}"


def bench(support, face, presentation, rng):
    text = {"support": support, "face": face, "presentation": presentation}
    text["radius_mm" if face == "round" else "normal_deg"] = number("radius_mm" if face == "round" else "normal_deg", rng)
    for name in ["edge_height_mm", "under_mm"] + NUMBERS[support]:
        text[name] = number(name, rng)
    text["obliquity_deg"] = "90" if presentation == "axis" else number("obliquity_deg", rng)
    return text


def exact(text):
    return {k: v if k in ("support", "face", "presentation") else given(v) for k, v in text.items()}


SLOPES = {
    "reach_slope": "reach_mm", "projection_slope": "projection_mm", "strut_angle_slope": "strut_angle_deg",
    "diameter_slope": "radius_mm", "tool_length_slope": "tool_length_mm", "tilt_slope": "tilt_deg",
}


def slopes(c, near):
    """Radians a millimetre, or a radian."""
    found = {}
    for name, by in SLOPES.items():
        if by not in c or c["face"] == "flat" and by == "radius_mm":
            continue
        rate = slope(lambda x: reading({**c, by: x}, near), c[by])
        found[name] = rate if by.endswith("_deg") else radians(rate) / (2 if by == "radius_mm" else 1)
    if c["support"] != "table" and c["face"] == "round":
        pivot = pivot_in_bench(c)

        def at_gauge(radius):
            # The pivot goes straight out by as much as the rim does.
            out = pivot * (1 + (radius - c["radius_mm"]) / length(pivot))
            return reading({**c, "radius_mm": radius, "pivot": out}, near)

        found["diameter_at_gauge_slope"] = radians(slope(at_gauge, c["radius_mm"])) / 2
    return found


def results(c, near):
    return {**view(c, near)["values"], **slopes(c, near)}


def sane(seen):
    v = seen["values"]
    return 5 < v["bevel_deg"] < 150 and v.get("gauge_mm", 1) > 0 and v.get("rest_gap_mm", 1) > 0 and v["heel_deg"] > 0


def cases():
    rng = random.Random(50)
    for support, face, presentation, count in [
        ("handle", "round", "axis", 6), ("handle", "round", "edge", 3), ("handle", "flat", "axis", 2),
        ("holder", "round", "axis", 10), ("holder", "round", "edge", 6), ("holder", "flat", "axis", 2),
        ("holder", "flat", "edge", 2), ("table", "round", "axis", 6), ("table", "flat", "axis", 2),
    ]:
        kept = 0
        while kept < count:
            text = bench(support, face, presentation, rng)
            c = exact(text)
            try:
                seen = view(c)
            except AssertionError:
                continue
            if seen is None or not sane(seen):
                continue
            kept += 1
            yield f"{support}-{face}-{presentation}-{kept}", text, c, seen["near"]


if __name__ == "__main__":
    table = Table("side_view.csv")
    for case, text, c, near in cases():
        table.give(case, text)
        plain = {k: v for k, v in c.items() if not isinstance(v, str)}
        words = {k: v for k, v in c.items() if isinstance(v, str)}
        values = results(c, near)
        table.find(case, values, tolerances(lambda x: results({**words, **x}, near), plain, values))
    table.close()
