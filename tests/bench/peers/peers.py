"""The same cuts by a mesh boolean library, by a B-rep kernel and by the program's own geometry, in one run on one core.

A 16 mm bar with a round flute (7 mm radius, floor 2 mm below the centreline: a narrower one at that depth closes over itself,
and the program refuses such a tool), its square end 12 mm in front of the edge's nose, less

  A  a torus of 180 mm and 75 mm, its axis 105 mm from the floor and sloping 45 degrees,
  B  a wheel of 150 mm and 40 mm width swung 90 degrees to either side about a line close to the bar.

Every peer gets the blank ready made, and of its tool only what can reach the bar. `run` makes the environment and calls this.
Frame: x = s (along the tool, nose at nought, handle positive), y = h (up), z = w (across); millimetres.
"""

import gc
import importlib.metadata
import json
import math
import os
import pathlib
import platform
import statistics
import subprocess
import sys
import time

HERE = pathlib.Path(__file__).parent
BAR, FLUTE, FLOOR, END, LENGTH = 8.0, 7.0, -2.0, -12.0, 40.0
WHEEL, WIDTH, ACCURACY = 75.0, 40.0, 0.01
# tests/reference/torus_volume.py, 30 digits.
EXACT = {"A": 1302.861534773006}


def timed(job, repeats):
    """Median milliseconds of processor time, which other work on the machine does not lengthen, and the last result."""
    times, result = [], None
    for _ in range(repeats):
        gc.collect()
        start = time.process_time()
        result = job()
        times.append((time.process_time() - start) * 1e3)
    return statistics.median(times), result


class Line:
    """A roll line: origin at the roll centre, `along` it, `square` to it on the wheel's side, and the third direction."""

    def __init__(self, case):
        half = math.sqrt(0.5)
        if case == "A":
            # The nose's normal; the axis through the foot, square to it.
            foot = (105 * half, FLOOR + 105 * half)
            self.origin, along = (0.0, foot[0] + foot[1]), (half, -half)
        else:
            self.origin, along = (0.0, 0.0), (139.5 / math.hypot(139.5, 49.5), -49.5 / math.hypot(139.5, 49.5))
        square = (along[1], -along[0])
        if square[1] > 0:
            square = (-square[0], -square[1])
        self.along, self.square = (*along, 0.0), (*square, 0.0)
        self.third = (0.0, 0.0, along[0] * square[1] - along[1] * square[0])
        # The wheel's centre off the nose against the bevel's normal, along the line and square to it.
        s, h = -WHEEL * half - self.origin[0], FLOOR - WHEEL * half - self.origin[1]
        self.centre = (s * along[0] + h * along[1], s * square[0] + h * square[1])
        # What of the wheel can reach the bar: along the line and square to it, and the swing that does.
        corners = [self.along_line(s, h) for s in (END - 2, 30.0) for h in (-BAR, BAR)]
        self.reach_u = (min(corners), max(corners))
        self.reach_r = (70.0, 150.0) if case == "A" else (-30.0, 30.0)
        self.half = math.radians(8.0 if case == "A" else 90.0)
        self.ends = case == "B"

    def along_line(self, s, h):
        return (s - self.origin[0]) * self.along[0] + (h - self.origin[1]) * self.along[1]

    def spokes(self, angle):
        """Directions away from the line and onwards at a roll angle."""
        c, s = math.cos(angle), math.sin(angle)
        out = tuple(c * x + s * y for x, y in zip(self.square, self.third))
        onward = tuple(c * y - s * x for x, y in zip(self.square, self.third))
        return out, onward

    def at(self, u, r, out):
        return tuple(o + u * x + r * y for o, x, y in zip((*self.origin, 0.0), self.along, out))


def step(radius):
    """The greatest step of a polygon within the accuracy of a circle."""
    return 2 * math.acos(1 - ACCURACY / radius)


# ---------------------------------------------------------------------------------------------------- mesh booleans


