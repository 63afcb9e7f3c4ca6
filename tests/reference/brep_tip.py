"""Edge points and volumes of swung gouges, by a general-purpose boundary-representation kernel.

Bar minus flute minus what the wheel takes: the wheel's disc turned about the roll line through the swing, and the wheel as a
cylinder of its real width at both ends of the swing. Written to `brep_tip.csv`; `README.md` has the versions.

    python3 brep_tip.py        (needs cadquery-ocp)

Frame of the kernel: x = s (along the tool, nose at nought, handle positive), y = h (up), z = w (across); millimetres.
"""

import csv
import math
import pathlib

from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Curve
from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakeWire
from OCP.BRepGProp import BRepGProp
from OCP.BRepPrimAPI import BRepPrimAPI_MakeCylinder, BRepPrimAPI_MakePrism, BRepPrimAPI_MakeRevol
from OCP.GC import GC_MakeArcOfCircle, GC_MakeArcOfParabola
from OCP.GProp import GProp_GProps
from OCP.TopAbs import TopAbs_EDGE, TopAbs_SOLID
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS
from OCP.gp import gp_Ax1, gp_Ax2, gp_Circ, gp_Dir, gp_Parab, gp_Pnt, gp_Vec

END, LENGTH = -30.0, 70.0

# bar, flute (circle radius or parabola factor), floor, pivot (s, h), roll centre, wheel radius and width, bevel, swing, turn
CASES = [
    ("straight", 16, "circle", 7.0, -2.0, 139.5, -49.5, 0.0, 75, 40, 45, 90, 0),
    ("swept", 16, "parabola", 0.25, -4.0, 139.5, -49.5, 0.0, 75, 40, 45, 120, 0),
    ("short swing", 16, "parabola", 0.25, -4.0, 139.5, -49.5, 0.0, 75, 40, 45, 60, 0),
    ("high roll centre", 16, "parabola", 0.25, -4.0, 120.0, -35.0, 3.0, 100, 40, 55, 100, 0),
    ("near the floor", 12, "parabola", 0.4, -3.0, 110.0, -40.0, -2.0, 62.5, 25, 40, 110, 0),
    ("turned", 16, "parabola", 0.25, -4.0, 139.5, -49.5, 0.0, 75, 40, 45, 120, 5),
]


def wheel_centre(pivot_u, nose, centre, radius, nose_turned):
    """The wheel's centre (u, r) after a turn in the holder: pivot distance kept, rim through the nose."""
    distance = math.hypot(centre[0] - pivot_u, centre[1])
    leg = (nose_turned[0] - pivot_u, nose_turned[1])
    length = math.hypot(*leg)
    foot = (length**2 + distance**2 - radius**2) / (2 * length)
    height = math.sqrt(distance**2 - foot**2)
    before = (nose[0] - pivot_u) * centre[1] - nose[1] * (centre[0] - pivot_u)
    side = 1 if before > 0 else -1
    unit = (leg[0] / length, leg[1] / length)
    return (
        pivot_u + foot * unit[0] - side * height * unit[1],
        foot * unit[1] + side * height * unit[0],
    )


