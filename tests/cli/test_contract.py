"""The JSON that other tools read: names and types that never change."""

import pytest

from typed import DRAG, MAIN, RACE, WHO, answer, as_json, close, numbers_of, whole_json, with_value, without

number = (int, float)
estimate = {"median": number, "low": number, "high": number, "level": number}

COST = {
    "event": str,
    "course": str,
    "stroke": str,
    "distance_m": number,
    "time_s": number,
    "cost_s": estimate,
    "per_degree_s": estimate,
    "drag_change": {"median": number, "low": number, "high": number},
    "mean_hip_drop_deg": number,
    "priced_share": number,
    "share_of_race": number,
    "when": str,
    "breathing": str,
    "legs": [{"stroke": str, "when": str, "breathing": str, "cost_s": estimate}],
    "assumed": [str],
    "because": [{"input": str, "share": number}],
    "cautions": [str],
    "seed": int,
    "draws": int,
}
IDENTITY = {
    "swimmer": {"name": str, "sex": str, "stature_m": number, "mass_kg": number},
    "tilt_model": str,
    "method": str,
    "replaced": [{"key": str, "value": number, "sd": number}],
    "version": str,
}
SEVERAL = {"events": [COST], **IDENTITY, "seed": int, "draws": int}
DRAG_TREE = {
    "speed_m_s": number,
    "water": {"temperature_c": number, "density_kg_m3": number, "viscosity_pa_s": number},
    "projected_area_m2": number,
    "wetted_area_m2": number,
    "passive": {
        "total_N": number,
        "low_N": number,
        "high_N": number,
        "friction_N": number,
        "pressure_N": number,
        "wave_N": number,
        "k_kg_m": number,
    },
    "active": {
        "stroke": str,
        "method": str,
        "total_N": number,
        "low_N": number,
        "high_N": number,
        "k_kg_m": number,
    },
    "tilt": {"model": str, "ratio": number},
}
BODY = {
    "stature_m": number,
    "mass_kg": number,
    "sex": str,
    "length_m": number,
    "volume_m3": number,
    "wetted_area_m2": number,
    "planform_area_m2": number,
    "projected_area_m2": {"arms_overhead": number, "arms_at_sides": number},
    "shoulder_hip_m": number,
}


def follows(tree, contract, path="$"):
    if isinstance(contract, dict):
        assert isinstance(tree, dict), path
        for key, part in contract.items():
            assert key in tree, f"{path}.{key}"
            follows(tree[key], part, f"{path}.{key}")
    elif isinstance(contract, list):
        assert isinstance(tree, list), path
        for i, item in enumerate(tree):
            follows(item, contract[0], f"{path}[{i}]")
    else:
        assert isinstance(tree, contract) and not isinstance(tree, bool), f"{path}: {tree!r}"


@pytest.mark.parametrize(
    "args",
    [
        MAIN,
        [*MAIN, "--when", "always"],
        [*MAIN, "--breathe", "never"],
        with_value(MAIN, "--hip-drop", "0deg"),
        with_value(with_value(MAIN, "--event", "200 IM"), "--time", "2:30"),
        [*with_value(with_value(MAIN, "--event", "100 back"), "--time", "1:10"), "--when", "always"],
        without(MAIN, "--sex"),
    ],
)
def test_cost(args):
    tree = as_json(*args)
    follows(tree, COST)
    assert tree["cost_s"]["level"] == 0.95 and tree["seed"] == 1 and tree["draws"] == 20000
    assert 0.0 < tree["priced_share"] < 1.0
    assert sum(b["share"] for b in tree["because"]) <= 1.0 + 1e-9


def test_cost_values():
    tree = as_json(*MAIN)
    assert (tree["event"], tree["course"], tree["stroke"]) == ("100 m freestyle", "lcm", "crawl")
    assert (tree["distance_m"], tree["time_s"]) == (100.0, 62.4)