def manifold_side(case, long):
    import manifold3d as m

    line = Line(case)

    def circle(radius):
        return m.CrossSection.circle(radius, math.ceil(2 * math.pi / step(radius)))

    # The section in (h, w): local x = h, y = w, extruded along s.
    section = circle(BAR) - circle(FLUTE).translate((FLOOR + FLUTE, 0))
    blank = section.extrude(LENGTH - END).transform([[0, 0, 1, END], [1, 0, 0, 0], [0, 1, 0, 0]])
    blank.num_tri()

    def patch():
        """The part of the wheel's disc that can reach the bar, in (r, u)."""
        disc = circle(WHEEL).translate((line.centre[1], line.centre[0]))
        (u0, u1), (r0, r1) = line.reach_u, line.reach_r
        return disc ^ m.CrossSection.square((r1 - r0, u1 - u0)).translate((r0, u0))

    def placed(body, out, onward):
        """Local x away from the line, y onwards, z along it."""
        return body.transform([[out[i], onward[i], line.along[i], (*line.origin, 0.0)[i]] for i in range(3)])

    def standing(angle):
        """The wheel at one roll angle, of its own width."""
        out, onward = line.spokes(angle)
        # Extruded along the local z of (r, u): onwards.
        slab = patch().extrude(WIDTH).translate((0, 0, -WIDTH / 2))
        return slab.transform([[out[i], line.along[i], -onward[i], (*line.origin, 0.0)[i]] for i in range(3)])

    def tool():
        out, onward = line.spokes(-line.half)
        turns = math.ceil(2 * math.pi / step(105.0 if case == "A" else 20.0))
        # Only what lies on the wheel's side of the line is turned.
        swept = m.Manifold.revolve(patch(), turns, math.degrees(2 * line.half))
        parts = [placed(swept, out, onward)]
        if line.ends:
            parts += [standing(-line.half), standing(line.half)]
        return parts

    def cut(parts):
        rest = blank
        for part in parts:
            rest = rest - part
        rest.num_tri()
        return rest

    parts = tool()
    for part in parts:
        part.num_tri()
    before = blank.volume()
    boolean_ms, rest = timed(lambda: cut(parts), 21)
    whole_ms, rest = timed(lambda: cut(tool()), 21)

    def poses():
        rest = blank
        for i in range(181):
            rest = rest - standing(math.radians(i - 90))
            rest.num_tri()
        return rest

    poses_ms, left = timed(poses, 5)
    return {
        "boolean_ms": boolean_ms,
        "whole_ms": whole_ms,
        "poses_ms": poses_ms,
        "volume_mm3": before - rest.volume(),
        "poses_mm3": before - left.volume(),
        "triangles": rest.num_tri(),
        "version": importlib.metadata.version("manifold3d"),
    }


# ----------------------------------------------------------------------------------------------------------- B-rep


