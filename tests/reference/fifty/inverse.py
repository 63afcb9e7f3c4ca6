"""From a bevel back to each input: every answer, found by looking along the input and closing in on each crossing of the
reading rebuilt from coordinates. Writes inverse.csv.

    python3 inverse.py        (needs mpmath; some minutes)

Each case stands for one input and one target; `answers` says how many there are between `least` and `most`.
"""

import math

from bench import *
from side_view import NUMBERS, RANGES, bench, exact, sane

SPANS = {
    "reach_mm": (-600.0, 1200.0), "projection_mm": (0.5, 600.0), "strut_angle_deg": (-179.99, 179.99),
    "tool_length_mm": (1.0, 1200.0), "tilt_deg": (-179.99, 179.99), "radius_mm": (5.0, 600.0),
}
STEPS = 4000


class Quick:
    """The same bench in doubles, by meeting circles of coordinates: only to see where to look."""

    def __init__(self, c):
        self.c = {k: v if isinstance(v, str) else float(v) for k, v in c.items()}

    def reading(self, quantity):
        c = self.c
        face_round = c["face"] == "round"
        if c["support"] == "table":
            a = math.radians(c["tilt_deg"])
            axis, up = (math.cos(a), math.sin(a)), (-math.sin(a), math.cos(a))
            base = [c["hinge_x_mm"], c["hinge_z_mm"]]
            base = [base[i] + up[i] * (c["surface_offset_mm"] + c["under_mm"]) for i in (0, 1)]
            along = base[0] * axis[0] + base[1] * axis[1]
            if face_round:
                under = c["radius_mm"] ** 2 - (base[0] ** 2 + base[1] ** 2 - along**2)
                if under < 0:
                    return None
                x = math.sqrt(under) - along
            else:
                n = (math.cos(math.radians(c["normal_deg"])), math.sin(math.radians(c["normal_deg"])))
                x = -(base[0] * n[0] + base[1] * n[1]) / (axis[0] * n[0] + axis[1] * n[1])
            edge = [base[i] + axis[i] * x for i in (0, 1)]
        else:
            t = math.radians(c["arm_tilt_deg"])
            p = (c["arm_x_mm"] + c["reach_mm"] * math.cos(t), c["arm_z_mm"] + c["reach_mm"] * math.sin(t))
            if c["support"] == "handle":
                q = (c["tool_length_mm"], 0.0)
            else:
                s = math.radians(c["strut_angle_deg"])
                q = (c["projection_mm"] + c["hinge_setback_mm"] + c["strut_length_mm"] * math.cos(s),
                     -c["hinge_drop_mm"] - c["strut_length_mm"] * math.sin(s))
            share = 1.0 if c["presentation"] == "axis" else math.sin(math.radians(c["obliquity_deg"]))
            leg = (-q[0] * share, c["edge_height_mm"] - q[1])
            l, d = math.hypot(*leg), math.hypot(*p)
            if face_round:
                r = c["radius_mm"]
                if d <= r:
                    return None
                foot = (d * d + r * r - l * l) / (2 * d)
                under = r * r - foot * foot
                if under < 0:
                    return None
                away = math.sqrt(under)
                edge = [(p[0] * foot - p[1] * away) / d, (p[1] * foot + p[0] * away) / d]
            else:
                n = (math.cos(math.radians(c["normal_deg"])), math.sin(math.radians(c["normal_deg"])))
                gauge = p[0] * n[0] + p[1] * n[1]
                if not 0 < gauge < l:
                    return None
                away = math.sqrt(l * l - gauge * gauge)
                edge = [p[0] - n[0] * gauge - n[1] * away, p[1] - n[1] * gauge + n[0] * away]
            turn = math.atan2(edge[1] - p[1], edge[0] - p[0]) - math.atan2(leg[1], leg[0])
            axis = (math.cos(turn), math.sin(turn))
        if face_round:
            size = math.hypot(*edge)
            n = (edge[0] / size, edge[1] / size)
        bevel = math.atan2(axis[0] * n[0] + axis[1] * n[1], axis[0] * n[1] - axis[1] * n[0])
        if bevel <= 0:
            return None
        if quantity == "bevel_deg" or not face_round:
            return math.degrees(bevel)
        r, u = c["radius_mm"], c["under_mm"]
        cos_heel = math.cos(bevel) - u / r
        if cos_heel <= -1:
            return None
        return math.degrees(bevel + math.acos(cos_heel)) / 2


