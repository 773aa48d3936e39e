#!/usr/bin/env python3
"""Solves the bench's alignment readings with scipy beside this project's estimation, in one run.

The model is written out here once more on plain arrays, apart from the crate's: 31 unknowns with priors
as further rows. scipy.optimize.least_squares with an exact Jacobian ("lm", MINPACK) and with its own
differences ("trf", the default), each from the prior means, with the covariance from the Jacobian.

    python3 -m venv /tmp/peers && /tmp/peers/bin/pip install numpy scipy
    /tmp/peers/bin/python bench/estimation_peers.py

Needs cargo. Prints the largest differences of values and uncertainties, then microseconds an estimate,
best of several rounds, and the ratio to ours. Ours also looks for implausible readings, tests every
reading and names what is not known; the peers only fit.
"""
import pathlib
import re
import subprocess
import time

import numpy as np
from scipy.optimize import least_squares

HERE = pathlib.Path(__file__).parent
WHEELS = ["front left", "front right", "rear left", "rear right"]
WHEELBASE, RIM, PLATE = 2550.0, 400.0, 600.0
TRACK = {"front": 1480.0, "rear": 1465.0}
RAD = np.pi / 180
TOE, CAMBER, HUB, ACROSS, UP, FLOOR = 0, 4, 8, 12, 16, 20
STRING, YAW, ZERO, CASTER, COUNT = 24, 26, 28, 29, 31
INCLINATION = 12.0


def sign(wheel):
    return 1.0 if wheel % 2 == 0 else -1.0


def row(name):
    """Coefficients of a linear reading, or the side of a caster sweep."""
    a = np.zeros(COUNT)
    turned = -1.0 if "half a turn on" in name else 1.0
    w = next((i for i, n in enumerate(WHEELS) if n in name), None)
    if name.startswith(("string to rim", "string to hub")):
        e = 0.0 if "hub" in name else RIM / 2 * (1 if "front edge" in name else -1)
        side, g = w % 2, sign(w)
        x = (0.0 if w < 2 else -WHEELBASE) + e
        a[STRING + side], a[YAW + side], a[HUB + w] = g, g * x * RAD, -g
        a[TOE + w], a[ACROSS + w] = e * RAD, np.sign(e) * turned
    elif name.startswith("spacing"):
        x = 700.0 if "front" in name else -WHEELBASE - 700.0
        a[STRING:STRING + 2], a[YAW:YAW + 2] = [1, -1], [x * RAD, -x * RAD]
    elif name.startswith("toe plates"):
        a[TOE:TOE + 2], a[ACROSS:ACROSS + 2] = PLATE * RAD, turned * 2 * PLATE / RIM
    elif name.startswith("camber"):
        slope = 1 / TRACK[WHEELS[w].split()[0]] / RAD
        a[CAMBER + w], a[ZERO], a[UP + w] = 1, 1, turned * 2 / RIM / RAD
        a[FLOOR + w], a[FLOOR + (w ^ 1)] = -slope, slope
    elif name.startswith("floor"):
        start, end = name.removeprefix("floor, ").split(" to ")
        a[FLOOR + WHEELS.index(end)], a[FLOOR + WHEELS.index(start)] = 1, -1
    return a


def camber(side, heading, straight, caster):
    """Camber of a steered wheel: the spin axis stays at its angle to the steering axis."""
    s = 1.0 if side == "left" else -1.0
    kx, ky = -np.tan(caster * RAD), -s * np.tan(INCLINATION * RAD)
    t = -s * heading * RAD
    a = kx * np.sin(t) + s * ky * np.cos(t)
    c = s * ky * np.cos(straight * RAD) - np.sin(straight * RAD)
    return (np.arccos(c / np.hypot(a, 1)) - np.arctan2(1, a)) / RAD