def brep_side(case, long):
    from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge, BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakeWire
    from OCP.BRepGProp import BRepGProp
    from OCP.BRepMesh import BRepMesh_IncrementalMesh
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeCylinder, BRepPrimAPI_MakeRevol, BRepPrimAPI_MakeTorus
    from OCP.BRepTools import BRepTools
    from OCP.GC import GC_MakeArcOfCircle
    from OCP.GProp import GProp_GProps
    from OCP.gp import gp_Ax1, gp_Ax2, gp_Dir, gp_Pnt

    line = Line(case)
    origin = gp_Pnt(*line.origin, 0.0)

    def volume(shape):
        props = GProp_GProps()
        BRepGProp.VolumeProperties_s(shape, props, 1e-9)
        return props.Mass()

    bar = BRepPrimAPI_MakeCylinder(gp_Ax2(gp_Pnt(END, 0, 0), gp_Dir(1, 0, 0)), BAR, LENGTH - END).Shape()
    flute = BRepPrimAPI_MakeCylinder(
        gp_Ax2(gp_Pnt(END - 1, FLOOR + FLUTE, 0), gp_Dir(1, 0, 0)), FLUTE, LENGTH - END + 2
    ).Shape()
    blank = BRepAlgoAPI_Cut(bar, flute).Shape()
    before = volume(blank)

    def standing(angle):
        out, onward = line.spokes(angle)
        middle = line.at(*line.centre, out)
        base = gp_Pnt(*(x - WIDTH / 2 * y for x, y in zip(middle, onward)))
        return BRepPrimAPI_MakeCylinder(gp_Ax2(base, gp_Dir(*onward)), WHEEL, WIDTH).Shape()

    def cut():
        if case == "A":
            centre = gp_Pnt(*line.at(line.centre[0], 0.0, line.square))
            torus = BRepPrimAPI_MakeTorus(gp_Ax2(centre, gp_Dir(*line.along)), line.centre[1], WHEEL).Shape()
            return BRepAlgoAPI_Cut(blank, torus).Shape()
        u, r = line.centre
        out, _ = line.spokes(-line.half)
        reach = math.sqrt(WHEEL**2 - r**2)
        first, last = gp_Pnt(*line.at(u - reach, 0.0, out)), gp_Pnt(*line.at(u + reach, 0.0, out))
        arc = GC_MakeArcOfCircle(first, gp_Pnt(*line.at(u, r + WHEEL, out)), last).Value()
        wire = BRepBuilderAPI_MakeWire(
            BRepBuilderAPI_MakeEdge(arc).Edge(), BRepBuilderAPI_MakeEdge(last, first).Edge()
        ).Wire()
        disc = BRepBuilderAPI_MakeFace(wire).Face()
        swept = BRepPrimAPI_MakeRevol(disc, gp_Ax1(origin, gp_Dir(*line.along)), 2 * line.half).Shape()
        rest = BRepAlgoAPI_Cut(blank, swept).Shape()
        for angle in (-line.half, line.half):
            rest = BRepAlgoAPI_Cut(rest, standing(angle)).Shape()
        return rest

    def cut_and_mesh():
        rest = cut()
        BRepTools.Clean_s(rest)
        BRepMesh_IncrementalMesh(rest, ACCURACY, False, 0.5, False)
        return rest

    cut_ms, rest = timed(cut, 11)
    mesh_ms, rest = timed(cut_and_mesh, 11)
    found = {
        "cut_ms": cut_ms,
        "mesh_ms": mesh_ms,
        "volume_mm3": before - volume(rest),
        "version": importlib.metadata.version("cadquery-ocp"),
    }
    if long:

        def poses():
            rest = blank
            for i in range(181):
                rest = BRepAlgoAPI_Cut(rest, standing(math.radians(i - 90))).Shape()
            return rest

        found["poses_ms"], left = timed(poses, 1)
        found["poses_mm3"] = before - volume(left)
    return found


# ----------------------------------------------------------------------------------------------------------- table


def own_side():
    out = subprocess.run([HERE / "own/target/release/bevelbench-peers"], check=True, capture_output=True, text=True)
    return {found["case"]: found for found in map(json.loads, out.stdout.splitlines())}


def machine():
    model = platform.machine()
    for row in pathlib.Path("/proc/cpuinfo").read_text().splitlines():
        if row.startswith("flags"):
            vectors = [name for name in ("avx512f", "avx2", "avx", "sse2") if name in row.split()]
            model = f"{platform.machine()} with {vectors[0].upper() if vectors else 'no vectors'}"
            break
    return f"one core of {os.cpu_count()}, {model}, {platform.system()}"


def ms(value):
    if value >= 1000:
        return f"{value / 1000:.1f} s"
    return f"{value:.3g} ms" if value >= 1 else f"{value * 1000:.3g} µs"


