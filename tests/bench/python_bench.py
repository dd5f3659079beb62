#!/usr/bin/python3
"""What Python adds to the library's own time: one call, a million elements beside the plain NumPy expression of the
same drag, and the import. Fails if NumPy's numbers differ. Times are the best of several runs.

    PYTHONPATH=<build>/bindings/python python_bench.py path/to/libdrag_physics_bench
"""

import json
import os
import subprocess
import sys
import time
import timeit

import numpy as np

import libdrag

N = 1_000_000


class NumpyDrag:
    """Friction, pressure and waves of one body by NumPy expressions over tables made once, as a student would write
    them from the numbers in use (model eq. 4 to 6 and 8, the blend of the damped and the slope model)."""

    def __init__(self, body):
        rows, water = libdrag.sources(), libdrag.water()
        self.rho, self.nu = water.density_kg_m3, water.kinematic_viscosity_m2_s
        self.length, self.wetted = body.length_m, body.wetted_area_m2
        self.inclines = np.radians(np.arange(121) * 0.5)
        self.log_area = np.log(body.projected_area_m2(np.arange(121) * 0.5))
        one = libdrag.passive_drag(body, 1.0, 0.0)
        self.friction_factor = rows["resistance.friction.factor"].used  # what it adds, the pressure gives
        flat_plate = one.friction_N / self.friction_factor
        self.pressure = (one.friction_N + one.pressure_N - flat_plate) / (
            0.5 * self.rho
        )  # CdA of the level body
        self.wave_odds = np.exp(rows["resistance.wave.log_odds"].used)
        self.exponent = rows["tilt.damped.exponent"].used
        self.slope = rows["tilt.slope"].used * 0.01 / np.radians(1.0)
        per_speed = 1.0 / np.sqrt(9.80665 * rows["resistance.wave.reference_length"].used)
        self.froude = np.array([0.0, 1.0, 2.0, 2.2]) * per_speed
        self.share = np.array(
            [0.0] + [rows[f"resistance.wave.share.{v}"].used for v in ("1_0", "2_0", "2_2")]
        )

    def __call__(self, v, theta_deg, depth):
        q = 0.5 * self.rho * v**2
        friction = q * 0.075 / (np.log10(v * self.length / self.nu) - 2.0) ** 2 * self.wetted
        theta = np.radians(theta_deg)
        damped = np.exp(self.exponent * (np.interp(theta, self.inclines, self.log_area) - self.log_area[0]))
        immersed = (friction + q * self.pressure) * 0.5 * (damped + 1.0 + self.slope * theta)
        share = np.interp(v / np.sqrt(9.80665 * self.length), self.froude, self.share)
        odds = self.wave_odds * share / (1.0 - share)
        wave = immersed * odds * np.exp(-2.0 * 9.80665 * depth / v**2)
        friction = np.minimum(self.friction_factor * friction, immersed)
        return immersed + wave, friction, immersed - friction, wave


def best(statement, number, repeat=7, **names):
    return min(timeit.repeat(statement, globals=names, number=number, repeat=repeat)) / number


def cpp_call(bench):
    out = subprocess.run(
        [
            bench,
            "--benchmark_format=json",
            "--benchmark_filter=passive_drag_value",
            "--benchmark_repetitions=5",
        ],
        check=True,
        capture_output=True,
        text=True,
    ).stdout
    return (
        min(row["real_time"] for row in json.loads(out)["benchmarks"] if row["run_type"] == "iteration")
        * 1e-9
    )


def imported(code, runs=15):
    """Fastest start of an interpreter that runs the code."""
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        subprocess.run([sys.executable, "-c", code], check=True, env=os.environ)
        times.append(time.perf_counter() - start)
    return min(times)


def main():
    if len(sys.argv) != 2:
        sys.exit(__doc__)
    body = libdrag.Body(sex="f", stature_m=1.72, mass_kg=63)
    libdrag.passive_drag(body, 1.5, 5.0)  # makes the hull

    cpp = cpp_call(sys.argv[1])
    call = best(
        "f(body, speed_m_s=1.5, incline_deg=5.0, depth_m=0.0)", 20_000, f=libdrag.passive_drag, body=body
    )
    print(
        f"  passive_drag, one call: C++ {cpp * 1e6:.2f} us, Python {call * 1e6:.2f} us: {(call - cpp) * 1e6:.2f} us more"
    )

    rng = np.random.default_rng(1)
    v, theta, depth = rng.uniform(0.8, 2.3, N), rng.uniform(0.0, 15.0, N), rng.uniform(0.0, 1.0, N)
    plain = NumpyDrag(body)
    ours = best(
        "f(body, v, theta, depth)", 1, f=libdrag.passive_drag, body=body, v=v, theta=theta, depth=depth
    )
    numpy_s = best("f(v, theta, depth)", 1, f=plain, v=v, theta=theta, depth=depth)
    print(
        f"  passive_drag, {N} elements: {ours * 1e3:.0f} ms, NumPy {numpy_s * 1e3:.0f} ms: {numpy_s / ours:.1f} times as fast"
    )

    own = best("f(body, v)", 1, f=libdrag.passive_drag, body=body, v=v)
    given = best("f(body, v, 5.0, 0.0)", 1, f=libdrag.passive_drag, body=body, v=v)
    print(
        f"  the same with an incline of its own at each speed: {own / given:.1f} times as long as at one that is given"
    )

    bare, with_us = imported("import numpy"), imported("import numpy, libdrag")
    print(f"  import libdrag: {(with_us - bare) * 1e3:.0f} ms beyond NumPy's {bare * 1e3:.0f} ms")

    squad = [libdrag.Body("f", 1.60 + 0.001 * i, 60) for i in range(100)]
    start = time.perf_counter()
    libdrag.sweep(squad, event="100 free", time_s=62.4, hip_drop_deg=4)
    print(
        f"  sweep over 100 bodies, 20000 draws each: {100 / (time.perf_counter() - start):.0f} costs per second"
    )

    drag = libdrag.passive_drag(body, v, theta, depth)
    for name, values in zip(("total_N", "friction_N", "pressure_N", "wave_N"), plain(v, theta, depth)):
        worst = np.max(np.abs(getattr(drag, name) / values - 1.0))
        if not worst < 1e-3:  # the silhouettes of the table made here have other rows than the library's
            print(f"DIFFERENT: {name} by {worst:.2g}", file=sys.stderr)
            return 1
    print("  all elements agree with NumPy's within 0.1 %")
    return 0


if __name__ == "__main__":
    sys.exit(main())
