"""What a careless user types: one line that names the field, the value and what is allowed; exit code 2."""

import pytest

from typed import DRAG, MAIN, RACE, WHO, answer, refused, with_value, without

MEDLEY = with_value(with_value(MAIN, "--event", "200 IM"), "--time", "2:30")
BACK = with_value(with_value(MAIN, "--event", "100 back"), "--time", "1:10")
FLY = with_value(with_value(MAIN, "--event", "100 fly"), "--time", "1:10")


def says(line, words):
    for word in words:
        assert word in line, line


# field, value, what is allowed
VALUES = [
    # wrong dimension
    ("--height", "63kg", ["height", "63kg", "a length"]),
    ("--height", "172deg", ["height", "172deg", "a length"]),
    ("--height", "1:72", ["height", "1:72", "a length"]),
    ("--mass", "172cm", ["mass", "172cm", "a mass"]),
    ("--mass", "63N", ["mass", "63N", "a force", "a mass"]),
    ("--hip-drop", "4kg", ["hip drop", "4kg", "an angle", "a length"]),
    ("--hip-drop", "4s", ["hip drop", "4s", "an angle", "a length"]),
    ("--hip-drop-sd", "1kg", ["hip drop sd", "1kg", "an angle"]),
    ("--time", "62.4m", ["time", "62.4m", "a time"]),
    ("--time", "1.5m/s", ["time", "1.5m/s", "a time"]),
    ("--what-if", "1kg", ["what if", "1kg", "an angle"]),
    ("--what-if", "1deg,2s", ["what if", "2s", "an angle"]),
    ("--want", "0.5m", ["want", "0.5m", "a time"]),
    ("--start-underwater", "11s", ["start underwater", "11s", "a length"]),
    ("--turn-underwater", "6kg", ["turn underwater", "6kg", "a length"]),
    ("--dim", "chest_girth=90kg", ["chest_girth", "90kg", "a length"]),
    ("--incline", "9cm", ["incline", "9cm", "an angle"]),
    ("--k", "28N", ["k", "28N", "kg/m"]),
    # no unit, or not a unit
    ("--height", "172", ["height", "172", "without a unit", "a length"]),
    ("--height", "1.72", ["height", "1.72", "without a unit"]),
    ("--height", "172 furlongs", ["height", "furlongs", "unknown unit"]),
    ("--height", "5ft13in", ["height", "5ft13in", "12"]),
    ("--height", "5.5ft8in", ["height", "5.5ft8in", "whole"]),
    ("--height", "172,5cm", ["height", "172,5cm", "decimal point"]),
    ("--height", "", ["height", "nothing", "a length"]),
    ("--height", " ", ["height", "nothing", "a length"]),
    ("--height", "tall", ["height", "tall", "a length"]),
    ("--height", "cm", ["height", "cm", "a length"]),
    ("--height", "172cm63kg", ["height", "172cm63kg"]),
    ("--mass", "63", ["mass", "63", "without a unit", "a mass"]),
    ("--hip-drop", "4", ["hip drop", "4", "without a unit"]),
    ("--hip-drop", "", ["hip drop", "nothing", "an angle"]),
    ("--hip-drop-sd", "1", ["hip drop sd", "1", "without a unit"]),
    ("--what-if", "1deg,2", ["what if", "'2'", "without a unit"]),
    ("--start-underwater", "11", ["start underwater", "11", "without a unit"]),
    ("--dim", "chest_girth=90", ["chest_girth", "90", "without a unit"]),
    ("--dim", "chest_girth=", ["chest_girth", "nothing", "a length"]),
    ("--dim", "chest_girth", ["dim", "chest_girth", "name=length"]),
    ("--dim", "", ["dim", "name=length"]),
    ("--incline", "9", ["incline", "9", "without a unit"]),
    ("--time", "1:2.4", ["time", "1:2.4", "m:ss"]),
    ("--time", "1:72.4", ["time", "1:72.4", "below 60"]),
    ("--time", "1:02:40", ["time", "0.2 m/s"]),
    ("--time", "1.02.40", ["time", "1.02.40", "a time"]),
    ("--time", "fast", ["time", "fast", "a time"]),
    ("--time", "", ["time", "nothing", "a time"]),
    # not a number that can be
    ("--height", "-172cm", ["height", "-1.72 m", "1 m to 2.4 m"]),
    ("--height", "0cm", ["height", "0 m", "1 m to 2.4 m"]),
    ("--height", "nancm", ["height", "nancm", "a length"]),
    ("--height", "infcm", ["height", "infcm", "a length"]),
    ("--height", "1e999m", ["height", "1e999m", "too large"]),
    ("--height", "17m", ["height", "17 m", "1 m to 2.4 m"]),
    ("--height", "50cm", ["height", "0.5 m", "1 m to 2.4 m"]),
    ("--mass", "-63kg", ["mass", "-63 kg", "20 kg to 250 kg"]),
    ("--mass", "0", ["mass", "0 kg", "20 kg to 250 kg"]),
    ("--mass", "nan", ["mass", "nan", "a mass"]),
    ("--mass", "infkg", ["mass", "infkg", "a mass"]),
    ("--mass", "700kg", ["mass", "700 kg", "20 kg to 250 kg"]),
    ("--mass", "20kg", ["mass", "20 kg", "kg"]),
    ("--hip-drop", "-4deg", ["hip drop", "-4 deg", "0 deg to 45 deg"]),
    ("--hip-drop", "95deg", ["hip drop", "95 deg", "0 deg to 45 deg"]),
    ("--hip-drop", "2rad", ["hip drop", "114.592 deg", "0 deg to 45 deg"]),
    ("--hip-drop", "90cm", ["hip drop", "90 cm", "0 cm to"]),
    ("--hip-drop", "-1cm", ["hip drop", "-1 cm", "0 cm to"]),
    ("--hip-drop", "nandeg", ["hip drop", "nandeg", "an angle"]),
    ("--hip-drop-sd", "-1deg", ["hip drop sd", "-1 deg", "0 deg to 4 deg"]),
    ("--hip-drop-sd", "5deg", ["hip drop sd", "5 deg", "0 deg to 4 deg"]),
    ("--hip-drop-sd", "1cm", ["hip drop sd", "degrees", "centimetres"]),
    ("--what-if", "95deg", ["hip drop", "95 deg", "0 deg to 45 deg"]),
    ("--what-if", "1deg,-1deg", ["hip drop", "-1 deg", "0 deg to 45 deg"]),
    ("--what-if", "", ["what if", "nothing", "an angle"]),
    ("--want", "0s", ["want", "0 s", "more than 0"]),
    ("--want", "-1s", ["want", "-1", "more than 0"]),
    ("--want", "inf", ["want", "inf", "a time"]),
    ("--time", "0", ["time", "0.00", "45.05 to 8:20.00"]),
    ("--time", "-62.4s", ["time", "-1:02.40", "45.05 to 8:20.00"]),
    ("--time", "nan", ["time", "nan", "a time"]),
    ("--time", "inf", ["time", "inf", "a time"]),
    ("--time", "45s", ["time", "45.00", "45.05 to 8:20.00", "the record"]),
    ("--time", "10min", ["time", "10:00.00", "45.05 to 8:20.00"]),
    ("--start-underwater", "30m", ["start underwater", "30 m", "0 m to 15 m"]),
    ("--start-underwater", "-1m", ["start underwater", "-1 m", "0 m to 15 m"]),
    ("--turn-underwater", "20m", ["turn underwater", "20 m", "0 m to 15 m", "the rules"]),
    ("--start-underwater", "15.1m", ["start underwater", "15.1 m", "0 m to 15 m"]),
    ("--incline", "95deg", ["incline", "95 deg", "0 deg to 60 deg"]),
    ("--incline", "-5deg", ["incline", "-5 deg", "0 deg to 60 deg"]),
    ("--k", "0kg/m", ["k", "0 kg/m", "5 kg/m to 150 kg/m"]),
    ("--k", "-28kg/m", ["k", "-28 kg/m", "5 kg/m to 150 kg/m"]),
    ("--dim", "chest_girth=9m", ["chest_girth", "900 cm", "cm to"]),
    ("--dim", "chest_girth=-90cm", ["chest_girth", "-90 cm", "cm to"]),
    ("--dim", "chest_girth=nan", ["chest_girth", "nan", "a length"]),
    ("--dim", "hip_height=46cm", ["hip_height", "46", "knee_height"]),
    ("--dim", "hip_height=30cm", ["hip_height", "30 cm", "cm to"]),
    # unknown words, with the nearest known ones
    ("--event", "100 fre", ["event", "100 fre", "100 free"]),
    ("--event", "100 butterfly stroke", ["event", "100 butterfly stroke", "100 f"]),
    ("--event", "150 free", ["event", "150 free", "free"]),
    ("--event", "1650 free", ["event", "1650 free", "free"]),
    ("--event", "100 IM", ["event", "100 IM", "200 medley"]),
    ("--event", "100", ["event", "100", "100 free"]),
    ("--event", "free", ["event", "free"]),
    ("--event", "", ["event", "100 free"]),
    ("--event", "zzz", ["event", "zzz", "100 free"]),
    ("--event", "-100 free", ["event", "-100 free"]),
    ("--event", "99999999999999999999 free", ["event", "free"]),
    ("--event", "4x100 free", ["event", "4x100 free", "100 free"]),
    ("--event", "100yd free", ["event", "100yd free", "metres"]),
    ("--course", "lcn", ["course", "lcn", "lcm"]),
    ("--course", "50m", ["course", "50m", "lcm, scm, scy"]),
    ("--course", "", ["course", "lcm, scm, scy"]),
    ("--sex", "q", ["sex", "q", "f, m"]),
    ("--sex", "femal", ["sex", "femal", "female"]),
    ("--when", "alwys", ["when", "alwys", "always"]),
    ("--when", "x", ["when", "x", "breath, always"]),
    ("--given", "maybe", ["given", "maybe", "with or without"]),
    ("--tilt-model", "slop", ["tilt model", "slop", "slope"]),
    ("--tilt-model", "zz", ["tilt model", "zz", "crossflow, blend"]),
    ("--dim", "chest_grith=90cm", ["body dimension", "chest_grith", "chest_girth"]),
    ("--dim", "zzz=90cm", ["body dimension", "zzz", "dragcalc body"]),
    ("--dim", "=90cm", ["body dimension", "dragcalc body"]),
    ("--set", "tilt.slop=2", ["source", "tilt.slop", "tilt.slope"]),
    ("--set", "zzz=2", ["source", "zzz", "dragcalc sources"]),
    ("--set", "tilt.slope", ["set", "tilt.slope", "key=value"]),
    ("--set", "tilt.slope=steep", ["tilt.slope", "steep", "a number"]),
    ("--set", "tilt.slope=2deg", ["tilt.slope", "2deg", "a number"]),
    ("--set", "tilt.slope=nan", ["tilt.slope", "nan", "a number"]),
    ("--set", "tilt.slope=1e999", ["tilt.slope", "1e999", "a number"]),
    ("--set", "tilt.slope=2+-", ["tilt.slope sd", "nothing", "a number"]),
    ("--set", "tilt.slope=2+--1", ["tilt.slope sd", "-1", "0 to 19.99"]),
    ("--set", "tilt.slope=2+-1e9", ["tilt.slope sd", "1e+09", "0 to 19.99 %/deg", "width"]),
    ("--set", "tilt.slope=2%", ["tilt.slope", "2%", "a number in %/deg"]),
    ("--set", "tilt.slope=-5", ["tilt.slope", "-5", "0.01 %/deg to 20 %/deg"]),
    ("--set", "race.drag_exponent=-3", ["race.drag_exponent", "-3", "1 to 4"]),
    ("--set", "posture.incline.crawl=500", ["posture.incline.crawl", "500 deg", "0 deg to 45 deg"]),
    (
        "--set",
        "breath.pulse_width.crawl=-0.1",
        ["breath.pulse_width.crawl", "-0.1", "0.1 cycle to 0.95 cycle"],
    ),
    ("--set", "race.turn_underwater=60", ["race.turn_underwater", "60 m", "0 m to 15 m"]),
    ("--set", "water.tanaka.a1=-4", ["water.tanaka.a1", "-4", "-3.98304", "compiled in"]),
    ("--set", "friction.ittc57.numerator=0.1", ["friction.ittc57.numerator", "0.1", "only the published"]),
    ("--set", "race.start_underwater=1000", ["race.start_underwater", "1000 m", "0 m to 15 m"]),
    ("--set", "race.start_dead_time=500", ["race.start_dead_time", "500 s", "0 s to 2 s"]),
    ("--set", "race.underwater_speed_ratio=0", ["race.underwater_speed_ratio", "got 0", "0.8 to 2"]),
    # breathing
    ("--breathe", "every-0", ["breathe", "every-0", "every-2"]),
    ("--breathe", "every--2", ["breathe", "every--2", "every-2"]),
    ("--breathe", "every-61", ["breathe", "every-61", "every-60"]),
    ("--breathe", "every-99999999999", ["breathe", "every-99999999999", "every-60"]),
    ("--breathe", "every-2.5", ["breathe", "every-2.5", "every-2"]),
    ("--breathe", "every 2", ["breathe", "every 2", "every-2"]),
    ("--breathe", "2", ["breathe", "2", "every-2"]),
    ("--breathe", "", ["breathe", "nothing", "every-2"]),
    ("--breathe", "every-2,", ["breathe", "nothing", "every-2"]),
    ("--breathe", ",", ["breathe", "nothing", "every-2"]),
    ("--breathe", "every-2,every-2,every-2", ["breath", "3 patterns", "2 lengths"]),
    ("--breathe", "free=every-2", ["breathe", "free=every-2", "every-2"]),
    # Monte Carlo
    ("--draws", "0", ["draws", "0", "100 to 10000000"]),
    ("--draws", "99", ["draws", "99", "100 to 10000000"]),
    ("--draws", "-1", ["draws", "-1", "whole number"]),
    ("--draws", "1e12", ["draws", "1e12", "whole number"]),
    ("--draws", "10000001", ["draws", "10000001", "100 to 10000000"]),
    ("--draws", "1000000000000", ["draws", "1000000000000", "100 to 10000000"]),
    ("--draws", "99999999999999999999999", ["draws", "99999999999999999999999", "whole number"]),
    ("--draws", "abc", ["draws", "abc", "whole number"]),
    ("--draws", "20000.5", ["draws", "20000.5", "whole number"]),
    ("--draws", "20,000", ["draws", "20,000", "whole number"]),
    ("--draws", "", ["draws", "nothing", "whole number"]),
    ("--draws", "0x100", ["draws", "0x100", "whole number"]),
    ("--seed", "-1", ["seed", "-1", "whole number"]),
    ("--seed", "1.5", ["seed", "1.5", "whole number"]),
    ("--seed", "18446744073709551616", ["seed", "18446744073709551616", "whole number"]),
    ("--seed", "today", ["seed", "today", "whole number"]),
    ("--level", "2", ["level", "2", "0.5 to 0.999"]),
    ("--level", "95", ["level", "95", "0.5 to 0.999"]),
    ("--level", "0", ["level", "0", "0.5 to 0.999"]),
    ("--level", "1", ["level", "1", "0.5 to 0.999"]),
    ("--level", "-0.95", ["level", "-0.95", "0.5 to 0.999"]),
    ("--level", "nan", ["level", "nan", "a number"]),
    ("--level", "high", ["level", "high", "a number"]),
    ("--threads", "-1", ["threads", "-1", "whole number"]),
    ("--threads", "1000", ["threads", "1000", "0 to 256"]),
    ("--threads", "99999999999", ["threads", "99999999999", "whole number"]),
    ("--threads", "all", ["threads", "all", "whole number"]),
]


