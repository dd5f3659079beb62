"""The same calls in other processes: objects travel, joblib and Dask give the numbers of the local call."""

import copy
import os
import pickle
import re
import subprocess
import sys
import time
from contextlib import contextmanager
from functools import partial
from pathlib import Path

import joblib
import numpy as np
import pytest
from dask.distributed import Client, LocalCluster

import libdrag

EXAMPLES = Path(__file__).resolve().parents[2] / "bindings" / "python" / "examples"

SQUAD = [
    libdrag.Body(sex="f", stature_m=1.72, mass_kg=63),
    libdrag.Body(sex="m", stature_m=1.88, mass_kg=82),
    libdrag.Body(sex="f", stature_m=1.65, mass_kg=55),
    libdrag.Body(sex="m", stature_m=1.79, mass_kg=71),
]
# A grid: three hip drops by two times by the squad.
SWEEP = partial(
    libdrag.sweep,
    event="100 free",
    course="lcm",
    time_s=[[62.40], [55.10]],
    hip_drop_deg=[[[2.0]], [[4.0]], [[6.0]]],
    breathe="every-2",
    draws=20000,
    seed=3,
)
COST = partial(
    libdrag.cost,
    event="100 free",
    course="lcm",
    time_s=62.40,
    hip_drop_deg=4,
    breathe="every-2",
    draws=2000,
    seed=3,
)


def same(one, other):
    """Equal in shape, fields and every bit."""
    return one.dtype == other.dtype and one.shape == other.shape and one.tobytes() == other.tobytes()


@pytest.fixture(scope="module")
def local():
    """The sweep in this process."""
    costs = SWEEP(SQUAD)
    assert costs.shape == (3, 2, 4)
    assert len(np.unique(costs["cost_s"])) == 24
    return costs


@contextmanager
def on_cores(count):
    """Processes started inside have `count` cores: two workers compare with one as two machines do."""
    cores = os.sched_getaffinity(0)
    os.sched_setaffinity(0, sorted(cores)[:count])
    try:
        yield
    finally:
        os.sched_setaffinity(0, cores)


def record(capsys, what, size, seconds):
    """Writes throughput into the log of the run; it depends on the machine and is not judged."""
    with capsys.disabled():
        print(f"\n{what}: {size / seconds:.0f} costs per second ({size} in {seconds:.2f} s)")


@pytest.mark.parametrize("again", [lambda x: pickle.loads(pickle.dumps(x)), copy.copy, copy.deepcopy])
def test_objects_travel(again):
    body = SQUAD[0]
    assert again(body) == body
    assert again(body).projected_area_m2(incline_deg=4) == body.projected_area_m2(incline_deg=4)

    cost = COST(body)
    copied = again(cost)
    assert (copied.median, copied.low, copied.high) == (cost.median, cost.low, cost.high)
    assert same(copied.draws, cost.draws)
    assert str(copied) == str(cost)

    drag = libdrag.passive_drag(body, speed_m_s=np.array([1.2, 1.6]), incline_deg=2, depth_m=0.5)
    assert same(again(drag).total_N, drag.total_N)


def bad_input():
    return COST(SQUAD[0], hip_drop_deg=400)


def unknown_name():
    return COST(SQUAD[0], event="100 treading")


@pytest.mark.parametrize("call, kind", [(bad_input, ValueError), (unknown_name, (KeyError, ValueError))])
def test_errors_travel(call, kind):
    with pytest.raises(kind) as here:
        call()
    again = pickle.loads(pickle.dumps(here.value))
    assert type(again) is type(here.value)
    assert str(again) == str(here.value)
    assert vars(again) == vars(here.value)


@pytest.mark.parametrize("workers", [1, 2])
def test_joblib_gives_the_local_numbers(workers, local, capsys):
    with on_cores(workers), joblib.Parallel(n_jobs=workers, backend="loky") as spread:
        for _ in range(2):  # the first time the workers start and import
            start = time.perf_counter()
            columns = spread(joblib.delayed(SWEEP)([body]) for body in SQUAD)
            seconds = time.perf_counter() - start
    record(capsys, f"joblib, workers: {workers}", local.size, seconds)
    assert same(np.concatenate(columns, axis=-1), local)


@contextmanager
def cluster(workers):
    """Processes on this machine, without an open port to others and without a dashboard."""
    with on_cores(workers), LocalCluster(
        n_workers=workers, threads_per_worker=1, processes=True, host="127.0.0.1", dashboard_address=None
    ) as running, Client(running) as client:
        assert len(client.scheduler_info()["workers"]) == workers
        yield client


@pytest.mark.parametrize("workers", [1, 2])
def test_dask_gives_the_local_numbers_and_errors(workers, local, capsys):
    with cluster(workers) as client:
        client.run(COST, SQUAD[0])  # every worker imports
        start = time.perf_counter()
        columns = client.gather(client.map(SWEEP, [[body] for body in SQUAD]))
        seconds = time.perf_counter() - start
        with pytest.raises(ValueError) as there:
            client.submit(bad_input).result()
    record(capsys, f"Dask, workers: {workers}", local.size, seconds)
    assert same(np.concatenate(columns, axis=-1), local)
    with pytest.raises(ValueError) as here:
        bad_input()
    assert type(there.value) is type(here.value)
    assert str(there.value) == str(here.value)


@pytest.mark.parametrize("workers", [1, 2])
def test_the_example_runs(workers, capsys):
    command = [sys.executable, EXAMPLES / "squad_on_a_cluster.py", f"--workers={workers}", "--swimmers=3"]
    done = subprocess.run(command, text=True, capture_output=True, timeout=1200)
    assert done.returncode == 0, done.stderr
    count, throughput, dearest = done.stdout.splitlines()
    assert count == "36 costs of 20000 draws, the same as on this machine to the last bit"
    assert re.fullmatch(rf"{workers} workers?: [1-9]\d* costs per second", throughput)
    # The deepest drop costs most, and breathing more often costs more.
    number = r"-?\d+\.\d\d"
    who = r"dearest: swimmer \d+, hips 6 deg lower, breathing every-2"
    assert re.fullmatch(rf"{who}: {number} s \({number} to {number}\)", dearest)
    with capsys.disabled():
        print(f"\nexample, {throughput}")
