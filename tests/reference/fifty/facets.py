"""Facets as they are, in the tool's plane of symmetry: at rest on a wheel, cut anew, and with a second bevel. Writes
contact.csv, regrind.csv and relief.csv.

    python3 facets.py [contact] [relief] [regrind]        (needs mpmath)

Points are counted from the edge: s towards the handle, h up.
"""

from bench import *


def arc_point(c, turn, radius="facet_radius_mm", bevel="facet_bevel_deg"):
    """A point of a facet: after so much of a turn about its own wheel, or so far along a flat one."""
    beta = radians(c[bevel])
    if radius not in c:
        return matrix([cos(beta), -sin(beta)]) * turn
    middle = matrix([sin(beta), cos(beta)]) * -c[radius]
    return middle + turned(-turn) * (-middle)


def heel_turn(c):
    """Where the chord from the edge is as long as the facet is wide."""
    start = c["facet_mm"] / c["facet_radius_mm"] if "facet_radius_mm" in c else c["facet_mm"]
    return root(lambda t: length(arc_point(c, t)) - c["facet_mm"], start)


def at_rest(c, near=None):
    """The wheel's centre from the edge when the facet rests on the wheel, and the gaps."""
    last = heel_turn(c)
    ends = {"edge": mpf(0), "heel": last}

    if c["support"] == "table":
        pose = matrix([0, c["hinge_z_mm"]])
        tilt = radians(c["tilt_deg"])
        hinge = matrix([c["hinge_x_mm"], c["hinge_z_mm"]])
        up = matrix([-sin(tilt), cos(tilt)])
        below = dot(hinge + up * c["surface_offset_mm"], up) + c["under_mm"]
        centre = lambda x: matrix([x, -below])
        span = (-200.0, 200.0)
    else:
        pivot = matrix([c["tool_length_mm"], -c["edge_height_mm"]])
        distance = length(pivot_in_bench(c))
        centre = lambda x: pivot + matrix([cos(x), sin(x)]) * distance
        span = (0.0, 6.2832)

    def gap(x, turn):
        return length(arc_point(c, turn) - centre(x)) - c["radius_mm"]

    def valid(x):
        chord = arc_point(c, last)
        # The wheel stands under the tool: another rest has it before the nose.
        if cross(chord, centre(x)) > 0 or centre(x)[1] > 0:
            return False
        # Also very near to both ends, where the wheel may just touch inside them.
        shares = [mpf(i) / 30 for i in range(31)]
        shares += [near for k in range(2, 9) for near in (mpf(10) ** -k, 1 - mpf(10) ** -k)]
        return all(gap(x, last * share) > -mpf(10) ** -30 for share in shares)

    candidates = []
    if near is not None:
        kind, x, turn = near
        if kind == "middle":
            x, turn = between(c, centre, x, turn)
        else:
            x = root(lambda x: gap(x, ends[kind]), x)
        candidates = [(kind, x, turn if kind == "middle" else ends[kind])]
    else:
        for kind, turn in ends.items():
            mp.dps = 17
            found = crossings(lambda x: float(gap(mpf(x), turn)), *span, 600)
            mp.dps = 70
            for low, high in found:
                x = root(lambda x: gap(x, turn), mpf(low + high) / 2)
                if valid(x):
                    candidates.append((kind, x, turn))
        if not candidates:
            # Neither end rests: somewhere between them the wheel touches along the facet's own direction.
            mp.dps = 17
            found = crossings(lambda x: float(gap(mpf(x), last / 2)), *span, 600)
            mp.dps = 70
            for low, high in found:
                try:
                    x, turn = between(c, centre, mpf(low + high) / 2, last / 2)
                except (ValueError, ZeroDivisionError):
                    continue
                if 0 < turn < last and valid(x):
                    candidates.append(("middle", x, turn))
                    break
    if not candidates:
        return None
    kind, x, turn = candidates[0]
    values = {
        "edge_gap_mm": gap(x, mpf(0)), "heel_gap_mm": gap(x, last), "middle_gap_mm": gap(x, last / 2),
        "wheel_s_mm": centre(x)[0], "wheel_h_mm": centre(x)[1],
    }
    return {"values": values, "near": (kind, x, turn)}