@pytest.mark.parametrize("option, value, words", VALUES, ids=[f"{o}={v}"[:40] for o, v, _ in VALUES])
def test_cost_refuses(option, value, words):
    says(refused(*with_value(MAIN, option, value)), words)


DRAG_VALUES = [
    ("--speed", "1.5", ["speed", "1.5", "without a unit", "m/s"]),
    ("--speed", "1.5m", ["speed", "1.5m", "a length", "a speed"]),
    ("--speed", "1:02.4", ["speed", "1:02.4", "a speed"]),
    ("--speed", "", ["speed", "nothing", "a speed"]),
    ("--speed", "0mps", ["speed", "0 m/s", "0.1 m/s to 4 m/s"]),
    ("--speed", "-1.5mps", ["speed", "-1.5 m/s", "0.1 m/s to 4 m/s"]),
    ("--speed", "25mps", ["speed", "25 m/s", "0.1 m/s to 4 m/s"]),
    ("--speed", "nanmps", ["speed", "nanmps", "a speed"]),
    ("--speed", "infm/s", ["speed", "infm/s", "a speed"]),
    ("--depth", "0.5", ["depth", "0.5", "without a unit"]),
    ("--depth", "-1m", ["depth", "-1 m", "0 m to 5 m"]),
    ("--depth", "50m", ["depth", "50 m", "0 m to 5 m"]),
    ("--depth", "1kg", ["depth", "1kg", "a length"]),
    ("--posture", "streamlned", ["posture", "streamlned", "streamlined"]),
    ("--posture", "zz", ["posture", "zz", "streamlined, arms-at-sides, mid-stroke"]),
    ("--stroke", "craul", ["stroke", "craul", "crawl"]),
    ("--stroke", "", ["stroke", "crawl, back, breast, fly"]),
    ("--method", "planimetri", ["method", "planimetri", "planimetric"]),
    (
        "--method",
        "zz",
        ["method", "zz", "push-off-pads, perturbation, planimetric, residual-thrust, assisted-tow"],
    ),
    ("--tilt-model", "damp", ["tilt model", "damp", "damped"]),
    ("--temperature", "27", ["temperature", "27", "without a unit", "27C or 80F"]),
    ("--temperature", "0", ["temperature", "0", "without a unit"]),
    ("--temperature", "27kg", ["temperature", "27kg", "a temperature"]),
    ("--temperature", "-1C", ["temperature", "-1", "0 C to 60 C"]),
    ("--temperature", "200C", ["temperature", "200", "0 C to 60 C"]),
    ("--temperature", "nanC", ["temperature", "nanC", "a temperature"]),
    ("--water", "mud", ["water", "mud", "fresh or sea"]),
    ("--head-lift", "100deg", ["head", "lift", "100 deg", "90 deg"]),
    ("--head-lift", "20", ["head lift", "20", "without a unit"]),
    ("--leg-angle", "500deg", ["leg", "angle", "500 deg", "deg"]),
    ("--roll", "3000deg", ["roll", "3000 deg", "180 deg"]),
    ("--roll", "30cm", ["roll", "30cm", "an angle"]),
    ("--incline", "95deg", ["incline", "95 deg", "0 deg to 60 deg"]),
    ("--k", "1kg/m", ["k", "1 kg/m", "5 kg/m to 150 kg/m"]),
    ("--draws", "-1", ["draws", "-1", "whole number"]),
]


