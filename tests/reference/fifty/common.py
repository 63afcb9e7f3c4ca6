"""What the scripts of this folder share: roots, differences, tolerances, and the form of the tables.

A table has the columns case, quantity, value, tolerance. Rows of one case stand together; those whose tolerance
reads `given` are its inputs, exact as the nearest double to what is printed. The others are what follows from them, to
40 digits. Their tolerance is what rounding alone may cost a program that works in doubles: 32 units of 2^-53, of the
value itself and of what each input's last bit moves it (the condition of the problem, not of any formula).
"""

import csv
import random

from mpmath import mp, mpf, matrix, sin, cos, atan2, pi, sqrt, findroot, nstr, radians, degrees

mp.dps = 70
STEP = mpf(10) ** -20
UNIT = mpf(2) ** -53
ROUNDINGS = 32


def given(text):
    """The double nearest to a decimal, exactly."""
    return mpf(float(text))


def root(f, start, apart=mpf(10) ** -9):
    """A simple root near a start."""
    x = findroot(f, (start, start + apart), solver="secant", tol=mpf(10) ** -120, verify=False, maxsteps=60)
    assert abs(f(x)) < mpf(10) ** (15 - mp.dps) * (1 + abs(x)) ** 2, (start, x, f(x))
    return x


def crossings(f, least, most, count):
    """Every place where a function crosses nought, seen in `count` steps in doubles and closed in on."""
    found, last = [], None
    for i in range(count + 1):
        x = least + (most - least) * i / count
        y = f(x)
        if y is not None and last is not None and (y <= 0) != (last[1] <= 0):
            found.append((last[0], x))
        last = None if y is None else (x, y)
    return found


def turned(angle):
    """The matrix that turns a plane, counted from the first axis towards the second."""
    return matrix([[cos(angle), -sin(angle)], [sin(angle), cos(angle)]])


def slope(f, x):
    """The derivative, by a difference so small that 40 digits are right."""
    return (f(x + STEP) - f(x - STEP)) / (2 * STEP)


def tolerances(results, inputs, values):
    """For every result: what `ROUNDINGS` last bits of it and of the inputs are worth."""
    total = {name: abs(value) for name, value in values.items()}
    for name, value in inputs.items():
        if value == 0:
            continue
        moved = results({**inputs, name: value * (1 + STEP)})
        for key in total:
            total[key] += abs(moved[key] - values[key]) / STEP
    return {key: ROUNDINGS * UNIT * t for key, t in total.items()}


class Table:
    def __init__(self, path):
        self.file = open(path, "w", newline="")
        self.writer = csv.writer(self.file, lineterminator="\n")
        self.writer.writerow(["case", "quantity", "value", "tolerance"])

    def give(self, case, inputs):
        for name, value in inputs.items():
            self.writer.writerow([case, name, value, "given"])

    def find(self, case, values, tolerance):
        for name, value in values.items():
            self.writer.writerow([case, name, nstr(value, 40, min_fixed=-4, max_fixed=6), nstr(tolerance[name], 2)])

    def close(self):
        self.file.close()