def between(c, centre, x0, turn0):
    def off(x, turn):
        to = arc_point(c, turn) - centre(x)
        along = arc_point(c, turn + mpf(10) ** -25) - arc_point(c, turn - mpf(10) ** -25)
        return [length(to) - c["radius_mm"], dot(to, along) / length(along)]
    found = findroot(off, (x0, turn0), tol=mpf(10) ** -80, maxsteps=60)
    return found[0], found[1]


def contact_table():
    table = Table("contact.csv")
    handle = {"support": "handle", "face": "round", "presentation": "axis", "edge_height_mm": "-3.5", "under_mm": "4.25",
              "arm_x_mm": "40", "arm_z_mm": "-110", "arm_tilt_deg": "10", "reach_mm": "278", "tool_length_mm": "270",
              "obliquity_deg": "90"}
    on_table = {"support": "table", "face": "round", "presentation": "axis", "edge_height_mm": "4", "under_mm": "8",
                "hinge_x_mm": "112", "hinge_z_mm": "-14", "surface_offset_mm": "12", "front_mm": "20", "rear_mm": "55",
                "tilt_deg": "-20", "obliquity_deg": "90"}
    for support in (handle, on_table):
        for radius in ("62.5", "75", "97.3"):
            for facet in ({"facet_radius_mm": "75"}, {"facet_radius_mm": "100"}, {}):
                for shift in ("-3.7", "0", "0.35", "4.1"):
                    text = {**support, "radius_mm": radius, **facet, "facet_mm": "5.75"}
                    # A facet so much blunter than the setting.
                    bevel = view({**exact(text), "under_mm": given("4") if support is handle else given("8")})
                    if bevel is None:
                        continue
                    text["facet_bevel_deg"] = f"{float(bevel['values']['bevel_deg']) + float(shift):.3f}"
                    c = exact(text)
                    seen = at_rest(c)
                    if seen is None:
                        continue
                    hollow = facet.get("facet_radius_mm", "flat")
                    case = f"{support['support']}-{radius}-{hollow}-{shift}"
                    plain = {k: v for k, v in c.items() if not isinstance(v, str)}
                    words = {k: v for k, v in c.items() if isinstance(v, str)}
                    tolerance = tolerances(
                        lambda x: at_rest({**words, **x}, seen["near"])["values"], plain, seen["values"])
                    # A gap is a distance of two coordinates of the wheel's size.
                    for key in tolerance:
                        tolerance[key] += mpf(2) * mpf(10) ** -13
                    table.give(case, {**text, "rests": seen["near"][0]})
                    table.find(case, seen["values"], tolerance)
    table.close()


def exact(text):
    return {k: v if k in ("support", "face", "presentation") else given(v) for k, v in text.items()}


def setback(radius, bevel, depth, start):
    """How far behind the edge a facet lies at a depth, by walking its arc."""
    c = {"b": bevel, **({} if radius is None else {"r": radius})}
    turn = root(lambda t: -arc_point(c, t, "r", "b")[1] - depth, start)
    return arc_point(c, turn, "r", "b")[0]


def regrind(c, near=None):
    """From a facet as it is to a new one: the length lost when it is cut whole, and what is taken then and with none lost."""
    under = c["under_mm"]
    last = arc_point(c, heel_turn(c))

    def old(depth):
        if depth <= -last[1]:
            start = depth / (c["facet_radius_mm"] if "facet_radius_mm" in c else 1) / sin(radians(c["facet_bevel_deg"]))
            return setback(c.get("facet_radius_mm"), c["facet_bevel_deg"], depth, start * mpf("0.98"))
        # Behind the heel steel goes on straight, as a protractor on edge and heel reads.
        return last[0] + (depth + last[1]) * last[0] / -last[1]

    def new(depth):
        start = depth / c["radius_mm"] / sin(radians(c["bevel_deg"]))
        return setback(c["radius_mm"], c["bevel_deg"], depth, start * mpf("0.98"))

    difference = lambda depth: old(depth) - new(depth)
    heel = -last[1]
    # Where the difference turns, stretch by stretch.
    heel = min(heel, under)
    knots = [mpf(0), heel, under]
    for low, high in ((mpf("1e-9"), heel), (heel, under)):
        if high - low < mpf("1e-6"):
            continue
        rate = lambda t: (difference(t + mpf(10) ** -22) - difference(t - mpf(10) ** -22)) / mpf(10) ** -22
        pad = (high - low) / 1000
        mp.dps = 45
        for a, b in crossings(lambda t: float(rate(mpf(t))), float(low + pad), float(high - pad), 24):
            mp.dps = 70
            knots.append(findroot(rate, (mpf(a), mpf(b)), solver="anderson", tol=mpf(10) ** -60, verify=False))
            mp.dps = 45
        mp.dps = 70
    knots.sort()
    lost = max([difference(t) if t > 0 else mpf(0) for t in knots])

    def taken(back):
        over = lambda t: back - (difference(t) if t > 0 else 0)
        total = mpf(0)
        pieces = [k for k in knots]
        for a, b in zip(knots, knots[1:]):
            fa, fb = over(a), over(b)
            if (fa > 0) != (fb > 0) and min(abs(fa), abs(fb)) > mpf(10) ** -30:
                pieces.append(findroot(over, (a, b), solver="anderson", tol=mpf(10) ** -60, verify=False))
        pieces.sort()
        for a, b in zip(pieces, pieces[1:]):
            if over((a + b) / 2) > 0:
                mp.dps = 40
                total += mp.quad(over, [a, b])
                mp.dps = 70
        return total

    return {"lost_mm": lost, "whole_mm2": taken(lost), "none_lost_mm2": taken(mpf(0)), "some_lost_mm2": taken(mpf("0.25"))}


