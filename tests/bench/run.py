#!/usr/bin/python3
"""Runs the benchmarks and prints one table: libdrag's times, then its Monte Carlo of a race beside NumPy's of
the same race. Fails if the two do not give the same answer within Monte Carlo error. Times are the best of
several runs; on a busy machine compare CPU times, which count all threads.

    run.py path/to/libdrag_bench [path/to/dragcalc]
"""

import argparse
import json
import math
import os
import re
import shlex
import shutil
import subprocess
import sys
import time

import numpy as np

import cost_numpy

DRAWS, FEW = 1_000_000, 20_000
COMMAND = (
    "cost --event '100 free' --course lcm --time 1:02.40 --sex f --height 172cm --mass 63kg"
    " --hip-drop 4deg --breathe every-2"
)
# Two lengths of run between which only draws differ.
COUNTED_DRAWS = (200_000, 400_000)
OUTPUTS = ("cost_s", "head_s", "per_degree_s", "drag_change", "priced_share")


def benchmarks(bench):
    """name -> (fastest wall, fastest CPU of all threads), seconds; and the most operations a second."""
    out = subprocess.run(
        [bench, "--benchmark_format=json", "--benchmark_repetitions=5", "--benchmark_min_time=0.2"],
        check=True,
        capture_output=True,
        text=True,
    ).stdout
    unit = {"ns": 1e-9, "us": 1e-6, "ms": 1e-3, "s": 1.0}
    best, peak = {}, 0.0
    for row in json.loads(out)["benchmarks"]:
        if row["run_type"] != "iteration":
            continue
        scale = unit[row["time_unit"]]
        wall, cpu = best.get(row["run_name"], (math.inf, math.inf))
        if "operations" in row:
            peak = max(peak, row["operations"] / (row["cpu_time"] * scale))
        else:
            best[row["run_name"]] = min(wall, row["real_time"] * scale), min(cpu, row["cpu_time"] * scale)
    return best, peak


def operations_per_draw(dragcalc):
    """Vector arithmetic of one more draw, in operations on a single-precision number: every arithmetic, comparison,
    conversion and bit operation that Valgrind's lackey sees on 256 bits counts 8, on 128 bits 4. Scalar ones, addresses,
    loads and stores do not count. (Valgrind has no AVX-512; the same loops need as many operations there.)"""
    counts = []
    for draws in COUNTED_DRAWS:
        valgrind = ["valgrind", "--tool=lackey", "--detailed-counts=yes", dragcalc]
        done = subprocess.run(
            [*valgrind, *shlex.split(COMMAND), "--draws", str(draws)],
            check=True,
            capture_output=True,
            text=True,
        )
        rows = re.findall(r"(V128|V256) +[\d,]+ +[\d,]+ +([\d,]+)", done.stderr)
        counts.append(sum(int(n.replace(",", "")) * (8 if kind == "V256" else 4) for kind, n in rows))
    return (counts[1] - counts[0]) / (COUNTED_DRAWS[1] - COUNTED_DRAWS[0])


def rank_error(values, level, draws):
    """Standard error of a sample quantile: that of its rank, read off the sample itself."""
    spread = math.sqrt(level * (1.0 - level) * draws)
    ranks = [max(0, int(level * draws - spread)), min(draws - 1, int(level * draws + spread))]
    at = np.partition(values, ranks)[ranks]
    return 0.5 * float(at[1] - at[0])


def disagreements(problem, outputs, answer):
    """Quantiles that differ by more than 4.5 standard errors of the difference of two runs: of 13 quantiles,
    chance alone makes one differ in one run of 11,000."""
    level, draws = problem["level"], problem["draws"]
    wrong = []
    for name, values, (low, median, high) in zip(OUTPUTS, outputs, answer):
        ours = problem["answer"][name]
        places = {"low": (low, 0.5 - level / 2), "median": (median, 0.5), "high": (high, 0.5 + level / 2)}
        for key, value in ours.items():
            theirs, p = places[key]
            allowed = 4.5 * math.sqrt(2.0) * rank_error(values, p, draws)
            if not abs(value - theirs) <= allowed:
                wrong.append(f"{name} {key}: libdrag {value:.6g}, NumPy {theirs:.6g} (allowed {allowed:.2g})")
    return wrong


