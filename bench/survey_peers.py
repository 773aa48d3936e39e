#!/usr/bin/env python3
"""Adjusts the bench's tape survey of a strut corner with scipy beside this project's, in one run.

The corner is written out here once more on plain arrays, apart from the crate's: three rods of fixed
length, a strut whose line passes through its top mount, the hub at a height, solved by Newton's method;
54 unknowns (hardpoints, what a tape touches of them, floor, gauge zeros) with their priors as further
rows. scipy.optimize.least_squares with its own differences ("trf", the default, and "lm", MINPACK).

    python3 -m venv /tmp/peers && /tmp/peers/bin/pip install numpy scipy
    /tmp/peers/bin/python bench/survey_peers.py

Needs cargo. Prints the largest differences of the two answers and their uncertainties, then milliseconds
a fit from the same start, best of several, and the ratio to ours.
"""
import pathlib
import re
import subprocess
import time

import numpy as np
from scipy.optimize import least_squares

HERE = pathlib.Path(__file__).parent
POINTS = ["LowerFront", "LowerRear", "LowerBall", "TieRodInner", "TieRodOuter", "StrutSeat", "StrutTop", "WheelCentre"]
TYPICAL = np.array([
    [12.0, 352, 182], [-288, 336, 194], [-4, 703, 166], [-132, 318, 219],
    [-128, 664, 204], [-14, 652, 312], [-44, 566, 806], [0, 752, 296]])
TARGET = [1.0, 1.5, 1.5, 2.0, 1.5, 1.5, 2.5, 0.7]
CAMBER, TOE, OFFSETS, ROLL, PITCH, ZERO, RIDE = 23, 24, 25, 49, 50, 51, 53
RAD = np.pi / 180


def priors():
    mean, width = np.zeros(54), np.empty(54)
    mean[:21], mean[21:23] = TYPICAL[:7].ravel(), TYPICAL[7, 1:]
    width[:21], width[21:23], width[CAMBER], width[TOE] = 50, [60, 40], 3, 1.5
    width[OFFSETS:ROLL] = np.repeat(TARGET, 3)
    width[ROLL:ZERO], width[ZERO:RIDE], width[RIDE] = 0.15, 1, 2
    return mean, width


def points(x):
    return np.vstack([x[:21].reshape(7, 3), [0, x[21], x[22]]])


def turned(w):
    """The rotation by the vector w (Rodrigues)."""
    a = np.linalg.norm(w)
    k = np.array([[0, -w[2], w[1]], [w[2], 0, -w[0]], [-w[1], w[0], 0]])
    if a < 1e-12:
        return np.eye(3) + k
    return np.eye(3) + np.sin(a) / a * k + (1 - np.cos(a)) / a**2 * (k @ k)


class Corner:
    """A strut corner; keeps the last pose as the start of the next."""

    def __init__(self, x):
        p = points(x)
        self.hub = p[7]
        self.inner = p[[0, 1, 3]]
        self.outer = p[[2, 2, 4]] - self.hub
        self.lengths = np.linalg.norm(p[[2, 2, 4]] - self.inner, axis=1)
        line = (p[6] - p[5]) / np.linalg.norm(p[6] - p[5])
        first = np.cross(line, [1.0, 0, 0])
        first /= np.linalg.norm(first)
        self.across = np.array([first, np.cross(line, first)])
        self.top, self.at = p[6], self.across @ (p[5] - self.hub)
        c, t = x[CAMBER] * RAD, x[TOE] * RAD
        self.spin = np.array([np.cos(c) * np.sin(t), np.cos(c) * np.cos(t), -np.sin(c)])
        self.pose = (self.hub.copy(), np.eye(3))

    def angles(self, travel):
        """Camber and toe, degrees, with the hub raised by travel."""
        o, r = self.pose
        for _ in range(30):
            arm = self.outer @ r.T
            rod = o + arm - self.inner
            span = np.linalg.norm(rod, axis=1)
            u = rod / span[:, None]
            e, w = self.across @ r.T, self.top - o
            left = np.concatenate([span - self.lengths, e @ w - self.at, [o[2] - self.hub[2] - travel]])
            if np.abs(left).max() < 1e-10:
                break
            j = np.zeros((6, 6))
            j[:3, :3], j[:3, 3:] = u, np.cross(arm, u)
            j[3:5, :3], j[3:5, 3:] = -e, np.cross(e, w)
            j[5, 2] = 1
            step = np.linalg.solve(j, -left)
            o, r = o + step[:3], turned(step[3:]) @ r
        self.pose = (o, r)
        n = r @ self.spin
        return np.arctan2(-n[2], np.hypot(n[0], n[1])) / RAD, np.arctan2(n[0], n[1]) / RAD