def problem(readings):
    mean, width = np.zeros(COUNT), np.zeros(COUNT)
    width[TOE:TOE + 4], width[CAMBER:CAMBER + 4], width[HUB:HUB + 4] = 3, 5, 20
    width[ACROSS:UP + 4], width[FLOOR:FLOOR + 4] = 0.3, 4
    width[STRING:STRING + 2], width[YAW:YAW + 2], width[ZERO] = 50, 1, 0.1
    mean[CASTER:], width[CASTER:] = 4, 6
    mean[HUB:HUB + 4] = [740, -740, 732.5, -732.5]
    gaps = [[v for n, v, _ in readings if n.startswith("string") and f"front {s}" in n] for s in ("left", "right")]
    mean[STRING:STRING + 2] = [740 + np.mean(gaps[0]), -740 - np.mean(gaps[1])]
    names = [n for n, _, _ in readings]
    matrix = np.array([row(n) for n in names] + [np.eye(COUNT)[HUB:HUB + 2].sum(0) / 2, np.eye(COUNT)[HUB + 2:HUB + 4].sum(0) / 2])
    value = np.array([v for _, v, _ in readings] + [0.0, 0.0])
    sigma = np.array([s for _, _, s in readings] + [1.0, 2.0])
    swept = [(i, n.split()[-1]) for i, n in enumerate(names) if n.startswith("caster")]
    # Straight ahead as the bench has it: the mean of both sides' cambers, less what inclination adds.
    lift = INCLINATION * (1 - np.cos(20 * RAD))

    def predict(x):
        f = matrix @ x
        for i, side in swept:
            s = 1.0 if side == "left" else -1.0
            low = -0.5 - s * 4 * np.sin(20 * RAD)
            straight = low + value[i] / 2 - lift
            caster = x[CASTER + (side == "right")]
            f[i] = camber(side, 20.0, straight, caster) - camber(side, -20.0, straight, caster)
        return f

    def residual(x):
        return np.concatenate([(predict(x) - value) / sigma, (x - mean) / width])

    def jacobian(x):
        j = np.vstack([matrix / sigma[:, None], np.diag(1 / width)])
        for i, side in swept:
            k, h = CASTER + (side == "right"), 1e-4
            step = np.eye(COUNT)[k] * h
            j[i, k] = (predict(x + step)[i] - predict(x - step)[i]) / (2 * h) / sigma[i]
        return j

    return residual, jacobian, mean


def answers(x, covariance):
    rows = {f"toe {w}": np.eye(COUNT)[TOE + i] for i, w in enumerate(WHEELS)}
    rows |= {f"camber {w}": np.eye(COUNT)[CAMBER + i] for i, w in enumerate(WHEELS)}
    rows |= {f"caster {s}": np.eye(COUNT)[CASTER + i] for i, s in enumerate(("left", "right"))}
    rows["total toe front"] = rows["toe front left"] + rows["toe front right"]
    rows["thrust angle"] = (rows["toe rear right"] - rows["toe rear left"]) / 2
    return {n: (r @ x, np.sqrt(r @ covariance @ r)) for n, r in rows.items()}


def best(rounds, work):
    least = np.inf
    for _ in range(rounds):
        start = time.perf_counter()
        out = work()
        least = min(least, time.perf_counter() - start)
    return least * 1e6, out


def main():
    out = subprocess.check_output(
        ["cargo", "bench", "--quiet", "-p", "axlestand-geometry", "--bench", "estimation", "--", "--readings"],
        cwd=HERE.parent, text=True)
    rows = [line.split(";") for line in out.splitlines() if ";" in line]
    readings = [(r[1], float(r[2]), float(r[3])) for r in rows if r[0] == "reading"]
    told = {r[1]: (float(r[2]), float(r[3])) for r in rows if r[0] == "answer"}
    own = float(re.search(r"alignment, \d+ readings\s+([0-9.]+)", out)[1])
    residual, jacobian, start = problem(readings)

    def fit(**how):
        found = least_squares(residual, start, xtol=1e-12, ftol=1e-12, gtol=1e-12, **how)
        return found.x, np.linalg.inv(found.jac.T @ found.jac)

    peers = {"scipy lm, exact Jacobian": dict(jac=jacobian, method="lm"), "scipy trf, own differences": dict()}
    for name, how in peers.items():
        us, (x, covariance) = best(20, lambda how=how: fit(**how))
        theirs = answers(x, covariance)
        value = max(abs(theirs[n][0] - told[n][0]) for n in theirs)
        u = max(abs(theirs[n][1] / told[n][1] - 1) for n in theirs)
        print(f"{name:30s}{us:10.0f} us {us / own:8.1f} x   values differ by {value:.1e} deg, uncertainties by {u:.1e}")
    print(f"{'this crate':30s}{own:10.0f} us      1.0 x")


if __name__ == "__main__":
    main()