def build(case):
    name, bar, kind, shape, floor, ps, ph, ha, radius, width, bevel, swing, turn = case
    b, turn, psi = math.radians(bevel), math.radians(turn), math.radians(swing)
    # Roll line in its own plane: along (d), square to it on the wheel's side (n).
    reach = math.hypot(ps, ph - ha)
    d = (ps / reach, (ph - ha) / reach)
    n = (d[1], -d[0]) if -d[0] < 0 else (-d[1], d[0])
    roll = lambda s, q: (s * d[0] + (q - ha) * d[1], s * n[0] + (q - ha) * n[1])
    nose = roll(0.0, floor)
    centre = roll(-radius * math.sin(b), floor - radius * math.cos(b))
    if turn:
        u, a = roll(0.0, floor * math.cos(turn))
        centre = wheel_centre(reach, nose, centre, radius, (u, math.hypot(a, floor * math.sin(turn))))
    # Holder's directions in the tool: up (q) and sideways (b).
    up = (0.0, math.cos(turn), math.sin(turn))
    across = (0.0, -math.sin(turn), math.cos(turn))
    vector = lambda s, q, v: tuple(s * e + q * f + v * g for e, f, g in zip((1.0, 0.0, 0.0), up, across))
    origin = vector(0.0, ha, 0.0)
    along, square, side = vector(d[0], d[1], 0.0), vector(n[0], n[1], 0.0), vector(0.0, 0.0, 1.0)
    at = lambda u, a, v: gp_Pnt(*(o + u * x + a * y + v * z for o, x, y, z in zip(origin, along, square, side)))

    solid = BRepPrimAPI_MakeCylinder(
        gp_Ax2(gp_Pnt(END, 0, 0), gp_Dir(1, 0, 0)), bar / 2, LENGTH - END
    ).Shape()
    if kind == "circle":
        flute = BRepPrimAPI_MakeCylinder(
            gp_Ax2(gp_Pnt(END - 1, floor + shape, 0), gp_Dir(1, 0, 0)), shape, LENGTH - END + 2
        ).Shape()
    else:
        # h = floor + k w²: focal length 1/(4k), axis up.
        axes = gp_Ax2(gp_Pnt(END - 1, floor, 0), gp_Dir(1, 0, 0), gp_Dir(0, 1, 0))
        parabola = gp_Parab(axes, 1 / (4 * shape))
        reach_w = math.sqrt((bar - floor) / shape)
        arc = GC_MakeArcOfParabola(parabola, -reach_w, reach_w, True).Value()
        edge = BRepBuilderAPI_MakeEdge(arc).Edge()
        chord = BRepBuilderAPI_MakeEdge(arc.EndPoint(), arc.StartPoint()).Edge()
        face = BRepBuilderAPI_MakeFace(BRepBuilderAPI_MakeWire(edge, chord).Wire()).Face()
        flute = BRepPrimAPI_MakePrism(face, gp_Vec(LENGTH - END + 2, 0, 0)).Shape()
    fluted = BRepAlgoAPI_Cut(solid, flute).Shape()

    # The disc of the wheel on its own side of the line, turned from -psi to psi: start in the turned plane.
    start = lambda u, r: at(u, r * math.cos(psi), -r * math.sin(psi))
    reach_u = math.sqrt(radius**2 - centre[1] ** 2) if centre[1] < radius else 0.0
    tangent = gp_Dir(*(math.sin(psi) * y + math.cos(psi) * z for y, z in zip(square, side)))
    circle = gp_Circ(gp_Ax2(start(*centre), tangent), radius)
    if reach_u:
        first, last = start(centre[0] - reach_u, 0.0), start(centre[0] + reach_u, 0.0)
        arc = GC_MakeArcOfCircle(first, start(centre[0], centre[1] + radius), last).Value()
        wire = BRepBuilderAPI_MakeWire(
            BRepBuilderAPI_MakeEdge(arc).Edge(), BRepBuilderAPI_MakeEdge(last, first).Edge()
        ).Wire()
    else:
        wire = BRepBuilderAPI_MakeWire(BRepBuilderAPI_MakeEdge(circle).Edge()).Wire()
    disc = BRepBuilderAPI_MakeFace(wire).Face()
    # Along, square and side are left-handed: growing roll angles turn about the line the other way.
    axis = gp_Dir(*(-x for x in along))
    swept = BRepPrimAPI_MakeRevol(disc, gp_Ax1(gp_Pnt(*origin), axis), 2 * psi).Shape()
    ground = BRepAlgoAPI_Cut(fluted, swept).Shape()
    for end in (-psi, psi):
        axis = tuple(-math.sin(end) * y + math.cos(end) * z for y, z in zip(square, side))
        middle = at(centre[0], centre[1] * math.cos(end), centre[1] * math.sin(end))
        base = gp_Pnt(*(m - width / 2 * x for m, x in zip((middle.X(), middle.Y(), middle.Z()), axis)))
        wheel = BRepPrimAPI_MakeCylinder(gp_Ax2(base, gp_Dir(*axis)), radius, width).Shape()
        ground = BRepAlgoAPI_Cut(ground, wheel).Shape()
    return fluted, ground


def handle_part(shape):
    """The piece that reaches the handle, and all pieces' count."""
    explorer, best, count = TopExp_Explorer(shape, TopAbs_SOLID), None, 0
    while explorer.More():
        solid = TopoDS.Solid(explorer.Current())
        props = GProp_GProps()
        BRepGProp.VolumeProperties_s(solid, props, 1e-9)
        count += 1
        if best is None or props.Mass() > best[0]:
            best = (props.Mass(), solid)
        explorer.Next()
    return best, count


def edge_points(solid, case):
    """Points of the edges between the flute and a ground face: on the flute's wall, off the bar's outside."""
    name, bar, kind, shape, floor = case[:5]
    wall = (lambda w: floor + shape - math.sqrt(shape**2 - w * w)) if kind == "circle" else (lambda w: floor + shape * w * w)
    explorer, points = TopExp_Explorer(solid, TopAbs_EDGE), []
    while explorer.More():
        edge = TopoDS.Edge(explorer.Current())
        explorer.Next()
        if BRep_Tool.Degenerated_s(edge):
            continue
        curve = BRepAdaptor_Curve(edge)
        a, b = curve.FirstParameter(), curve.LastParameter()
        found = []
        for i in range(1, 12):
            p = curve.Value(a + (b - a) * i / 12)
            on_wall = abs(p.Z()) < (shape if kind == "circle" else 1e9) and abs(p.Y() - wall(p.Z())) < 1e-5
            inside = math.hypot(p.Y(), p.Z()) < bar / 2 - 1e-3
            if on_wall and inside and p.X() < LENGTH - 1:
                found.append((p.X(), p.Y(), p.Z()))
        if len(found) == 11:
            points += found
    return sorted({tuple(round(x, 9) for x in p) for p in points}, key=lambda p: p[2])


def main():
    out = pathlib.Path(__file__).with_name("brep_tip.csv")
    header = (
        "case bar_diameter_mm flute flute_value floor_mm pivot_s_mm pivot_h_mm roll_centre_mm wheel_radius_mm "
        "wheel_width_mm bevel_deg swing_deg turn_deg end_mm kind s_mm h_mm w_mm removed_mm3"
    ).split()
    with out.open("w", newline="") as file:
        rows = csv.writer(file, lineterminator="\n")
        rows.writerow(header)
        for case in CASES:
            fluted, ground = build(case)
            (whole, _), _ = handle_part(fluted)
            (left, solid), pieces = handle_part(ground)
            points = edge_points(solid, case)
            print(case[0], whole - left, pieces, len(points))
            rows.writerow([*case, END, "volume", "", "", "", f"{whole - left:.9f}"])
            for s, h, w in points:
                rows.writerow([*case, END, "edge", f"{s:.9f}", f"{h:.9f}", f"{w:.9f}", ""])


main()