@pytest.mark.parametrize(
    "option, value, words", DRAG_VALUES, ids=[f"{o}={v}"[:40] for o, v, _ in DRAG_VALUES]
)
def test_drag_refuses(option, value, words):
    says(refused(*with_value(DRAG, option, value)), words)


@pytest.mark.parametrize(
    "args, words",
    [
        # a pattern for the wrong stroke
        ([*BACK, "--breathe", "every-2"], ["breathe", "every-2", "never", "when = always"]),
        ([*BACK, "--breathe", "alternate"], ["breathe", "alternate", "never"]),
        (
            [*BACK, "--when", "breath"],
            ["when", "breath", "always for 100 m backstroke", "no breath lifts the head"],
        ),
        ([*FLY, "--breathe", "alternate"], ["breathe", "alternate", "every-1, every-2", "fly"]),
        ([*MEDLEY, "--breathe", "every-2"], ["breathe", "every-2", "fly=every-1"]),
        ([*MEDLEY, "--breathe", "back=every-2"], ["breathe", "every-2", "never"]),
        ([*MEDLEY, "--breathe", "fly=alternate"], ["breathe", "alternate", "every-1"]),
        ([*MEDLEY, "--breathe", "side=every-2"], ["stroke", "side", "crawl"]),
        ([*MEDLEY, "--breathe", "fly="], ["breathe", "nothing", "every-1"]),
        ([*MEDLEY, "--breathe", "fly=every-1,"], ["breathe", "fly=every-1"]),
        # options that contradict each other
        ([*MAIN, "--when", "always", "--breathe", "every-2"], ["breathe", "every-2", "when = always"]),
        ([*BACK, "--when", "always", "--breathe", "never"], ["breathe", "never", "when = always"]),
        ([*MAIN, "--json", "--csv"], ["json, csv", "both", "one"]),
        (["body", *WHO, "--json", "--csv"], ["json, csv", "both", "one"]),
        ([*DRAG, "--json", "--csv"], ["json, csv", "both", "one"]),
        (["sources", "--json", "--csv"], ["json, csv", "both", "one"]),
        (with_value([*MAIN, "--course", "scy"], "--event", "100m free"), ["event", "100m free", "yards"]),
        (
            with_value([*MAIN, "--course", "scm"], "--event", "100 yards free"),
            ["event", "100 yards free", "metres"],
        ),
        (with_value([*MAIN, "--course", "scy"], "--event", "1500 free"), ["event", "1500 free", "free"]),
        (
            [*MAIN, "--want", "0.5s", "--what-if", "1deg"],
            ["what if, want, time without", "several", "one question"],
        ),
        (
            [*MAIN, "--want", "0.5s", "--time-without", "1:01"],
            ["what if, want, time without", "one question"],
        ),
        ([*MAIN, "--time-without", "1:02"], ["hip drop", "4deg", "time without"]),
        (
            [*without(MAIN, "--hip-drop"), "--time-without", "1:02", "--given", "without"],
            ["given", "without", "time without"],
        ),
        (
            [*without(MAIN, "--hip-drop"), "--time-without", "1:03"],
            ["time without", "1:03.00", "less than", "1:02.40"],
        ),
        (
            [*without(MAIN, "--hip-drop"), "--time-without", "1:02.40"],
            ["time without", "1:02.40", "less than"],
        ),
        ([*without(MAIN, "--hip-drop"), "--time-without", "0"], ["time without", "0.00"]),
        ([*without(MAIN, "--hip-drop"), "--time-without", "-5s"], ["time without", "-5.00"]),
        ([*without(MAIN, "--hip-drop"), "--time-without", "20s"], ["time without", "20.00"]),
        ([*MAIN, "--event", "200 free"], ["time", "1 for 2 events", "one time for each event"]),
        ([*MAIN, "--time", "2:15"], ["time", "2 for 1 event", "one time for each event"]),
        (
            [*MAIN, "--event", "200 free", "--time", "2:15", "--all-events"],
            ["all events", "2 events", "one event"],
        ),
        ([*MAIN, "--event", "200 free", "--time", "2:15", "--want", "1s"], ["want", "2 events", "one event"]),
        ([*MAIN, "--all-events", "--what-if", "1deg"], ["what if", "6 events", "one event"]),
        (
            with_value([*MAIN, "--hip-drop-sd", "1deg"], "--hip-drop", "6cm"),
            ["hip drop sd", "degrees", "centimetres"],
        ),
        ([*MAIN, "--splits", "15,16,17,14.4"], ["splits", "4", "medley"]),
        ([*MEDLEY, "--splits", "30,37,43"], ["splits", "3", "four"]),
        ([*MEDLEY, "--splits", "30,37,43,38"], ["splits", "2:28.00", "2:30.00"]),
        ([*MEDLEY, "--splits=-30,97,43,40"], ["splits", "-30 s", "0 s to 150 s"]),
        ([*MEDLEY, "--splits", "0,67,43,40"], ["splits", "butterfly", "0.00", "21.62"]),
        ([*MEDLEY, "--splits", "1,66,43,40"], ["splits", "butterfly", "1.00", "21.62"]),
        ([*MEDLEY, "--splits", "30,37,43,"], ["splits", "nothing", "a time"]),
        ([*MEDLEY, "--splits", "30,37,43,x"], ["splits", "x", "a time"]),
        ([*MEDLEY, "--splits", "30,37,43,40,0"], ["splits", "5", "four"]),
        (
            with_value(with_value([*MEDLEY, "--splits", "1,2,3"], "--event", "400 IM"), "--time", "5:00"),
            ["splits", "3", "one a length, 8"],
        ),
        # fields that change nothing as things are
        ([*MAIN, "--age", "30"], ["age", "30", "nothing without something worn or a head lift"]),
        ([*MAIN, "--fat", "15%"], ["fat", "15%", "nothing without something worn"]),
        ([*MAIN, "--lungs", "full"], ["lungs", "nothing without something worn"]),
        ([*DRAG, "--age", "30"], ["age", "30", "nothing without something worn"]),
        (["stroke", *DRAG[1:], "--fat", "15%"], ["fat", "15%", "nothing without something worn"]),
        (["body", *WHO, "--force"], ["force", "nothing without save"]),
        (["balance", *WHO, "--breathe", "every-2"], ["breathe", "every-2", "nothing without head lift"]),
        ([*MAIN, "--belt-at", "95cm"], ["belt at", "95cm", "nothing without belt"]),
        (
            [*without(MAIN, "--hip-drop"), "--head-lift", "6cm", "--hip-drop-sd", "1deg"],
            ["hip drop sd", "1deg", "nothing without hip drop"],
        ),
        (
            with_value(with_value([*MAIN, "--turn-underwater", "6m"], "--event", "50 free"), "--time", "28"),
            ["turn underwater", "6m", "one length"],
        ),
        (
            ["stroke", *DRAG[1:], "--stroke", "back", "--head-lift", "6cm"],
            ["head lift", "6cm", "nothing in backstroke"],
        ),
        (
            ["stroke", *DRAG[1:], "--snorkel", "--hip-drop", "4deg"],
            ["hip drop", "4deg", "nothing with a snorkel"],
        ),
        # what cannot be
        (["balance", *WHO, "--age", "-1"], ["age", "-1", "5 to 100"]),
        (["balance", *WHO, "--age", "200"], ["age", "200", "5 to 100"]),
        ([*MAIN, "--snorkel", "--age", "200y"], ["age", "200", "5 to 100"]),
        ([*DRAG, "--drogue", "-34cm"], ["drogue", "-34 cm", "0 cm to 112.838 cm"]),
        ([*DRAG, "--drogue", "-900cm2"], ["drogue", "-0.09 m2", "0 m2 to 1 m2"]),
        ([*MAIN, "--what-if", ",".join(["1deg"] * 201)], ["what if", "more than 200", "at most 200"]),
        (with_value(with_value(MAIN, "--event", "50 breast"), "--time", "20.0"), ["time", "20.00", "25.19"]),
        (
            [*without(MAIN, "--hip-drop"), "--time-without", "44"],
            ["time without", "44.00", "45.05"],
        ),
        (
            [
                *with_value(with_value(MAIN, "--event", "100 breast"), "--time", "1:20"),
                "--turn-underwater",
                "16m",
            ],
            ["turn underwater", "16 m", "0 m to 15 m", "one pull-out"],
        ),
        (with_value(MAIN, "--time", "1:06/"), ["time", "1:06/", "1:06/100m"]),
        (with_value(MAIN, "--time", "1:06/100yd"), ["time", "1:06/100yd", "1:06/100m"]),
        (["stroke", *DRAG[1:], "--cycle", "0/min"], ["cycle", "0/min", "52/min"]),
        (["stroke", *DRAG[1:], "--cycle", "52/h"], ["cycle", "52/h", "52/min"]),
        (with_value(MAIN, "--height", "5'8 3/2\""), ["height", "fraction"]),
        # missing
        ([], ["command", "nothing", "--help"]),
        (["cost"], ["event, time, hip drop: got nothing", "100 free", "1:02.40", "4deg"]),
        (["cost", "--event", "100 free"], ["time, hip drop: got nothing", "1:02.40", "4deg"]),
        (without(MAIN, "--hip-drop"), ["hip drop", "nothing", "4deg"]),
        (without(MAIN, "--height"), ["height", "nothing", "172cm"]),
        (without(MAIN, "--mass"), ["mass", "nothing", "63kg"]),
        (without(DRAG, "--speed"), ["speed: got nothing", "m/s"]),
        (["drag"], ["speed, height, mass: got nothing"]),
        (["body"], ["height, mass: got nothing", "172cm"]),
        (["cost", "--hip-drop"], ["hip drop", "nothing", "one value"]),
        ([*MAIN, "--course"], ["course", "nothing", "one value"]),
        ([*MAIN, "--what-if"], ["what if", "nothing", "value"]),
        (["body", *WHO, "--save"], ["save", "nothing", "one value"]),
        # unknown
        (["cots"], ["command", "cots", "cost"]),
        (["zzz"], ["command", "zzz", "dragcalc --help"]),
        (["--zzz"], ["option", "--zzz", "dragcalc --help"]),
        ([*MAIN, "--hipdrop", "4deg"], ["option", "--hipdrop", "--hip-drop"]),
        ([*MAIN, "--weight=63kg"], ["option", "--weight", "--he"]),
        ([*MAIN, "--zzzzzzzz"], ["option", "--zzzzzzzz", "dragcalc cost --help"]),
        ([*DRAG, "--temprature", "27C"], ["option", "--temprature", "--temperature"]),
        ([*MAIN, "-x"], ["option", "-x", "dragcalc cost --help"]),
        ([*MAIN, "hello"], ["argument", "hello", "dragcalc cost --help"]),
        (
            ["cost", "--event", "100", "free", "--time", "62", *WHO, "--hip-drop", "4deg"],
            ["argument", "free", "quotes"],
        ),
        ([*MAIN, "--course", "lcm", "--course", "scm"], ["course", "more than one", "one value"]),
        ([*MAIN, "--height", "180cm"], ["height", "more than one", "one value"]),
        ([*MAIN, "--hip-drop", "5deg"], ["hip drop", "more than one", "one value"]),
        (["sources", "tilt.slop"], ["source", "tilt.slop", "tilt.slope"]),
        (["sources", "zzz"], ["source", "zzz", "dragcalc sources"]),
        (["sources", ""], ["source", "dragcalc sources"]),
        (["sources", "tilt.slope", "tilt.damped.exponent"], ["argument", "tilt.damped.exponent"]),
        # made to break the one line
        ([*MAIN, "--a\nb\x1b[31m"], ["option"]),
        ([*MAIN, "a\nb\x1b[31m"], ["argument", "a\\x0ab"]),
        (["a\nb"], ["command", "a\\x0ab"]),
        (["sources", "a\nb\x1b[31m"], ["source"]),
        (with_value(MAIN, "--event", "100\nfree\x1b[2J"), ["event", "\\x0a"]),
        (with_value(MAIN, "--height", "172\ncm"), ["height"]),
        (with_value(MAIN, "--dim", "a\nb=3"), ["a\\x0ab"]),
        (with_value(MAIN, "--dim", "a\nb=3cm"), ["body dimension"]),
        (with_value(MAIN, "--dim", "a\nb"), ["dim"]),
        (with_value(MAIN, "--set", "a\nb=3"), ["source"]),
        (with_value(MAIN, "--set", "a\nb=x"), ["a\\x0ab"]),
        (with_value(MAIN, "--height", "9" * 100_000 + "cm"), ["height", "characters long"]),
        (with_value(MAIN, "--event", "9" * 100_000), ["event"]),
        (with_value(MAIN, "--breathe", "x" * 100_000), ["breathe"]),
        (with_value(MAIN, "--dim", "x" * 100_000 + "=3"), ["without a unit"]),
        (with_value(MAIN, "--set", "x" * 5000 + "=3"), ["source"]),
        ([*MAIN, "--" + "x" * 100_000], ["option"]),
        (with_value(MAIN, "--height", b"172\xff\xfecm"), ["height", "\\xff"]),
        (with_value(MAIN, "--height", "１７２cm"), ["height", "a length"]),
        (with_value(MAIN, "--sex", "\u202ef"), ["sex"]),
    ],
)
def test_refuses(args, words):
    says(refused(*args), words)


