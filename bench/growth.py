#!/usr/bin/env python3
"""Plots how time grows with size: operations of the order, readings of an estimate, events of a ledger.

    python3 bench/table.py     # once: it installs the environment under target/peers
    target/peers/bin/pip install matplotlib && target/peers/bin/python bench/growth.py

Needs cargo. Writes docs/growth.svg, prints the times and the exponents (the slope on logarithmic axes, by
least squares over the upper half of the sizes).
"""
import pathlib
import re
import subprocess

import matplotlib

matplotlib.use("svg")
matplotlib.rcParams["svg.hashsalt"] = "axlestand"
import matplotlib.pyplot as plt  # noqa: E402  the backend is chosen before
import numpy as np  # noqa: E402

ROOT = pathlib.Path(__file__).resolve().parent.parent


def bench(crate, name, *args):
    command = ["cargo", "bench", "--quiet", "-p", crate, "--bench", name, "--", *args]
    return subprocess.run(command, cwd=ROOT, check=True, text=True, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL).stdout


def pairs(pattern, text, scale):
    return [(int(size), float(time) * scale) for size, time in re.findall(pattern, text, re.M)]


def exponent(points):
    upper = np.log(np.array(points[len(points) // 2 - 1:]))
    return np.polyfit(upper[:, 0], upper[:, 1], 1)[0]


def main():
    orders = bench("axlestand-plan", "sequence", "--growth")
    curves = {
        "events read and folded": pairs(r"^\s*(\d+)\s+[0-9.]+\s+([0-9.]+)", bench("axlestand-ledger", "fold"), 1e-3),
        "readings of an alignment": pairs(r"(\d+) readings\s+([0-9.]+) us", bench("axlestand-geometry", "estimation", "--growth"), 1e-6),
        "operations put in order, with a bound": pairs(r"(\d+) operations with a bound\s+([0-9.]+) s", orders, 1),
        "operations put in order": pairs(r"(\d+) operations alone\s+([0-9.]+) s", orders, 1),
    }
    figure, axes = plt.subplots(figsize=(7, 4.5))
    for (name, points), mark in zip(curves.items(), "os^v"):
        slope = exponent(points)
        print(f"{name}: exponent {slope:.2f};", ", ".join(f"{size} {time:.3g} s" for size, time in points))
        axes.loglog(*zip(*points), marker=mark, color="black", linewidth=1, label=f"{name}: exponent {slope:.2f}")
    axes.set_xlabel("how many")
    axes.set_ylabel("seconds")
    axes.legend(frameon=False)
    axes.grid(True, which="major", linewidth=0.4)
    figure.tight_layout()
    figure.savefig(ROOT / "docs/growth.svg", metadata={"Date": None})


if __name__ == "__main__":
    main()