def main():
    long = "--long" in sys.argv
    if hasattr(os, "sched_setaffinity"):
        os.sched_setaffinity(0, {min(os.sched_getaffinity(0))})
    runs = [own_side()]
    mesh = {case: manifold_side(case, long) for case in "AB"}
    runs.append(own_side())
    brep = {case: brep_side(case, long) for case in "AB"}
    runs.append(own_side())
    own = {
        case: {
            key: statistics.median(run[case][key] for run in runs) if key.endswith("_us") else value
            for key, value in runs[0][case].items()
        }
        for case in "AB"
    }
    exact = {"A": EXACT["A"], "B": own["B"]["fine_mm3"]}
    off = lambda case, value: f"{abs(value - exact[case]):.2g}"
    print(f"Medians of processor time on {machine()}; B-rep kernel `cadquery-ocp` {brep['A']['version']}, "
          f"mesh booleans `manifold3d` {mesh['A']['version']}.\n")
    print("| who, what | A | error, mm³ | B | error, mm³ |")
    print("|---|---|---|---|---|")

    def row(name, time_of, volume_of):
        cells = [f"{ms(time_of(case))} | {volume_of(case)}" for case in "AB"]
        print(f"| {name} | {' | '.join(cells)} |")

    row("B-rep kernel: cut", lambda c: brep[c]["cut_ms"], lambda c: off(c, brep[c]["volume_mm3"]))
    row("B-rep kernel: cut and mesh at 0.01 mm", lambda c: brep[c]["mesh_ms"], lambda c: off(c, brep[c]["volume_mm3"]))
    row("mesh boolean at 0.01 mm, tool ready made", lambda c: mesh[c]["boolean_ms"], lambda c: off(c, mesh[c]["volume_mm3"]))
    row("mesh boolean with building the tool", lambda c: mesh[c]["whole_ms"], lambda c: off(c, mesh[c]["volume_mm3"]))
    row("mesh booleans, 181 poses one at a time", lambda c: mesh[c]["poses_ms"], lambda c: off(c, mesh[c]["poses_mm3"]))
    if long:
        row("B-rep kernel, 181 poses", lambda c: brep[c]["poses_ms"], lambda c: off(c, brep[c]["poses_mm3"]))
    triangles, deviation = own["A"]["triangles"], max(own[c]["deviation_mm"] for c in "AB")
    row(f"this program, whole answer: 513 edge points, volume, {triangles:,} triangles, contact map",
        lambda c: own[c]["whole_us"] / 1e3, lambda c: off(c, own[c]["volume_mm3"]))
    row("this program, numbers only: 201 edge points with every angle, summary, volume",
        lambda c: own[c]["numbers_us"] / 1e3, lambda c: off(c, own[c]["volume_mm3"]))
    row("this program, volume alone", lambda c: own[c]["volume_us"] / 1e3, lambda c: off(c, own[c]["volume_mm3"]))
    for size in ("few", "many"):
        row(f"this program, 181 poses over {own['A'][size + '_rays']:,} rays",
            lambda c: own[c][size + "_us"] / 1e3, lambda c: off(c, own[c][size + "_mm3"]))
    print(f"\nThe program's mesh lies within {deviation:.4f} mm; its envelope is that of every pose tried on every ray to "
          f"{max(own[c]['off_mm'] for c in 'AB'):.1g} mm. Errors of A against the 30-digit value; of B against the "
          "program's own quadrature to 1e-11, which the B-rep kernel bears out to the digits shown.\n")

    print("| ratio in this run | A | B | aim |")
    print("|---|---|---|---|")
    for name, over, under, aim in (
        ("whole answer, against mesh boolean with building", lambda c: mesh[c]["whole_ms"], "whole_us", 100),
        ("whole answer, against B-rep cut and mesh", lambda c: brep[c]["mesh_ms"], "whole_us", 250),
        ("numbers only, against B-rep cut", lambda c: brep[c]["cut_ms"], "numbers_us", 1000),
        ("numbers only, against mesh boolean with building", lambda c: mesh[c]["whole_ms"], "numbers_us", 400),
        (f"181 poses over {own['A']['few_rays']:,} rays, against mesh booleans one at a time",
         lambda c: mesh[c]["poses_ms"], "few_us", 1000),
        (f"181 poses over {own['A']['many_rays']:,} rays, against the same", lambda c: mesh[c]["poses_ms"], "many_us", 1000),
    ):
        ratios = [over(c) * 1e3 / own[c][under] for c in "AB"]
        met = ["" if ratio >= aim else " (not met)" for ratio in ratios]
        print(f"| {name} | {ratios[0]:.0f}×{met[0]} | {ratios[1]:.0f}×{met[1]} | {aim}× |")


main()