@pytest.mark.parametrize(
    "event, stroke",
    [
        ("100 free", "crawl"),
        ("100 back", "back"),
        ("100 breast", "breast"),
        ("100 fly", "fly"),
        ("200 IM", "medley"),
    ],
)
def test_cost_names_the_stroke_as_the_option_does(event, stroke):
    when = ["--when", "always"] if stroke == "back" else []
    tree = as_json(*with_value(with_value(MAIN, "--event", event), "--time", "2:15"), *when)
    assert tree["stroke"] == stroke


def test_several_events():
    tree = as_json("cost", *RACE, "--event", "50 free", "--time", "28.5", *WHO, "--hip-drop", "4deg")
    follows(tree, SEVERAL)
    assert len(tree["events"]) == 2
    follows(as_json(*MAIN, "--all-events"), SEVERAL)


def test_other_questions():
    follows(
        as_json(*MAIN, "--what-if", "1deg,2deg"),
        {**SEVERAL, "question": {"asked": str, "rungs": [COST]}},
    )
    follows(
        as_json(*MAIN, "--want", "0.1s"),
        {
            **SEVERAL,
            "question": {
                "asked": str,
                "wanted_s": number,
                "hip_drop_left_deg": estimate,
                "hip_drop_left_m": number,
                "chance": number,
                "most_s": estimate,
            },
        },
    )
    follows(
        as_json(*without(MAIN, "--hip-drop"), "--time-without", "1:02.0"),
        {
            **SEVERAL,
            "question": {
                "asked": str,
                "event": str,
                "course": str,
                "time_s": number,
                "time_without_s": number,
                "hip_drop_deg": estimate,
                "hip_drop_m": number,
                "explained": number,
                "cautions": [str],
            },
        },
    )


def test_one_shape_whatever_is_asked_of_a_cost():
    keys = ["events", "question", "swimmer", "tilt_model", "method", "replaced", "version", "seed", "draws"]
    for more in ([], ["--all-events"], ["--what-if", "1deg"], ["--want", "0.1s"]):
        assert list(whole_json(*MAIN, *more)) == keys
    assert list(whole_json(*without(MAIN, "--hip-drop"), "--time-without", "1:02.0")) == keys
    assert whole_json(*MAIN)["question"] is None


def test_every_answer_says_what_it_is_of():
    for args in (
        MAIN,
        DRAG,
        ["stroke", "--speed", "1.5mps", *WHO],
        ["balance", *WHO],
        ["aids", "--speed", "1.5mps", *WHO, "--draws", "500"],
    ):
        tree = whole_json(*args, "--set", "tilt.slope=2.0+-0.5")
        follows(tree, IDENTITY)
        assert tree["swimmer"]["mass_kg"] == 63.0
        assert tree["replaced"] == [{"key": "tilt.slope", "value": 2.0, "sd": 0.5}]
        assert "tilt.slope = 2 (SD 0.5) for 3.25 (SD 0.8)" in " ".join(
            answer(*args, "--set", "tilt.slope=2.0+-0.5").split()
        )


@pytest.mark.parametrize("stroke", ["crawl", "back", "breast", "fly"])
@pytest.mark.parametrize(
    "method", ["push-off-pads", "perturbation", "planimetric", "residual-thrust", "assisted-tow"]
)
def test_drag_by_stroke_and_method(stroke, method):
    tree = as_json(*DRAG, "--stroke", stroke, "--method", method)
    follows(tree, DRAG_TREE)
    assert (tree["active"]["stroke"], tree["active"]["method"]) == (stroke, method)
    for part in (tree["passive"], tree["active"]):
        assert 0.0 < part["low_N"] < part["total_N"] < part["high_N"]
        assert close(part["k_kg_m"], part["total_N"] / 1.5**2, 1e-12)


