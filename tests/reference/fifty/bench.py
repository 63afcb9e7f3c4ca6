"""The side plane rebuilt from coordinates: points, a circle, a line. No triangle, no law of cosines.

Bench frame: origin at the wheel's centre, x towards the operator, z up. The tool is a rigid set of points; it is turned
about its pivot, or slid along its table, until its edge stands on the abrasive. Of the two places where it does, the
upper one is meant.
"""

from common import *


def pivot_in_tool(c):
    """The strut's end, or the handle's end, in the tool's frame (along, up)."""
    if c["support"] == "handle":
        return matrix([c["tool_length_mm"], 0])
    hinge = matrix([c["projection_mm"] + c["hinge_setback_mm"], -c["hinge_drop_mm"]])
    return hinge + turned(-radians(c["strut_angle_deg"])) * matrix([c["strut_length_mm"], 0])


def seen_square(c, point):
    """A point of the tool's plane of symmetry, seen along the spindle: a tool whose oblique edge is held parallel to the
    spindle is yawed about its own upward direction."""
    if c["presentation"] == "axis":
        return point
    yaw = pi / 2 - radians(c["obliquity_deg"])
    space = matrix([[cos(yaw), -sin(yaw), 0], [sin(yaw), cos(yaw), 0], [0, 0, 1]])
    away = space * matrix([point[0], 0, point[1]])
    return matrix([away[0], away[2]])


def dot(a, b):
    return a[0] * b[0] + a[1] * b[1]


def cross(a, b):
    return a[0] * b[1] - a[1] * b[0]


def length(a):
    return sqrt(dot(a, a))


def off_face(c, point):
    if c["face"] == "flat":
        return dot(point, turned(radians(c["normal_deg"])) * matrix([1, 0]))
    return length(point) - c["radius_mm"]


def pivot_in_bench(c):
    along = turned(radians(c["arm_tilt_deg"])) * matrix([1, 0])
    return matrix([c["arm_x_mm"], c["arm_z_mm"]]) + along * c["reach_mm"]


def stands(c, near=None):
    """The direction of the tool's axis and the edge's place, or None. `near`: an answer of a bench hardly different."""
    if c["support"] == "table":
        axis = turned(radians(c["tilt_deg"])) * matrix([1, 0])
        up = matrix([-axis[1], axis[0]])
        base = matrix([c["hinge_x_mm"], c["hinge_z_mm"]]) + up * (c["surface_offset_mm"] + c["under_mm"])
        place = lambda x: base + axis * x
        off = lambda x: off_face(c, place(x))
        if near is None:
            found = crossings(lambda x: float(off(mpf(x))), -700.0, 700.0, 1400)
            if not found:
                return None
            near = mpf(found[-1][0] + found[-1][1]) / 2
        x = root(off, near)
        return {"at": x, "axis": axis, "edge": place(x)}
    pivot = c.get("pivot") or pivot_in_bench(c)
    arm = seen_square(c, matrix([0, c["edge_height_mm"]]) - pivot_in_tool(c))
    place = lambda turn: pivot + turned(turn) * arm
    off = lambda turn: off_face(c, place(turn))
    if near is None:
        mp.dps = 17
        found = crossings(lambda t: float(off(mpf(t))), 0.0, 6.283185307179586, 720)
        mp.dps = 70
        for low, high in found:
            turn = root(off, mpf(low + high) / 2)
            edge = place(turn)
            upper = cross(pivot, edge) if c["face"] == "round" else cross(normal_of(c), edge - pivot)
            if upper > 0:
                near = turn
        if near is None:
            return None
    turn = root(off, near)
    return {"at": turn, "axis": turned(turn) * matrix([1, 0]), "edge": place(turn)}


def normal_of(c):
    return turned(radians(c["normal_deg"])) * matrix([1, 0])


def outward(c, point):
    return point / length(point) if c["face"] == "round" else normal_of(c)


def bevel_at(c, axis, point):
    """Between the tool's axis and the face at a point of the abrasive, the rim running down towards the handle."""
    normal = outward(c, point)
    rim = matrix([normal[1], -normal[0]])
    return degrees(atan2(dot(axis, normal), dot(axis, rim)))


def around(c, from_point, turn):
    """The point of the rim after so much of a turn from another, downwards."""
    if c["face"] == "flat":
        normal = normal_of(c)
        return from_point + matrix([normal[1], -normal[0]]) * turn
    return turned(-turn) * from_point


def view(c, near=None):
    """What the side view shows, and where to look for it again."""
    near = near or {}
    pose = stands(c, near.get("pose"))
    if pose is None:
        return None
    axis, edge = pose["axis"], pose["edge"]
    up = matrix([-axis[1], axis[0]])
    depth = lambda turn: dot(edge - around(c, edge, turn), up) - c["under_mm"]
    start = near.get("heel")
    if start is None:
        mp.dps = 17
        most = 3.2 if c["face"] == "round" else 400.0
        found = crossings(lambda t: float(depth(mpf(t))), 0.0, most, 3200)
        mp.dps = 70
        if not found:
            return None
        start = mpf(found[0][0] + found[0][1]) / 2
    turn = root(depth, start)
    heel = around(c, edge, turn)
    chord = heel - edge
    values = {
        "bevel_deg": bevel_at(c, axis, edge),
        "across_deg": degrees(atan2(-dot(chord, up), dot(chord, axis))),
        "heel_deg": bevel_at(c, axis, heel),
        "facet_mm": length(chord),
        "heel_s_mm": dot(chord, axis),
        "contact_x_mm": edge[0],
        "contact_z_mm": edge[1],
        "handle_deg": -degrees(atan2(axis[1], axis[0])),
    }
    if c["face"] == "round":
        # The deepest place of the hollow: the rim runs there as the chord does.
        deepest = root(lambda t: dot(around(c, edge, t), chord), turn / 2)
        values["hollow_mm"] = abs(cross(chord, around(c, edge, deepest) - edge)) / length(chord)
    if c["support"] != "table":
        pivot = c.get("pivot") or pivot_in_bench(c)
        if c["face"] == "round":
            # The nearest point of the rim: the way to the pivot is square to the rim there.
            rim = lambda t: matrix([cos(t), sin(t)]) * c["radius_mm"]
            t = root(lambda t: cross(rim(t), pivot - rim(t)), atan2(pivot[1], pivot[0]))
            values["gauge_mm"] = length(pivot - rim(t))
        else:
            values["gauge_mm"] = off_face(c, pivot)
    else:
        values["rest_gap_mm"] = rest_gap(c, axis, up)
    return {"values": values, "near": {"pose": pose["at"], "heel": turn}}


def rest_gap(c, axis, up):
    surface = lambda x: matrix([c["hinge_x_mm"], c["hinge_z_mm"]]) + up * c["surface_offset_mm"] + axis * x
    front, rear = surface(-c["front_mm"]), surface(c["rear_mm"])
    if c["face"] == "flat":
        return min(off_face(c, front), off_face(c, rear))
    nearest = root(lambda x: dot(surface(x), axis), mpf(0))
    nearest = min(max(nearest, -c["front_mm"]), c["rear_mm"])
    return length(surface(nearest)) - c["radius_mm"]


def reading(c, near=None, quantity="bevel_deg"):
    seen = view(c, near)
    return None if seen is None else seen["values"][quantity]
