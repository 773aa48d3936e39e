#!/usr/bin/env python3
"""Prints one table: what this project takes, what a general tool takes for the same, and the ratio.

    python3 bench/table.py            # everything but the order; some minutes
    python3 bench/table.py --order    # also the order of work beside OR-tools, at 1 s and 10 s; half an hour

Needs cargo, gcc and the internet's package index for Python once: the peers are installed into an
environment of their own under target/peers. Node and Chromium add the garage app under load. Medians of
interleaved runs where two programs are compared, else what the bench named in the row says of itself.
"""
import json
import os
import pathlib
import platform
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
import time

ROOT = pathlib.Path(__file__).resolve().parent.parent
PEERS = ROOT / "target/peers"
BINARY = ROOT / "target/release/axlestand"
NEEDED = ["numpy", "scipy", "casadi", "mujoco", "ortools", "fpdf2"]
ROWS = []


def run(*command, **how):
    return subprocess.run([str(c) for c in command], cwd=ROOT, check=True, text=True, stdout=subprocess.PIPE,
                          stderr=how.pop("stderr", subprocess.DEVNULL), **how).stdout


def row(what, ours, peer="", theirs="", ratio=""):
    ROWS.append((what, ours, peer, theirs, ratio))
    print("|", " | ".join(ROWS[-1]), "|", flush=True)


def bench(crate, name, *args):
    return run("cargo", "bench", "--quiet", "-p", crate, "--bench", name, "--", *args)


def peers(script, what, unit):
    """A script that prints `NAME  NUMBER UNIT…  RATIO x`, one of them this crate."""
    found = re.findall(rf"^(.+?)\s+([0-9.]+) {unit}.*?\s([0-9.]+) x", run(PEERS / "bin/python", f"bench/{script}"), re.M)
    own = next(float(value) for name, value, _ in found if name == "this crate")
    for name, value, ratio in found:
        if name != "this crate":
            row(what, f"{own:g} {unit}", name, f"{float(value):g} {unit}", f"{float(ratio):.0f} ×")


def seconds(work):
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def interleaved(rounds, *works):
    taken = [[seconds(work) for work in works] for _ in range(rounds)]
    return [statistics.median(one) for one in zip(*taken)]


def numbers():
    peers("kinematics_peers.py", "strut, a position (`bench/kinematics_peers.py`)", "us")
    text = bench("axlestand-geometry", "kinematics")
    value = re.search(r"nine adjusters\s+([0-9.]+)", text)[1]
    row("position and effects of nine adjusters", f"{value} us")
    peers("estimation_peers.py", "alignment from 40 readings (`bench/estimation_peers.py`)", "us")
    peers("survey_peers.py", "tape survey of a strut corner (`bench/survey_peers.py`)", "ms")
    own = float(bench("axlestand-fastener", "conversion").split()[0])
    row("torque conversions on one core", f"{own:g} million/s", "numpy, the bare formula", f"{conversions():.1f} million/s",
        f"{own / conversions():.1f} ×")
    text = bench("axlestand-plan", "forecast")
    own = float(re.search(r"sessions\s+2 threads:\s+([0-9.]+)", text)[1])
    steps = int(text.split()[0])
    row(f"whole jobs of {steps} steps, sampled, two threads", f"{own:.0f}/s", "numpy, the lognormal draws alone", f"{draws(steps):.0f}/s",
        f"{own / draws(steps):.1f} ×")
    text = bench("axlestand-ledger", "fold", "100000").splitlines()[-1].split()
    row("100,000 events read and folded", f"{text[2]} ms", "serde_json, reading alone", f"{text[3]} ms", f"1/{text[4]}")


def conversions():
    """Million evaluations a second of the torque formula (VDI 2230) over arrays, by numpy on one core."""
    code = """
import numpy as np, time
n = 200_000
d, p, mu = np.linspace(6, 24, n), np.linspace(1, 3, n), np.linspace(.08, .2, n)
best = 1e9
for _ in range(20):
    start = time.perf_counter()
    d2 = d - .649519 * p
    factor = lambda m: .16 * p + .583 * d2 * m + .65 * d * m
    out = d ** 2 * factor(mu) / factor(.14)
    best = min(best, time.perf_counter() - start)
print(n / best / 1e6)
"""
    return float(run(PEERS / "bin/python", "-c", code))


