"""The Monte Carlo of one race's cost in vectorised NumPy: what libdrag's own kernels are measured against.

Reads the problem that `libdrag_bench --problem N` prints: distributions of the inputs, area table, race.
Written to be fast: a cheap bit generator, draws in chunks that stay in cache, each tilt model computed only
for the draws that have it, table positions computed once, np.partition for all quantiles of an output.
"""

import time
import typing

import numpy as np

SLOPE, CROSSFLOW = 2, 3  # the tilt models by area, projected and damped, are 0 and 1


class Problem:
    def __init__(self, problem):
        self.inputs = problem["inputs"]
        self.race = problem
        area = problem["area"]
        # One row per grid point: mean and modes together, so that a look-up is one gather of a row.
        self.table = np.ascontiguousarray(np.array([area["mean"], *area["modes"]]).T)
        self.slopes = np.ascontiguousarray(np.diff(self.table, axis=0))
        self.per_step = 1.0 / area["step"]

    def log_area(self, theta, z):
        """ln A(theta; z), linear between grid points; z: one column per mode."""
        position = theta * self.per_step
        np.clip(position, 0.0, len(self.slopes) - 1e-9, out=position)
        cell = position.astype(np.intp)
        position -= cell
        rows = self.slopes.take(cell, axis=0)
        rows *= position[:, None]
        rows += self.table.take(cell, axis=0)
        return rows[:, 0] + np.einsum("ij,ij->i", rows[:, 1:], z)

    def draw(self, rng, n):
        """Inputs of n draws; standard normals that several are made of are drawn once."""
        x, shared = {}, {}
        for name, row in self.inputs.items():
            if "weights" in row:
                weights = np.cumsum(row["weights"])
                x[name] = np.searchsorted(weights[:-1] / weights[-1], rng.random(n), side="right")
            elif row["sd"] == 0.0:
                x[name] = np.full(n, row["mean"])
            else:
                if row["parts"]:
                    values = np.zeros(n)
                    for key, share in row["parts"]:
                        if key not in shared:
                            shared[key] = rng.standard_normal(n)
                        values += share * shared[key]
                else:
                    values = rng.standard_normal(n)
                values *= row["sd"]
                values += row["mean"]
                if row["low"] is not None or row["high"] is not None:
                    np.clip(values, row["low"], row["high"], out=values)
                x[name] = values
        return x

    def peak_ratio(self, x):
        """Mean drag ratio over the nodes of the breath pulse, by the tilt model of each draw."""
        model, theta0, drop = x["law"], x["incline"], x["drop"]
        nodes = self.race["pulse_nodes"]
        peak = np.empty(len(model))

        i = np.flatnonzero(model < SLOPE)
        theta, delta = theta0[i], drop[i]
        z = np.stack([x["mode_0"][i], x["mode_1"][i], x["mode_2"][i]], axis=1)
        m = np.where(model[i] == 0, 1.0, x["exponent"][i])
        rest = self.log_area(theta, z)
        total = np.zeros(len(i))
        for node in nodes:
            total += np.exp(m * (self.log_area(theta + node * delta, z) - rest))
        peak[i] = total

        i = np.flatnonzero(model == SLOPE)
        s, theta = x["slope"][i], theta0[i]
        # The model is linear in the angle: the sum over nodes is that of their mean.
        peak[i] = len(nodes) * (1.0 + s * (theta + np.mean(nodes) * drop[i])) / (1.0 + s * theta)

        i = np.flatnonzero(model == CROSSFLOW)
        axial, b = x["axial_cd"][i], x["crossflow_cd"][i] * self.race["crossflow_factor"]
        theta, delta = theta0[i], drop[i]

        def crossflow(angle):
            sine, cosine = np.sin(angle), np.cos(angle)
            return axial * cosine * cosine * cosine + b * sine * sine * sine

        total = np.zeros(len(i))
        for node in nodes:
            total += crossflow(theta + node * delta)
        peak[i] = total / crossflow(theta)
        peak *= 1.0 / len(nodes)
        return peak

    def evaluate(self, x):
        """Of each draw: cost by the hips, what the head adds, cost per degree, extra drag, priced share."""
        race = self.race
        duty = x["pulse_width"] * race["breaths_per_cycle"]
        ratio = 1.0 + duty * (self.peak_ratio(x) - 1.0)
        with_head = ratio + duty * race["head_over_pulse"] * np.exp(x["log_head"]) + 0.5 * duty * x["roll"]
        under = x["start_m"] + (race["lengths"] - 1) * x["turn_m"]
        dead = x["start_dead_s"] + (race["lengths"] - 1) * x["turn_dead_s"]
        distance = race["pool_m"] * race["lengths"] - under - race["turn_wall_m"] * (race["lengths"] - 1)
        surface = distance / (distance + under / x["speed_ratio"]) * (race["time_s"] - dead)
        power = -1.0 / (x["drag_exponent"] + (x["closure"] == 0))
        slow = ratio**power
        within, within_sd = race["within_stroke"]
        seconds = surface * np.maximum(within + within_sd * x["timing"], 0.0)
        cost = seconds * (1.0 - slow)
        head = seconds * (slow - with_head**power)
        return cost, head, cost / np.degrees(x["drop"]), ratio - 1.0, surface / race["time_s"]

    def run(self, draws, seed, chunk):
        """All draws of the five outputs, and of each (low, median, high) by JCGM 101, 7.7.2."""
        rng = np.random.Generator(np.random.SFC64(seed))
        outputs = np.empty((5, draws))
        for first in range(0, draws, chunk):
            size = min(chunk, draws - first)
            for row, values in zip(outputs, self.evaluate(self.draw(rng, size))):
                row[first : first + size] = values
        covered = int(self.race["level"] * draws + 0.5)
        low = (draws - covered + 1) // 2 - 1
        ranks = [low, (draws - 1) // 2, draws // 2, low + covered]
        answer = []
        for row in outputs:
            at = np.partition(row, ranks)[ranks]
            answer.append((at[0], 0.5 * (at[1] + at[2]), at[3]))
        return outputs, answer


class Timed(typing.NamedTuple):
    outputs: np.ndarray
    answer: list
    wall: float  # seconds
    cpu: float
    chunk: int


def fastest(problem, draws, repeats=3):
    """The fastest of several runs with chunks from 8192 draws up to all at once."""
    runs = []
    for chunk in (8192, 16384, 32768, 65536, draws):
        for seed in range(repeats):
            wall, cpu = time.perf_counter(), time.process_time()
            outputs, answer = problem.run(draws, seed, chunk)
            wall, cpu = time.perf_counter() - wall, time.process_time() - cpu
            runs.append(Timed(outputs, answer, wall, cpu, chunk))
    return min(runs, key=lambda run: run.wall)