def reading(text):
    kind, inside = re.fullmatch(r"(\w+)\((.*)\)", text).groups()
    return kind, [a.strip() for a in inside.split(",")]


def problem(readings):
    mean, width = priors()
    parsed = [reading(name) for name, _, _ in readings]
    value = np.array([v for _, v, _ in readings])
    sigma = np.array([s for _, _, s in readings])
    heights = sorted({float(a[0]) for k, a in parsed if k.startswith("Sweep")}, key=abs)

    def predict(x):
        touch = points(x) + x[OFFSETS:ROLL].reshape(8, 3)
        swept = {}
        for sign in (1, -1):
            corner = Corner(x)
            for z in heights:
                if z * sign >= 0 and z not in swept:
                    swept[z] = corner.angles(z)
        out = []
        for kind, args in parsed:
            if kind.startswith("Sweep"):
                which = kind == "SweepToe"
                out.append(swept[float(args[0])][which] + x[ZERO + which])
                continue
            a = touch[POINTS.index(args[0])]
            if kind == "Height":
                out.append(a[2] + a[1] * x[ROLL] * RAD - a[0] * x[PITCH] * RAD)
                continue
            d = touch[POINTS.index(args[1])] - a
            if kind == "Tape":
                out.append(np.linalg.norm(d))
            elif args[2] == "RiseInFront":
                out.append(np.arctan2(d[2] + d[1] * x[ROLL] * RAD, abs(d[1])) / RAD)
            else:
                out.append(np.arctan2(d[1], d[2]) / RAD - x[ROLL])
        return np.array(out)

    def residual(x):
        return np.concatenate([(predict(x) - value) / sigma, (x - mean) / width])

    return residual, mean, width


def change(x, by):
    there = np.array(Corner(x).angles(by + x[RIDE]))
    return there - np.array(Corner(x).angles(x[RIDE]))


def answers(x, covariance):
    """Change of camber and toe with the hub 30 mm lower, and uncertainties."""
    value = change(x, -30.0)
    steps = np.eye(54) * 1e-4
    g = np.array([(change(x + h, -30.0) - change(x - h, -30.0)) / 2e-4 for h in steps])
    return value, np.sqrt(np.einsum("ik,ij,jk->k", g, covariance, g))


def main():
    out = subprocess.check_output(
        ["cargo", "bench", "--quiet", "-p", "axlestand-geometry", "--bench", "estimation", "--", "--readings"],
        cwd=HERE.parent, text=True)
    rows = [line.split(";") for line in out.splitlines() if ";" in line]
    readings = [(r[1], float(r[2]), float(r[3])) for r in rows if r[0] == "taped"]
    told = np.array([[float(r[2]), float(r[3])] for r in rows if r[0] == "surveyed"])
    own = float(re.search(r"strut corner, one fit\s+([0-9.]+)", out)[1]) / 1000
    residual, start, width = problem(readings)
    for name, how in {"scipy trf": {}, "scipy lm": dict(method="lm")}.items():
        least = np.inf
        for _ in range(3):
            began = time.perf_counter()
            found = least_squares(residual, start, x_scale=width, xtol=1e-12, ftol=1e-12, gtol=1e-12, **how)
            least = min(least, (time.perf_counter() - began) * 1000)
        value, u = answers(found.x, np.linalg.inv(found.jac.T @ found.jac))
        off, ratio = np.abs(value - told[:, 0]).max(), np.abs(u / told[:, 1] - 1).max()
        print(f"{name:12s}{least:10.1f} ms {least / own:8.1f} x   values differ by {off:.1e} deg, uncertainties by {ratio:.1e}")
    print(f"{'this crate':12s}{own:10.1f} ms      1.0 x")


if __name__ == "__main__":
    main()