def test_a_minus_sign_is_a_value_not_an_option():
    says(refused(*with_value(MAIN, "--hip-drop", "-4deg")), ["hip drop", "-4 deg"])
    says(refused(*without(MAIN, "--hip-drop"), "--hip-drop=-4deg"), ["hip drop", "-4 deg"])
    says(refused(*with_value(DRAG, "--temperature", "-5C")), ["temperature", "-5"])


def test_the_first_and_the_last_that_is_allowed():
    for option, values in (
        ("--hip-drop", ["0deg", "45deg"]),
        ("--height", ["1.2m", "2.4m"]),
        ("--time", ["45.06", "8:19.99"]),
        ("--start-underwater", ["0m", "15m"]),
        ("--incline", ["0deg", "60deg"]),
        ("--k", ["5kg/m", "150kg/m"]),
        ("--level", ["0.5", "0.999"]),
        ("--breathe", ["every-1", "every-60"]),
        ("--draws", ["100"]),
        ("--threads", ["0", "256"]),
    ):
        for value in values:
            answer(*with_value(MAIN, option, value))
    for option, values in (
        ("--speed", ["0.1mps", "4mps"]),
        ("--depth", ["0m", "5m"]),
        ("--temperature", ["0C", "60C"]),
    ):
        for value in values:
            answer(*with_value(DRAG, option, value))


def test_a_medley_split_may_be_slow_but_not_absurd():
    answer(*MEDLEY, "--splits", "30,37,43,40")
    answer(*MEDLEY, "--splits", "21.7,45.3,43,40")


def test_several_events_are_refused_as_a_whole():
    done = refused("cost", *RACE, "--event", "200 free", "--time", "1:00", *WHO, "--hip-drop", "4deg")
    says(done, ["200 m freestyle", "1:00.00", "1:39.03"])
