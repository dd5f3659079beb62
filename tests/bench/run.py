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
import shlex
import subprocess
import sys
import time

import numpy as np

import cost_numpy

DRAWS = 1_000_000
COMMAND = (
    "cost --event '100 free' --course lcm --time 1:02.40 --sex f --height 172cm --mass 63kg"
    " --hip-drop 4deg --breathe every-2"
)
OUTPUTS = ("cost_s", "head_s", "per_degree_s", "drag_change", "priced_share")


def benchmarks(bench):
    """name -> (fastest wall, fastest CPU of all threads), seconds."""
    out = subprocess.run(
        [bench, "--benchmark_format=json", "--benchmark_repetitions=5", "--benchmark_min_time=0.2"],
        check=True,
        capture_output=True,
        text=True,
    ).stdout
    unit = {"ns": 1e-9, "us": 1e-6, "ms": 1e-3, "s": 1.0}
    best = {}
    for row in json.loads(out)["benchmarks"]:
        if row["run_type"] != "iteration":
            continue
        scale = unit[row["time_unit"]]
        wall, cpu = best.get(row["run_name"], (math.inf, math.inf))
        best[row["run_name"]] = min(wall, row["real_time"] * scale), min(cpu, row["cpu_time"] * scale)
    return best


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
    ours = benchmarks(args.bench)
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

    wrong = disagreements(problem, theirs.outputs, theirs.answer)
    for line in wrong:
        print(f"DIFFERENT: {line}", file=sys.stderr)
    if not wrong:
        print("  medians and intervals of both agree within Monte Carlo error")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