def regrind_table():
    table = Table("regrind.csv")
    count = 0
    for under in ("4.5", "7"):
        for facet in ({"facet_radius_mm": "75"}, {"facet_radius_mm": "125"}, {}):
            for old_bevel, bevel, radius in (("45", "40", "75"), ("40", "45", "75"), ("45", "45", "75"), ("43", "42.2", "100"),
                                             ("30", "30.5", "62.5"), ("60", "35", "75")):
                if old_bevel == bevel and facet.get("facet_radius_mm") == radius:
                    # Facets of one curve: their difference is rounding.
                    continue
                text = {**facet, "facet_bevel_deg": old_bevel, "facet_mm": "5.1", "bevel_deg": bevel, "radius_mm": radius,
                        "under_mm": under}
                c = {k: given(v) for k, v in text.items()}
                values = regrind(c)
                count += 1
                case = f"regrind-{count}"
                table.give(case, text)
                # Differences of setbacks of a few millimetres over a depth of a few.
                tolerance = {"lost_mm": mpf(10) ** -13, "whole_mm2": mpf(10) ** -12, "none_lost_mm2": mpf(10) ** -12,
                             "some_lost_mm2": mpf(10) ** -12}
                table.find(case, values, tolerance)
    table.close()


def relief(c, near=None):
    """A second facet: what is left of the first, the junction, and the wheel of the second step standing on it."""
    near = near or {}
    first = view(c, near.get("first"))
    if first is None:
        return None
    pose = stands(c, first["near"]["pose"])
    axis, edge = pose["axis"], pose["edge"]
    frame = lambda axis, p: matrix([dot(p, axis), cross(axis, p)])
    # The junction, on the rim at a chord from the edge, in the tool.
    turn = root(lambda t: length(around(c, edge, t) - edge) - c["left_mm"], c["left_mm"] / c["radius_mm"])
    junction = frame(axis, around(c, edge, turn) - edge)
    # Seen square to an oblique edge; the second step sets another value.
    second = {**c, c["moves"]: c["moved_to"]}
    second["edge_height_mm"] = c["edge_height_mm"] + junction[1]
    second["under_mm"] = c["under_mm"] + junction[1]
    if c["support"] == "table":
        pass
    elif c["support"] == "handle":
        second["tool_length_mm"] -= junction[0]
    else:
        second["projection_mm"] -= junction[0]
    then = view(second, near.get("then"))
    if then is None:
        return None
    v = then["values"]
    end_bevel = bevel_at(c, axis, around(c, edge, turn))
    ends = junction + matrix([v["heel_s_mm"], -second["under_mm"]])
    # Where edge, junction and second heel lie on one circle: its middle is as far from all three.
    middle = findroot(
        lambda x, y: [dot(matrix([x, y]), matrix([x, y])) - dot(matrix([x, y]) - p, matrix([x, y]) - p)
                      for p in (junction, ends)],
        (mpf(0), mpf(-30)), tol=mpf(10) ** -100, verify=False)
    inside = length(matrix([middle[0], middle[1]]))
    old_heel = matrix([first["values"]["heel_s_mm"], -c["under_mm"]])
    # The tool frame in which both arcs are seen, by depth under the edge.
    beta = first["values"]["bevel_deg"]
    before = lambda t: setback(c["radius_mm"], beta, t, t / c["radius_mm"] / sin(radians(beta)))
    after = lambda t: junction[0] + (
        setback(c["radius_mm"], v["bevel_deg"], t + junction[1],
                (t + junction[1]) / c["radius_mm"] / sin(radians(v["bevel_deg"]))) if t > -junction[1] else 0)
    mp.dps = 40
    taken = mp.quad(lambda t: after(t) - before(t), [-junction[1] + mpf(10) ** -38, c["under_mm"]])
    mp.dps = 70
    curve = 3 * inside
    # The edge's lift: between the first chord and the curve's own direction at the edge.
    lift = degrees(mp.asin(length(junction) / (2 * curve)))
    values = {
        "junction_s_mm": junction[0], "junction_h_mm": junction[1], "at_end_deg": end_bevel,
        "second_at_begin_deg": v["bevel_deg"], "second_across_deg": v["across_deg"], "second_mm": v["facet_mm"],
        "second_heel_s_mm": ends[0], "inside_mm": inside, "removed_mm2": taken,
    }
    convex = cross(junction, ends) > 0
    if not convex:
        values.pop("inside_mm")
    return {"values": values, "near": {"first": first["near"], "then": then["near"]}, "old": old_heel}


