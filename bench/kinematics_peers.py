#!/usr/bin/env python3
"""Times the spatial strut in general libraries beside this project's kinematics, in one run.

162 heights, 0 to ±80 mm in 1 mm steps, each solution started from its neighbour:
scipy (fsolve on a residual written out on plain arrays), CasADi (exact Jacobian, Newton, warm-started
inside its own machine) and MuJoCo from C (Gauss-Newton on its own constraints).

    python3 -m venv /tmp/peers && /tmp/peers/bin/pip install numpy scipy casadi mujoco
    /tmp/peers/bin/python bench/kinematics_peers.py

Needs gcc and cargo. Prints microseconds a position, best of several rounds, and the ratio to ours.
"""
import pathlib
import re
import subprocess
import tempfile
import time
import warnings

import casadi as ca
import mujoco
import numpy as np
from scipy.optimize import fsolve

from strut_check import POINTS, model_xml

HERE = pathlib.Path(__file__).parent
P = {k: np.array(v, float) for k, v in POINTS.items()}
CENTRE = P["centre"]
INNER = np.array([P["front"], P["rear"], P["inner"]])
OUTER = np.array([P["ball"], P["ball"], P["outer"]]) - CENTRE
LENGTH = np.linalg.norm(OUTER + CENTRE - INNER, axis=1)
AXIS = (P["top"] - P["seat"]) / np.linalg.norm(P["top"] - P["seat"])
E1 = np.cross(AXIS, [1.0, 0, 0]) / np.linalg.norm(np.cross(AXIS, [1.0, 0, 0]))
ACROSS = np.array([E1, np.cross(AXIS, E1)])
SEAT = P["seat"] - CENTRE
HEIGHTS = [np.arange(0, 81.0), -np.arange(0, 81.0)]
COUNT = 162


def rotation(w):
    square = w @ w
    if square < 1e-16:
        a, b = 1 - square / 6, 0.5 - square / 24
    else:
        angle = np.sqrt(square)
        a, b = np.sin(angle) / angle, (1 - np.cos(angle)) / square
    k = np.array([[0, -w[2], w[1]], [w[2], 0, -w[0]], [-w[1], w[0], 0.0]])
    return np.eye(3) + a * k + b * (k @ k)


def residual(x, travel):
    p, r = CENTRE + x[:3], rotation(x[3:])
    d = p + OUTER @ r.T - INNER
    out = np.empty(6)
    out[:3] = np.sqrt(np.einsum("ij,ij->i", d, d)) - LENGTH
    out[3:5] = ACROSS @ (r.T @ (P["top"] - p) - SEAT)
    out[5] = x[2] - travel
    return out


def best(rounds, work):
    least = np.inf
    for _ in range(rounds):
        start = time.perf_counter()
        result = work()
        least = min(least, time.perf_counter() - start)
    return least / COUNT * 1e6, result


def by_scipy():
    ends = []
    for heights in HEIGHTS:
        x = np.zeros(6)
        for travel in heights:
            x = fsolve(residual, x, args=(travel,), xtol=1e-10)
        ends.append(x)
    return ends


def casadi_sweep():
    x, z = ca.SX.sym("x", 6), ca.SX.sym("z")
    w = x[3:]
    square = ca.dot(w, w) + 1e-30
    angle, k = ca.sqrt(square), ca.skew(w)
    r = ca.SX.eye(3) + ca.sin(angle) / angle * k + (1 - ca.cos(angle)) / square * (k @ k)
    p = ca.DM(CENTRE) + x[:3]
    rows = [ca.norm_2(p + r @ ca.DM(b) - ca.DM(q)) - length for q, b, length in zip(INNER, OUTER, LENGTH)]
    y = r.T @ (ca.DM(P["top"]) - p) - ca.DM(SEAT)
    rows += [ca.dot(ca.DM(e), y) for e in ACROSS] + [x[2] - z]
    f = ca.Function("f", [x, z], [ca.vertcat(*rows)])
    root = ca.rootfinder("root", "newton", f, dict(abstol=1e-9, line_search=False))
    x0, travel = ca.MX.sym("x", 6), ca.MX.sym("z")
    sweep = ca.Function("step", [x0, travel], [root(x0, travel)]).mapaccum(81)
    start = np.full(6, 1e-9)
    return lambda: [np.array(sweep(start, h))[:, -1] for h in HEIGHTS]


def by_mujoco():
    package = pathlib.Path(mujoco.__file__).parent
    library = next(package.glob("libmujoco.so*"))
    with tempfile.TemporaryDirectory() as folder:
        model, program = pathlib.Path(folder, "strut.xml"), pathlib.Path(folder, "strut")
        model.write_text(model_xml(idle_spin=False))
        subprocess.check_call(["gcc", "-O3", "-march=native", str(HERE / "strut_mujoco.c"), f"-I{package}/include",
                               str(library), f"-Wl,-rpath,{package}", "-lm", "-o", str(program)])
        out = subprocess.check_output([str(program), str(model), "100", "20"], text=True)
    return [float(x) for x in out.split()]


def ours():
    out = subprocess.check_output(["cargo", "bench", "-q", "-p", "axlestand-geometry", "--bench", "kinematics"],
                                  cwd=HERE.parent, text=True)
    print(out)
    return float(re.search(r"1 mm steps\s+([0-9.]+)", out)[1])


def main():
    # At travel nought the start is the solution, which fsolve reports as no progress.
    warnings.filterwarnings("ignore", category=RuntimeWarning)
    scipy_us, a = best(5, by_scipy)
    casadi_us, b = best(20, casadi_sweep())
    mujoco_us, iterations = by_mujoco()
    own = ours()
    print(f"scipy and CasADi differ by {max(np.abs(x - y).max() for x, y in zip(a, b)):.1e} (mm, rad)")
    print(f"MuJoCo takes {iterations:.2f} iterations a position")
    for name, us in (("scipy fsolve, lean residual", scipy_us), ("CasADi Newton, mapped", casadi_us),
                     ("MuJoCo in C, Gauss-Newton", mujoco_us), ("this crate", own)):
        print(f"{name:32s}{us:10.3f} us a position {us / own:8.1f} x")


if __name__ == "__main__":
    main()