@pytest.mark.parametrize(
    "more",
    [["--tilt-model", m] for m in ("blend", "projected", "damped", "slope", "crossflow")]
    + [["--posture", p] for p in ("streamlined", "arms-at-sides", "mid-stroke")]
    + [["--depth", d] for d in ("0m", "0.5m", "2m")]
    + [["--incline", "0deg"], ["--incline", "9deg"]]
    + [
        ["--water", "sea"],
        ["--temperature", "20C"],
        ["--head-lift", "20deg"],
        ["--leg-angle", "10deg"],
        ["--roll", "30deg"],
        ["--k", "28kg/m"],
        ["--speed", "0.8mps"],
        ["--speed", "2.3mps"],
    ],
)
def test_drag(more):
    tree = as_json(*with_value(DRAG, *more))
    follows(tree, DRAG_TREE)
    passive = tree["passive"]
    assert close(passive["friction_N"] + passive["pressure_N"] + passive["wave_N"], passive["total_N"], 1e-12)
    if more[0] == "--tilt-model":
        assert tree["tilt"]["model"] == more[1] and tree["tilt"]["ratio"] > 1.0
    if more[1] == "0deg":
        assert tree["tilt"]["ratio"] == 1.0
    if more[0] == "--k":
        assert tree["active"]["method"] == "measured" and close(tree["active"]["k_kg_m"], 28.0, 0.01)


def test_drag_follows_depth_speed_and_water():
    def passive(*more):
        return as_json(*DRAG[:1], "--speed", "1.5mps", *WHO, *more)["passive"]

    at_surface, below = passive("--incline", "5deg"), passive("--incline", "5deg", "--depth", "1m")
    assert below["wave_N"] < 0.5 * at_surface["wave_N"] and below["friction_N"] == at_surface["friction_N"]
    totals = [as_json("drag", *WHO, "--speed", f"{v}mps")["passive"]["total_N"] for v in (0.8, 1.2, 1.6, 2.0)]
    assert all(a < b for a, b in zip(totals, totals[1:]))
    assert (
        as_json(*DRAG, "--water", "sea")["water"]["density_kg_m3"] > as_json(*DRAG)["water"]["density_kg_m3"]
    )


@pytest.mark.parametrize("sex", ["f", "m", "average"])
def test_body(sex):
    tree = as_json("body", "--sex", sex, "--height", "172cm", "--mass", "63kg", "--dim", "chest_girth=91cm")
    follows(tree, BODY)
    assert (tree["stature_m"], tree["mass_kg"], tree["sex"]) == (1.72, 63.0, sex)
    assert len(tree["dimensions"]) >= 20
    for name, row in tree["dimensions"].items():
        assert set(row) == {"value_m", "sd_m", "measured"}
        assert (
            isinstance(row["value_m"], float)
            and isinstance(row["sd_m"], float)
            and row["value_m"] > row["sd_m"] > 0.0
        )
        assert row["measured"] is (name == "chest_girth")
    assert tree["dimensions"]["chest_girth"]["value_m"] == 0.91
    assert close(
        tree["shoulder_hip_m"],
        tree["dimensions"]["shoulder_height"]["value_m"] - tree["dimensions"]["hip_height"]["value_m"],
        1e-12,
    )
    assert tree["projected_area_m2"]["arms_at_sides"] > tree["projected_area_m2"]["arms_overhead"]


def test_every_dimension_can_be_measured():
    estimated = as_json("body", *WHO)["dimensions"]
    for name, row in estimated.items():
        tree = as_json("body", *WHO, "--dim", f"{name}={row['value_m']!r}m")
        assert tree["dimensions"][name]["measured"] is True
        assert tree["dimensions"][name]["value_m"] == row["value_m"]


def test_json_is_finite_everywhere():
    for args in (MAIN, DRAG, ["body", *WHO], ["sources"]):
        text = answer(*args, "--json")
        assert text.count("null") == text.count('"question": null') + text.count('"replaceable": null')
        assert all(abs(x) < 1e300 for x in numbers_of(as_json(*args)))