def relief_table():
    table = Table("relief.csv")
    handle = {"support": "handle", "face": "round", "presentation": "axis", "edge_height_mm": "-4", "under_mm": "4",
              "radius_mm": "75", "arm_x_mm": "40", "arm_z_mm": "-110", "arm_tilt_deg": "10", "reach_mm": "250",
              "tool_length_mm": "270", "obliquity_deg": "90"}
    holder = {"support": "holder", "face": "round", "presentation": "axis", "edge_height_mm": "-4", "under_mm": "4",
              "radius_mm": "75", "arm_x_mm": "40", "arm_z_mm": "-90", "arm_tilt_deg": "0", "reach_mm": "105",
              "hinge_setback_mm": "15", "hinge_drop_mm": "5", "strut_length_mm": "60", "projection_mm": "50",
              "strut_angle_deg": "45", "obliquity_deg": "90"}
    table_rest = {"support": "table", "face": "round", "presentation": "axis", "edge_height_mm": "4", "under_mm": "8",
                  "radius_mm": "75", "hinge_x_mm": "112", "hinge_z_mm": "-14", "surface_offset_mm": "12",
                  "front_mm": "30", "rear_mm": "55", "tilt_deg": "12", "obliquity_deg": "90"}
    for name, text, by, to, left in [
        ("arm-in", handle, "reach_mm", "242", "2"), ("arm-in-narrow", handle, "reach_mm", "247", "0.8"),
        ("small-wheel", {**handle, "radius_mm": "62.5"}, "reach_mm", "240", "1.5"),
        ("drawn-out", holder, "projection_mm", "58", "2"), ("strut", holder, "strut_angle_deg", "40", "1.7"),
        ("holder-arm-in", holder, "reach_mm", "97", "2.2"),
        ("table", table_rest, "tilt_deg", "4", "3"), ("table-narrow", table_rest, "tilt_deg", "9", "1.1"),
    ]:
        text = {**text, "left_mm": left, "moved_to": to}
        c = {**exact(text), "moves": by}
        seen = relief(c)
        if seen is None:
            print("left out:", name)
            continue
        if seen["values"]["second_at_begin_deg"] >= seen["values"]["at_end_deg"]:
            print("not keener:", name, seen["values"]["second_at_begin_deg"], seen["values"]["at_end_deg"])
            continue
        plain = {k: v for k, v in c.items() if not isinstance(v, str)}
        words = {k: v for k, v in c.items() if isinstance(v, str)}

        def results(x):
            moved = relief({**words, **x}, seen["near"])["values"]
            return {k: moved[k] for k in seen["values"]}

        tolerance = tolerances(results, plain, seen["values"])
        # The quadrature has 35 digits; a difference by 1e-20 of it is no measure.
        tolerance["removed_mm2"] = mpf(10) ** -11
        table.give(name, {**text, "moves": by})
        table.find(name, seen["values"], tolerance)
    table.close()


if __name__ == "__main__":
    import sys

    for name, write in (("contact", contact_table), ("relief", relief_table), ("regrind", regrind_table)):
        if name in sys.argv[1:] or len(sys.argv) == 1:
            write()
