#!/usr/bin/env python3
"""Runs general solvers beside this project's sequencing solver: set-ups after the same wall time.

OR-tools routing (guided local search from a greedy order) and CP-SAT (circuit with ranks, greedy hint, two
workers), on the synthetic jobs without waits and, where AXLESTAND_PLANNING_DATA names a folder with
sop/, on published sequential ordering problems.

    python3 -m venv /tmp/peers && /tmp/peers/bin/pip install ortools
    /tmp/peers/bin/python bench/sequence_peers.py 1 job_one job_front

Needs cargo. The first argument is the wall time in seconds; names choose the problems. In brackets: the
processor time that a peer had, building its model included.
"""
import os
import pathlib
import subprocess
import sys
import time

from ortools.constraint_solver import pywrapcp, routing_enums_pb2
from ortools.sat.python import cp_model

HERE = pathlib.Path(__file__).parent
JOBS = HERE.parent / "crates/axlestand-plan/tests/synthetic"


def read_job(path):
    lines = [[int(x) for x in line.split()] for line in path.read_text().splitlines()]
    count, at = lines[0][0], 1
    ops = lines[at : at + count]
    at += count
    tables = []
    for _ in range(3):
        size = lines[at][0]
        tables.append(lines[at + 1 : at + 1 + size])
        at += 1 + size
    cost = [[sum(t[a[k]][b[k]] for k, t in enumerate(tables)) for b in ops] for a in ops]
    return cost, [(first, then) for then, op in enumerate(ops) for first in op[4:]]


def read_sop(path):
    words = path.read_text().split("EDGE_WEIGHT_SECTION")[1].split()
    count = int(words[0])
    rows = [[int(x) for x in words[1 + i * count : 1 + (i + 1) * count]] for i in range(count)]
    before = [(j, i) for i in range(count) for j in range(count) if rows[i][j] < 0]
    return [[max(x, 0) for x in row] for row in rows], before


def greedy(cost, before):
    count = len(cost)
    waits = [{f for f, t in before if t == op} for op in range(count)]
    order = []
    while len(order) < count:
        ready = [op for op in range(count) if op not in order and waits[op] <= set(order)]
        order.append(min(ready, key=lambda op: (cost[order[-1]][op] if order else 0, op)))
    return order


def value(cost, order):
    return sum(cost[a][b] for a, b in zip(order, order[1:]))


def routing(cost, before, seconds):
    start = greedy(cost, before)
    count = len(cost)
    manager = pywrapcp.RoutingIndexManager(count, 1, [start[0]], [start[-1]])
    model = pywrapcp.RoutingModel(manager)
    arc = model.RegisterTransitCallback(lambda i, j: cost[manager.IndexToNode(i)][manager.IndexToNode(j)])
    model.SetArcCostEvaluatorOfAllVehicles(arc)
    step = model.RegisterTransitCallback(lambda i, j: 1)
    model.AddDimension(step, 0, count, True, "rank")
    rank = model.GetDimensionOrDie("rank")
    index = lambda node: model.End(0) if node == start[-1] else manager.NodeToIndex(node)
    for first, then in before:
        if first != start[0] and then != start[-1]:
            model.solver().Add(rank.CumulVar(index(first)) < rank.CumulVar(index(then)))
    search = pywrapcp.DefaultRoutingSearchParameters()
    search.local_search_metaheuristic = routing_enums_pb2.LocalSearchMetaheuristic.GUIDED_LOCAL_SEARCH
    search.time_limit.FromMilliseconds(int(seconds * 1000))
    model.CloseModelWithParameters(search)
    hint = model.ReadAssignmentFromRoutes([start[1:-1]], True)
    found = model.SolveFromAssignmentWithParameters(hint, search) if hint else None
    return found.ObjectiveValue() if found else value(cost, start)


def cp_sat(cost, before, seconds):
    start = greedy(cost, before)
    count = len(cost)
    model = cp_model.CpModel()
    rank = [model.new_int_var(0, count - 1, "") for _ in range(count)]
    later = set(before)
    arcs, terms = [], []
    follows = dict(zip(start, start[1:]))
    for i in range(count):
        arcs.append((count, i, model.new_bool_var("")))
        arcs.append((i, count, model.new_bool_var("")))
        for j in range(count):
            if i != j and (j, i) not in later:
                arc = model.new_bool_var("")
                arcs.append((i, j, arc))
                model.add(rank[j] == rank[i] + 1).only_enforce_if(arc)
                terms.append(cost[i][j] * arc)
                model.add_hint(arc, follows.get(i) == j)
    model.add_circuit(arcs)
    for first, then in before:
        model.add(rank[first] < rank[then])
    for at, op in enumerate(start):
        model.add_hint(rank[op], at)
    model.minimize(sum(terms))
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = 2
    status = solver.solve(model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return "none"
    return f"{solver.objective_value:.0f} (bound {solver.best_objective_bound:.0f})"


def timed(solver, cost, before, seconds):
    """What a solver finds, and the processor time it had: on a busy machine less than the wall time."""
    start = time.process_time()
    found = solver(cost, before, seconds)
    return f"{found} [{time.process_time() - start:.1f} s]"


def main():
    seconds = float(sys.argv[1]) if len(sys.argv) > 1 else 1.0
    names = sys.argv[2:]
    problems = {path.stem: read_job(path) for path in sorted(JOBS.glob("*.job"))}
    folder = os.environ.get("AXLESTAND_PLANNING_DATA")
    if folder:
        problems |= {path.stem: read_sop(path) for path in sorted(pathlib.Path(folder, "sop").glob("*.sop"))}
    else:
        print("AXLESTAND_PLANNING_DATA names no folder: the synthetic jobs only")
    for name, (cost, before) in problems.items():
        if not names or name in names:
            print(f"{name:16} greedy {value(cost, greedy(cost, before))}"
                  f"  routing {timed(routing, cost, before, seconds)}"
                  f"  CP-SAT {timed(cp_sat, cost, before, seconds)}", flush=True)
    subprocess.check_call(["cargo", "bench", "-q", "-p", "axlestand-plan", "--bench", "sequence", "--", str(seconds), *names],
                          cwd=HERE.parent)


if __name__ == "__main__":
    main()