def draws(steps):
    code = f"""
import numpy as np, time
rng = np.random.default_rng(1)
best = 1e9
for _ in range(5):
    start = time.perf_counter()
    np.exp(rng.standard_normal((10_000, {steps}))).sum(1)
    best = min(best, time.perf_counter() - start)
print(10_000 / best)
"""
    return float(run(PEERS / "bin/python", "-c", code))


def whole_program():
    folder = pathlib.Path(tempfile.mkdtemp())
    told = subprocess.Popen([BINARY, "serve", "--demo", "--port", "0", "--json"], stdout=subprocess.PIPE, text=True)
    text = ""
    while True:
        text += told.stdout.readline()
        try:
            garage = json.loads(text)["garage"]
            break
        except json.JSONDecodeError:
            continue
    shutil.copytree(garage, folder / "garage")
    told.terminate()
    told.wait()
    ours = lambda *args: lambda: run(BINARY, *args, env=os.environ | {"AXLESTAND_GARAGE": str(folder / "garage")})
    python = lambda: run("python3", "-c", "pass")
    start, version, following = interleaved(15, python, ours("--version"), ours("next"))
    row("cold start (`axlestand --version`)", f"{version * 1e3:.1f} ms", "python3, nothing imported", f"{start * 1e3:.1f} ms", f"{start / version:.1f} ×")
    row("`axlestand next` in the half-done demo", f"{following * 1e3:.1f} ms")
    out = folder / "job.pdf"
    pages = """
from fpdf import FPDF
pdf = FPDF()
pdf.add_font("d", fname=FONT)
for page in range(39):
    pdf.add_page(); pdf.set_font("d", size=10)
    for line in range(45): pdf.cell(0, 6, f"[ ] {page * 45 + line} undo the nut, left: 14 mm spanner, into tray place 7", new_x="LMARGIN", new_y="NEXT")
pdf.output(OUT)
"""
    font = pathlib.Path("/usr/share/fonts/truetype/dejavu/DejaVuSans.ttf")
    paper = ours("sheet", "all", "-o", str(out), "--replace")
    if font.exists():
        code = pages.replace("FONT", repr(str(font))).replace("OUT", repr(str(folder / "peer.pdf")))
        own, theirs = interleaved(3, paper, lambda: run(PEERS / "bin/python", "-c", code))
        row("the whole job's paper", f"{own:.2f} s", "fpdf2, 39 pages of plain lines", f"{theirs:.2f} s", f"{theirs / own:.1f} ×")
    else:
        row("the whole job's paper", f"{interleaved(3, paper)[0]:.2f} s")
    row("binary", f"{BINARY.stat().st_size / 1e6:.1f} MB")
    shutil.rmtree(folder)


def order():
    environment = os.environ | {"AXLESTAND_PLANNING_DATA": os.environ.get("AXLESTAND_PLANNING_DATA", "")}
    for wall in ("1", "10"):
        print(run(PEERS / "bin/python", "bench/sequence_peers.py", wall, env=environment), flush=True)


def app():
    if shutil.which("node") and (ROOT / "tests/browser/node_modules").exists():
        print(run("node", "tests/browser/load.mjs", "5", env=os.environ | {"AXLESTAND_BINARY": str(BINARY)}))
    else:
        print("Node or its packages are missing: `npm ci --prefix tests/browser` brings the garage app under load.")


def main():
    if not (PEERS / "bin/python").exists():
        run("python3", "-m", "venv", PEERS)
    run(PEERS / "bin/pip", "install", "--quiet", *NEEDED)
    run("cargo", "build", "--quiet", "--release")
    print(f"{platform.machine()}, {os.cpu_count()} cores, load {os.getloadavg()[0]:.1f}, {time.strftime('%Y-%m-%d')}\n")
    print("| what | this project | general tool | takes | ratio |\n| --- | --- | --- | --- | --- |")
    numbers()
    whole_program()
    print()
    app()
    if "--order" in sys.argv:
        order()


if __name__ == "__main__":
    main()
