"""Prices every fault of a squad on many processes or machines, with Dask.

    python squad_on_a_cluster.py --workers 2                        workers on this machine, one core each
    python squad_on_a_cluster.py --scheduler tcp://10.0.0.5:8786    a cluster that is running

One call of `libdrag.sweep` uses all cores of the machine it runs on, so that a cluster needs one worker per
machine. A cost depends on its own inputs and seed alone: however the squad is dealt out, the numbers are the
same to the last bit, and this script checks it.
"""

import argparse
import os
import time
from functools import partial

import numpy as np
from dask.distributed import Client, LocalCluster

import libdrag

HIP_DROPS_DEG = [1.0, 2.0, 3.0, 4.0, 5.0, 6.0]
BREATHINGS = ["every-2", "every-3"]


def made_up_squad(size):
    """Bodies and 100 m freestyle times of swimmers who do not exist."""
    rng = np.random.default_rng(7)
    bodies, times_s = [], []
    for number in range(size):
        sex = "fm"[number % 2]
        stature_m = rng.normal({"f": 1.72, "m": 1.84}[sex], 0.05)
        mass_kg = rng.normal({"f": 21.5, "m": 22.8}[sex], 0.8) * stature_m**2
        bodies.append(libdrag.Body(sex=sex, stature_m=round(stature_m, 3), mass_kg=round(mass_kg, 1)))
        times_s.append(round(rng.uniform(56.0, 70.0), 2))
    return bodies, np.array(times_s)


def price(part, draws):
    """Costs of some swimmers: an array with the axes swimmer, hip drop, breathing."""
    bodies, times_s = part
    return libdrag.sweep(
        np.array(bodies, dtype=object)[:, None, None],
        event="100 free",
        course="lcm",
        time_s=times_s[:, None, None],
        hip_drop_deg=np.array(HIP_DROPS_DEG)[:, None],
        breathe=BREATHINGS,
        draws=draws,
        seed=1,
    )


def price_on(client, squad, draws):
    """The same array as `price(squad, draws)`, swimmer by swimmer on the workers of `client`."""
    bodies, times_s = squad
    parts = [([body], times_s[i : i + 1]) for i, body in enumerate(bodies)]
    return np.concatenate(client.gather(client.map(partial(price, draws=draws), parts)))


def main():
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--workers", type=int, default=2, help="processes to start on this machine")
    parser.add_argument("--scheduler", help="address of a running cluster, instead")
    parser.add_argument("--swimmers", type=int, default=24)
    parser.add_argument("--draws", type=int, default=20000)
    options = parser.parse_args()

    squad = made_up_squad(options.swimmers)
    here = price(squad, options.draws)

    if options.scheduler:
        client = Client(options.scheduler)
    else:
        # As many cores as workers, so that two workers compare with one as two machines do.
        os.sched_setaffinity(0, sorted(os.sched_getaffinity(0))[: options.workers])
        client = Client(
            LocalCluster(
                n_workers=options.workers, threads_per_worker=1, host="127.0.0.1", dashboard_address=None
            )
        )
    with client:
        client.wait_for_workers(1)
        workers = len(client.scheduler_info()["workers"])
        price_on(client, (squad[0][:workers], squad[1][:workers]), 1000)  # the workers import libdrag
        start = time.perf_counter()
        there = price_on(client, squad, options.draws)
        seconds = time.perf_counter() - start
        if client.cluster:
            client.cluster.close()

    if here.dtype != there.dtype or here.tobytes() != there.tobytes():
        raise SystemExit("the cluster's numbers differ from this machine's")
    dearest = np.unravel_index(np.argmax(there["cost_s"]), there.shape)
    print(f"{there.size} costs of {options.draws} draws, the same as on this machine to the last bit")
    print(f"{workers} {'worker' if workers == 1 else 'workers'}: {there.size / seconds:.0f} costs per second")
    print(
        f"dearest: swimmer {dearest[0] + 1}, hips {HIP_DROPS_DEG[dearest[1]]:g} deg lower, breathing"
        f" {BREATHINGS[dearest[2]]}: {there['cost_s'][dearest]:.2f} s"
        f" ({there['low_s'][dearest]:.2f} to {there['high_s'][dearest]:.2f})"
    )


if __name__ == "__main__":  # the workers import this file
    main()