def start_to_answer(dragcalc, runs=40):
    """Wall times of the whole command, seconds, sorted."""
    arguments = [dragcalc, *shlex.split(COMMAND)]
    times = []
    nowhere = [(os.POSIX_SPAWN_OPEN, 1, os.devnull, os.O_WRONLY, 0)]
    for _ in range(runs):
        start = time.perf_counter()
        process = os.posix_spawn(dragcalc, arguments, os.environ, file_actions=nowhere)
        status = os.waitpid(process, 0)[1]
        times.append(time.perf_counter() - start)
        if status != 0:
            sys.exit(f"{dragcalc} failed")
    return sorted(times)


def show(label, wall, cpu):
    def text(t):
        return f"{t * 1e3:9.3f} ms" if t < 1.0 else f"{t:9.3f} s "

    print(f"  {label:<58}{text(wall)}{text(cpu)}")


def main():
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("bench", help="the program libdrag_bench")
    parser.add_argument("dragcalc", nargs="?", help="the command line tool, to time it from start to answer")
    args = parser.parse_args()

    problem = json.loads(subprocess.check_output([args.bench, "--problem", str(DRAWS)]))
    ours, peak = benchmarks(args.bench)
    theirs = cost_numpy.fastest(cost_numpy.Problem(problem), DRAWS)

    print(f"  {'':<58}{'wall':>9}   {'CPU':>9}")
    for name, (wall, cpu) in ours.items():
        show(name.replace("/process_time/real_time", ""), wall, cpu)
    show(f"the same {DRAWS} draws in NumPy (chunks of {theirs.chunk})", theirs.wall, theirs.cpu)
    if args.dragcalc:
        times = start_to_answer(args.dragcalc)
        label = "dragcalc cost, start to answer, default draws"
        print(f"  {label:<58}{times[0] * 1e3:9.3f} ms (median {times[len(times) // 2] * 1e3:.1f} ms)")
    print()
    for threads in (1, 2):
        wall, cpu = ours[f"race_cost/draws:{DRAWS}/threads:{threads}/process_time/real_time"]
        print(
            f"  threads: {threads}; {wall / DRAWS * 1e9:.0f} ns a draw ({cpu / DRAWS * 1e9:.0f} ns of CPU), "
            f"{theirs.wall / wall:.1f} times as fast as NumPy ({theirs.cpu / cpu:.1f} times by CPU)"
        )

    one = ours[f"race_cost/draws:{FEW}/threads:1/process_time/real_time"]
    twelve = ours[f"posterior_of_twelve_swims/draws:{FEW}/process_time"]
    print(f"  what 12 timed swims say of it: {twelve[1] / one[1]:.1f} times one cost, by CPU (wanted: 3)")
    season = ours[f"posterior_of_a_season/draws:{FEW}/threads:1/process_time/real_time"]
    print(f"  what a season of 60 swims says of it: {season[1]:.2f} s, by CPU (wanted: below 1)")

    if args.dragcalc and shutil.which("valgrind"):
        operations = operations_per_draw(args.dragcalc)
        few, many = (ours[f"race_cost/draws:{n}/threads:1/process_time/real_time"][1] for n in (FEW, DRAWS))
        each = (many - few) / (DRAWS - FEW)
        print(
            f"  counted: {operations:.0f} vector operations on single numbers for each further draw (lackey); at the"
            f" {peak * 1e-9:.0f} a ns\n  of the widest instructions, measured, {operations / peak * 1e9:.1f} ns;"
            f" one thread takes {each * 1e9:.1f} ns, {each * peak / operations:.2f} times that"
        )

    wrong = disagreements(problem, theirs.outputs, theirs.answer)
    for line in wrong:
        print(f"DIFFERENT: {line}", file=sys.stderr)
    if not wrong:
        print("  medians and intervals of both agree within Monte Carlo error")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