def answers(text, c, by, quantity, target):
    """Each answer with its hint."""
    quick = Quick(c)

    def off(x):
        quick.c[by] = x
        if quick.reading("bevel_deg") is None or quick.reading("across_deg") is None:
            return None
        if c["support"] == "table" and c["face"] == "round" and float(rest_gap_quick(quick.c)) <= 0:
            return None
        return quick.reading(quantity) - float(target)

    least, most = SPANS[by]
    for low, high in crossings(off, least, most, STEPS):
        if abs(off(low) - off(high)) > 20:
            continue
        # Closer in doubles, then at full precision.
        for _ in range(30):
            middle = (low + high) / 2
            here = off(middle)
            if here is None:
                break
            if (here <= 0) == (off(low) <= 0):
                low = middle
            else:
                high = middle
        start = mpf(low + high) / 2
        seen = view({**c, by: start})
        if seen is None:
            continue
        value = root(lambda x: reading({**c, by: x}, seen["near"], quantity) - target, start)
        yield value, view({**c, by: value}, seen["near"])["near"]


def rest_gap_quick(c):
    a = math.radians(c["tilt_deg"])
    axis, up = (math.cos(a), math.sin(a)), (-math.sin(a), math.cos(a))
    base = [c["hinge_x_mm"] + up[0] * c["surface_offset_mm"], c["hinge_z_mm"] + up[1] * c["surface_offset_mm"]]
    along, off = base[0] * axis[0] + base[1] * axis[1], base[0] * up[0] + base[1] * up[1]
    if along + c["rear_mm"] <= 0 and abs(off) < c["radius_mm"]:
        # The whole table lies behind the wheel: it carries no tool that stands at its front.
        return -1.0
    x = min(max(-(base[0] * axis[0] + base[1] * axis[1]), -c["front_mm"]), c["rear_mm"])
    return math.hypot(base[0] + axis[0] * x, base[1] + axis[1] * x) - c["radius_mm"]


FREES = {
    "handle": ["reach_mm", "tool_length_mm", "radius_mm"],
    "holder": ["reach_mm", "projection_mm", "strut_angle_deg", "radius_mm"],
    "table": ["tilt_deg", "radius_mm"],
}

if __name__ == "__main__":
    rng = random.Random(51)
    table = Table("inverse.csv")
    for support, face, presentation, count in [
        ("handle", "round", "axis", 3), ("handle", "round", "edge", 2), ("handle", "flat", "axis", 2),
        ("holder", "round", "axis", 4), ("holder", "round", "edge", 4), ("holder", "flat", "edge", 2),
        ("table", "round", "axis", 4), ("table", "flat", "axis", 2),
    ]:
        for by in FREES[support]:
            if face == "flat" and by == "radius_mm":
                continue
            kept = 0
            while kept < count:
                text = bench(support, face, presentation, rng)
                c = exact(text)
                quantity = "across_deg" if kept % 2 else "bevel_deg"
                target_text = f"{rng.uniform(20, 80):.2f}"
                target = given(target_text)
                try:
                    found = list(answers(text, c, by, quantity, target))
                except (AssertionError, ZeroDivisionError):
                    continue
                if not found:
                    continue
                kept += 1
                case = f"{support}-{face}-{presentation}-{by}-{kept}"
                least, most = SPANS[by]
                table.give(case, {**text, "by": by, "target": quantity, "target_deg": target_text,
                                  "least": least, "most": most, "answers": len(found)})
                plain = {k: v for k, v in c.items() if not isinstance(v, str) and k != by}
                words = {k: v for k, v in c.items() if isinstance(v, str)}
                for i, (value, near) in enumerate(found):
                    def results(x):
                        rest = {**words, **{k: v for k, v in x.items() if k != "target"}}
                        return {f"answer_{i + 1}": root(
                            lambda v: reading({**rest, by: v}, near, quantity) - x["target"], value,
                            mpf(10) ** -18)}
                    values = {f"answer_{i + 1}": value}
                    table.find(case, values, tolerances(results, {**plain, "target": target}, values))
    table.close()
