/// What can be asked: every command with its purpose, its examples and its options.

#include "command.hpp"

#include <initializer_list>

namespace dragcalc {

using namespace libdrag;

namespace {

constexpr auto single = Option::Takes::value, repeated = Option::Takes::values, flag = Option::Takes::nothing,
               in_place = Option::Takes::place;

// --- what several of them take ----------------------------------------------------------------------

constexpr char const
    *cautions = "Cautions stand below the answer, and in its JSON and CSV.",
    *cautions_worn =
        "Cautions about breathing and worn weight stand below the answer, and in its JSON and CSV.";

Option const event{"event", "\"100 free\", \"200m butterfly\"", single, true},
    time_now{"time", "1:02.40, as she swims it now", single, true},
    course{"course", "lcm (50 m, default), scm (25 m) or scy (25 yd)", single, true},
    splits{"splits", "of a medley, fly to free or one a length: 15.1,17.9,20.4,16.0"},
    start_underwater{"start_underwater", "flight and under water after the start: 11m"},
    turn_underwater{"turn_underwater", "under water after each turn: 6m"},
    her_pattern{"breathe", "her pattern in the race: every-2", single, true},
    hip_drop_sd{"hip_drop_sd", "how sure that is (default 1deg, at most a quarter of the drop)"},
    head_lift{"head_lift", "how far the head comes up to breathe: 6cm, 20deg", single, true},
    only_name{"name", "the swimmer; not needed where the file has only one", single, true},
    squad_file{"file", "the squad's CSV, see 'dragcalc log'", in_place, true};

Group races_group() {
    return {"Race",
            {{"event", "\"100 free\", \"200m butterfly\", \"400 IM\"; repeatable, with a --time each",
              repeated, true},
             {"time", "1:02.40, or a pace: 1:06/100", repeated, true},
             course,
             {"all_events", "the event's stroke over all its distances, other times guessed", flag},
             splits,
             start_underwater,
             turn_underwater}};
}
/// One, with what more is said of it.
Group race_group(std::string heading, std::initializer_list<Option> more = {}) {
    Group out{std::move(heading), {event, time_now, course}};
    out.options.insert(out.options.end(), more);
    return out;
}
/// Beside a record.
Group recorded_race_group(std::string heading) {
    return race_group(std::move(heading),
                      {her_pattern,
                       {"hip_drop", "a drop beside those in the record: 4deg, 6cm", single, true},
                       {"hip_drop_sd", "how sure that is"}});
}
Group fault_group() {
    return {
        "Fault",
        {{"hip_drop", "how much lower the hips go, as an angle or a depth: 4deg, 6cm", single, true},
         hip_drop_sd,
         head_lift,
         {"when", "breath: the hips drop with each breath (default); always: they stay down", single, true},
         {"breathe",
          "never, every-2, every-3, alternate ...; a list per length: every-3,every-2; for a medley by "
          "stroke: fly=every-1,free=every-2",
          single, true},
         {"given", "whether --time was swum with (default) or without the fault"}}};
}
Group swimmer_group() {
    return {"Swimmer",
            {{"swimmer", "a file, see 'dragcalc body --save'; the options below win over it"},
             {"sex", "f, m or average", single, true},
             {"height", "172cm, 5ft8in, 5'8 1/2\"", single, true},
             {"mass", "63kg, 139lb", single, true},
             {"dim", "a measured dimension: chest_girth=90cm ('dragcalc body' lists the names); repeatable",
              repeated},
             {"incline", "the swimmer's own trunk incline at race speed without the fault: 9deg"},
             {"k", "the swimmer's own measured active drag over speed squared: 28kg/m"}}};
}

Group record_group() {
    return {"Record",
            {{"record",
              "answer as her tests have it: squad.csv, see 'dragcalc log'; none leaves out the one that "
              "her file names"},
             {"name", "the swimmer in it; not needed where the file has only one"}}};
}
Group squad_group() {
    return {"Squad",
            {{"squad",
              "a CSV with a row per swimmer, read by its heads: name, sex, height (cm), mass (kg), event, "
              "time, hip drop (deg) ...; what a row does not say the options do",
              single, true}}};
}
Group water_group() {
    return {"Water", {{"water", "fresh (default) or sea"}, {"temperature", "27C (default), 80F"}}};
}

std::vector<Option> model_options() {
    return {{"stroke", "crawl (default), back, breast or fly", single, true},
            {"method", "active drag as measured by push-off-pads, perturbation, planimetric (default), "
                       "residual-thrust or assisted-tow"},
            {"tilt_model", "blend (default: all four drawn), projected, damped, slope or crossflow"}};
}

Group posture_group() {
    return {"Posture",
            {{"posture", "streamlined (default), arms-at-sides or mid-stroke", single, true},
             {"leg_angle", "legs below the trunk line: 5deg"},
             {"knee_bend", "heels towards the buttocks: 40deg"},
             {"leg_spread", "each leg outwards: 20deg"},
             {"arm_angle", "arms below the trunk line: 10deg"},
             {"arm_spread", "each arm outwards: 10deg"},
             {"roll", "about the trunk's axis: 30deg"}}};
}

Group worn_group() {
    return {"Worn or towed",
            {{"snorkel", "no breath lifts the head", flag, true},
             {"belt", "worn weight: 2kg", single, true},
             {"belt_at", "where, from the soles: 0.95m (default: the waist)"},
             {"shorts", "drag shorts", flag},
             {"shorts_area", "their drag area on the level swimmer, if known: 60cm2"},
             {"drogue", "bottomless drogue, opening or diameter: 900cm2, 34cm", single, true},
             {"bowl", "bowl open to the flow, opening or diameter"},
             {"parachute", "parachute, opening or diameter"},
             {"tether", "a pull that does not depend on speed: 20N"},
             {"buoy", "pull buoy: 3L"},
             {"buoy_at", "where, from the soles (default: between the thighs)"},
             {"sleeve", "buoyant shorts or a sleeve round the thighs, volume of the foam: 2L"},
             {"sleeve_at", "where, from the soles (default: round the thighs)"}}};
}

Group floating_group() {
    return {"Floating",
            {{"lungs", "full, mid (default), empty or a volume: 2.5L"},
             {"fat", "body fat: 15% (default 12% men, 20% women)"},
             {"age", "25y, for the lungs (default 25 years)"}}};
}

Group study_group(Options const& usual = {}) {
    return {
        "Study",
        {{"draws", "Monte Carlo draws (default " + std::to_string(usual.draws) + ")"},
         {"seed", "same seed, same answer (default " + std::to_string(usual.seed) + ")"},
         {"level", "coverage of the intervals, 0.5 to 0.999 (default " + format_number(usual.level, 2) + ")"},
         {"threads", "default 0: all cores; the answer does not depend on it"},
         {"set",
          "another value for a published number: tilt.slope=2.0 or tilt.slope=2.0+-0.5 "
          "('dragcalc sources' says which); repeatable",
          repeated}}};
}

Group output_group() {
    return {"Output",
            {{"json", "everything, full precision, as JSON", flag, true},
             {"csv", "the table as CSV", flag, true}}};
}

Group picture_group() {
    Group output = output_group();
    output.options.push_back({"plot", "a picture of the answer, to this file: cost.svg", single, true});
    output.options.push_back({"force", "let --plot replace an existing file", flag});
    return output;
}

// --- what a fault costs ------------------------------------------------------------------------------

void add_prices(std::deque<Command>& all) {
    all.push_back(
        {"cost",
         "seconds that a few degrees of hip drop cost over a race",
         {"cost --event \"100 free\" --time 1:02.40 --hip-drop 4deg",
          "cost --event \"200 back\" --time 2:20 --hip-drop 3deg --when always",
          "cost --event \"200 fly\" --time 2:20 --height 172cm --mass 63kg --head-lift 6cm",
          "cost --event \"100 free\" --time 1:02.40 --hip-drop 4deg --what-if 1deg,2deg,3deg"},
         {races_group(),
          swimmer_group(),
          fault_group(),
          {"Question, one at a time",
           {{"what_if", "price other hip drops as well: 1deg,2deg,3deg", repeated, true},
            {"want", "a gain in time: which hip drop buys it? 0.5s", single, true},
            {"time_without", "a second time, swum without the fault: which hip drop do the two imply?",
             single, true}}},
          squad_group(),
          record_group(),
          worn_group(),
          floating_group(),
          {"Model",
           {model_options()[2],
            {"within_stroke",
             "price breaths by the full motion within the stroke, and say by how much it differs", flag}}},
          study_group(),
          picture_group()},
         cautions_worn});

    all.push_back(
        {"compare",
         "which of several faults is worth pool time, priced in the same possible swimmers",
         {"compare --event \"100 free\" --time 1:02.40 --hip-drop 4deg --steady-drop 2deg --leg-angle 8deg",
          "compare --event \"200 fly\" --time 2:20 --height 172cm --mass 63kg --hip-drop 3deg --head-lift "
          "6cm "
          "--instead every-2"},
         {{"Race",
           {{"event", "\"100 free\", \"200m butterfly\", \"400 IM\"", single, true},
            time_now,
            course,
            splits,
            start_underwater,
            turn_underwater,
            {"breathe", "as she breathes now: every-2, every-3; by length or by stroke as for cost", single,
             true},
            {"given", "whether --time was swum with (default) or without the faults"}}},
          {"Faults and changes, two or more",
           {{"hip_drop", "how much lower the hips go with each breath: 4deg, 6cm", single, true},
            hip_drop_sd,
            head_lift,
            {"steady_drop", "how much lower the hips stay all the way: 2deg, 3cm", single, true},
            {"leg_angle", "legs carried below the trunk line: 8deg", single, true},
            {"instead", "another breathing pattern: every-3; repeatable", repeated, true}}},
          squad_group(),
          record_group(),
          swimmer_group(),
          worn_group(),
          floating_group(),
          {"Model", {model_options()[2]}},
          study_group(),
          picture_group()},
         cautions_worn});
}

// --- the swimmer in the water ------------------------------------------------------------------------

void add_water(std::deque<Command>& all) {
    Group posture = posture_group();
    posture.options.push_back({"head_lift", "head raised from the trunk line: 20deg, 6cm"});
    posture.options.push_back({"depth", "of the body's axis, 0m (default) = at the surface", single, true});
    Group model{"Model", model_options()};
    model.options.push_back({"waves",
                             "share (default, measured on towed swimmers) or havelock (wave theory of a "
                             "submerged spheroid)"});
    model.options.push_back({"for", "whom the intervals are about: swimmer (default, one), typical (of this "
                                    "size) or mean-of=12 (of a sample)"});
    all.push_back(
        {"drag",
         "passive and active drag at a speed, by component, with intervals",
         {"drag --speed 1.5m/s --sex f --height 172cm --mass 63kg",
          "drag --speed 1.8m/s --depth 0.6m --sex m --height 185cm --mass 80kg --method perturbation"},
         {{"Speed", {{"speed", "1.5m/s, 5.4km/h", single, true}}},
          swimmer_group(),
          posture,
          model,
          water_group(),
          worn_group(),
          floating_group(),
          study_group(),
          picture_group()},
         "Cautions about worn weight and towed loads stand below the answer, and in its JSON and CSV."});

    Group output = output_group();
    output.options.push_back({"save", "write the swimmer to a JSON file", single, true});
    output.options.push_back({"force", "let --save replace an existing file", flag, true});
    all.push_back(
        {"body",
         "dimensions, areas and volume of a swimmer, measured or estimated",
         {"body --sex f --height 172cm --mass 63kg --dim chest_girth=90cm --save swimmer.json"},
         {swimmer_group(),
          {"File",
           {{"name", "her name in the file that is saved", single, true},
            {"record", "her record, squad.csv: answers read it where they know her by the file", single,
             true}}},
          output},
         "Cautions about a body outside the measured ones stand below the answer, and in its JSON and CSV."});

    all.push_back(
        {"stroke",
         "speed within the stroke cycle, and a breath by the full motion",
         {"stroke --speed 1.5m/s --sex f --height 172cm --mass 63kg --hip-drop 4deg",
          "stroke --speed 1.2m/s --stroke breast --cycle 48/min --sex m --height 185cm --mass 80kg"},
         {{"Stroke",
           {{"speed", "mean over the cycle: 1.5m/s, 5.4km/h", single, true},
            {"cycle",
             "of one stroke cycle (in crawl two arm strokes): 1.2s, or cycles a minute: 52/min "
             "(default: as at "
             "100 m pace)",
             single, true},
            {"effort", "what the swimmer holds when drag changes: power (default) or thrust"}}},
          swimmer_group(),
          record_group(),
          {"Fault",
           {{"hip_drop", "how much lower the hips go with each breath: 4deg, 6cm", single, true},
            {"head_lift", "how far the head comes up to breathe: 6cm, 20deg; alone or beside the drop",
             single, true},
            {"breathe", "never, every-2, every-3 ... (default: the stroke's usual)", single, true}}},
          posture_group(),
          {"Model", model_options()},
          water_group(),
          worn_group(),
          floating_group(),
          study_group(Options{stroke_draws}),
          picture_group()},
         cautions_worn});

    Group floating = floating_group();
    for (Option& option : floating.options) option.brief = true;
    all.push_back(
        {"balance",
         "how the body floats, and what weight, foam, lungs or a lifted head change about its incline",
         {"balance --sex m --height 185cm --mass 80kg --belt 2kg",
          "balance --sex f --height 172cm --mass 63kg --head-lift 6cm"},
         {swimmer_group(),
          {"Fault",
           {{"head_lift", "what it does to the hips: 6cm, 20deg", single, true},
            {"breathe", "how often the head is lifted (default: the stroke's usual)", single, true}}},
          floating,
          worn_group(),
          posture_group(),
          {"Model", model_options()},
          water_group(),
          {"Study", {study_group().options.back()}},
          output_group()},
         "Cautions about worn weight and lungs stand below the answer, and in its JSON and CSV."});

    all.push_back(
        {"aids",
         "what training aids do to drag, speed, incline and the price of a breath",
         {"aids --speed 1.5m/s --sex f --height 172cm --mass 63kg --belt 2kg --drogue 300cm2",
          "aids --speed 1.5m/s --sex f --height 172cm --mass 63kg --want x1.5"},
         {{"Breath",
           {{"speed", "without aids: 1.5m/s, 5.4km/h", single, true},
            {"hip_drop", "of the breath to price: 3deg, 5cm", single, true},
            {"head_lift", "how far the head comes up: 6cm, 20deg; alone or beside the drop"},
            {"breathe", "every-2, every-3, ... (default: the stroke's usual)", single, true}}},
          {"Question",
           {{"want", "how much dearer the same breath should be: x1.5 (says which load does it)", single,
             true}}},
          worn_group(),
          swimmer_group(),
          record_group(),
          floating_group(),
          posture_group(),
          {"Model", model_options()},
          water_group(),
          study_group(),
          output_group()},
         "Cautions about worn weight, snorkel and towed loads stand below the answer, and in its JSON "
         "and CSV."});
}

// --- what is seen at the pool ------------------------------------------------------------------------

void add_pool(std::deque<Command>& all) {
    all.push_back(
        {"log",
         "write down what was seen at the pool: a swim, a drop, a glide, a race",
         {"log squad.csv --name Anna --how every-2 --distance 25m --time 14.32 --strokes 14",
          "log squad.csv --name Anna --kind drop --drop 4deg --side both"},
         {{"Record",
           {{"file", "a CSV for the whole squad, written to at its end; made if there is none", in_place,
             true},
            {"name", "the swimmer", single, true},
            {"kind", "swim (default), drop, frames, glide, loaded, race or remark", single, true},
            {"date", "2026-11-25 or 25.11.2026 (default: today)", single, true},
            {"stroke", "crawl (default), back, breast or fly", single, true},
            {"note", "anything worth remembering", single, true},
            {"edit", "correct this row, as a spreadsheet counts them: what is given takes the place of what "
                     "it says"}}},
          {"Timed swims",
           {{"how",
             "snorkel, every-2, every-4, never; what else differs after a semicolon: \"every-2; belt 2kg\", "
             "\"every-2; low head\"; repeatable, one for each time",
             repeated, true},
            {"distance", "timed: 25m, 25yd", single, true},
            {"surface", "of it, swum on the surface: 15m"},
            {"time", "14.32; repeatable, for several swims in the order swum", repeated, true},
            {"strokes", "arm strokes or cycles counted: 14; one for each time", repeated, true},
            {"by", "stopwatch (default), pads or video"},
            {"set", "swims of one set are one test: 1, 2 ..."},
            {"order", "of the first swim within its set (default: the next)"},
            {"turn", "a turn lies in the timed part", flag},
            {"left_out", "keep the swim and do not count it", flag}}},
          {"Drop and film",
           {{"drop",
             "how far the hips drop with a breath: 4deg, 6cm; of a glide, how much lower they were held",
             single, true},
            {"drop_sd", "how sure the reading is: 1deg, 2cm"},
            {"side", "film from the side she breathes to (toward), the other (away) or both; deck (default) "
                     "is by eye"},
            {"breaths", "how many the reading is the mean of (default 1)"},
            {"film", "with the kind frames: the file with the film's points"}}},
          {"Glide, load, race",
           {{"points", "after the push-off: 0.5s:1.1m,1s:2.0m", repeated},
            {"depth", "of a glide, of the body's middle below the surface: 0.6m"},
            {"load", "against her: 20N; without load and tow the swim is the free one"},
            {"tow", "pulling her along: 20N"},
            {"event", "100 free"},
            {"course", "lcm (default), scm or scy"}}},
          output_group()},
         "One row is one thing seen. --edit writes a new file and keeps the old one as squad.csv.1."});

    all.push_back(
        {"angle",
         "points marked on a side view: trunk incline, hip drop of the breath, how long and when",
         {"angle --shoulder 412,310 --hip 290,322 --without-shoulder 700,305 --without-hip 578,309",
          "angle points.csv --cycle 1.2s"},
         {{"Points",
           {{"file",
             "a CSV, one row a frame: breath (empty or 0: without one), time (s), side, shoulder x (px), "
             "shoulder y (px), hip x (px), hip y (px); also ankle, head, and the horizon as x1, y1, x2, y2",
             in_place, true},
            {"shoulder",
             "in a frame with a breath, hips at their lowest: 412,310 (pixels, y down); repeatable", repeated,
             true},
            {"hip", "in the same frame: 290,322", repeated, true},
            {"ankle", "in the same frame", repeated},
            {"without_shoulder", "at the same moment of a stroke without a breath; repeatable", repeated,
             true},
            {"without_hip", "in the same frame", repeated, true},
            {"without_ankle", "in the same frame", repeated}}},
          {"Camera",
           {{"side", "toward (default) or away: the breathing side, or the other", single, true},
            {"horizon", "two points of the water line or a lane rope: 0,300,1280,304", single, true},
            {"slip", "SD of a mark: 1.5px"},
            {"above_water", "the camera looked through the surface from above", flag}}},
          {"Stroke",
           {{"stroke", "crawl (default), back, breast or fly"}, {"cycle", "of the stroke: 1.2s, 50/min"}}},
          swimmer_group(),
          study_group(),
          output_group()},
         "A drop needs frames with a breath and without one, from the same side; in centimetres also height "
         "and "
         "mass."});

    all.push_back(
        {"glide",
         "times and distances of a glide after a push-off: drag of the gliding body, and what tilt does to "
         "it",
         {"glide --points 0s:0.5m,0.4s:1.35m,0.8s:2.1m,1.2s:2.75m,1.6s:3.35m,2s:3.9m --height 172cm --mass "
          "63kg",
          "glide glides.csv --sex f --height 172cm --mass 63kg"},
         {{"Glide",
           {{"file",
             "a CSV, one row a point: time (s), distance (m); also glide (a number), held (deg), depth (m)",
             in_place, true},
            {"points", "of one glide, times and distances of one mark: 0s:0.5m,0.4s:1.35m; repeatable",
             repeated, true},
            {"held", "how much lower than level the hips were held in these: 8deg"},
            {"depth", "under water: 0.6m"}}},
          swimmer_group(),
          posture_group(),
          {"Model", {model_options().back()}},
          water_group(),
          study_group(),
          output_group()},
         "From the feet leaving the wall to the first movement; five points or more."});

    all.push_back(
        {"loaded",
         "speeds free and against a known force, or towed by one: active drag",
         {"loaded --free 1.62m/s,1.61m/s --loaded 1.41m/s,1.40m/s --load 45N",
          "loaded --distance 25m --free 15.4s,15.5s --loaded 13.8s,13.9s --tow 40N"},
         {{"Swims",
           {{"free", "speeds at full effort, or times with a distance: 1.62m/s,1.61m/s or 15.4s,15.5s",
             repeated, true},
            {"loaded", "the same with the force", repeated, true},
            {"distance", "that the times are for: 25m", single, true},
            {"by", "what stopped the clock: stopwatch (default), pads or video"}}},
          {"Force",
           {{"load", "against the swimmer: 45N", single, true},
            {"tow", "one that pulls along: 40N", single, true},
            {"load_sd", "how well its mean is known: 2N (default 5 %)"}}},
          study_group(),
          output_group()},
         "Full effort both times, rested, in mixed order; a load of 37 to 60 N tells most."});

    all.push_back(
        {"trials",
         "a file of timed swims: what the watch alone says, then with a race what it means for the breath",
         {"trials swims.csv --distance 25m",
          "trials swims.csv --distance 25m --event \"100 free\" --time 1:02.40"},
         {{"Swims",
           {{"file", "a CSV with the columns how and time (s), or times as 0:14.32", in_place, true},
            {"name", "the swimmer, where the file has several", single, true},
            {"distance", "timed, where the file does not say: 25m", single, true},
            {"by", "stopwatch (default), pads or video, where the file does not say", single, true},
            {"stroke", "crawl (default), breast or fly; else the event's", single, true}}},
          recorded_race_group("Race, for the price"),
          swimmer_group(),
          study_group(),
          picture_group()},
         cautions});

    all.push_back({"measured",
                   "what a swimmer's own tests say about the price of her breath, and what to measure next",
                   {"measured squad.csv --name Anna --event \"100 free\" --time 1:02.40"},
                   {{"Record",
                     {squad_file,
                      only_name,
                      {"pool",
                       "let the swims of the others say what all have in common, the law of tilt above all; "
                       "one bad record reaches everybody",
                       flag}}},
                    recorded_race_group("Race"),
                    swimmer_group(),
                    study_group(),
                    picture_group()},
                   cautions});

    all.push_back(
        {"design",
         "how many swims, in which order, on which days, and what else could be measured",
         {"design --event \"100 free\" --time 1:02.40 --hip-drop 4deg",
          "design --event \"100 free\" --time 1:02.40 --record squad.csv --name Anna --how snorkel "
          "--how every-4 --how every-2"},
         {recorded_race_group("Race"),
          {"Test",
           {{"how", "what is set against each other: snorkel, every-2 ... (default: snorkel and her pattern)",
             repeated, true},
            {"distance", "timed, without a turn: 25m (default)", single, true},
            {"by", "stopwatch (default), pads or video", single, true},
            {"swims", "of each: 2,4,6,10,20", repeated, true},
            {"days", "1,5", repeated, true},
            {"record", "what was measured already: squad.csv", single, true},
            {"name", "the swimmer in it", single, true}}},
          swimmer_group(),
          study_group(),
          output_group()},
         cautions});
}

// --- what to do about it -----------------------------------------------------------------------------

void add_on_deck(std::deque<Command>& all) {
    Group at_hand = worn_group();
    at_hand.heading = "Aids at hand";
    Group output = output_group();
    output.options.push_back({"html", "a page to print and to write times on", flag, true});
    all.push_back(
        {"practice",
         "a session: which swims, how fast, on which send-off, in which order, and why",
         {"practice --event \"100 free\" --time 1:02.40 --minutes 40 --pool 25m --snorkel",
          "practice --event \"100 free\" --time 1:02.40 --minutes 45 --pool 25m --work race --snorkel "
          "--record "
          "squad.csv --name Anna"},
         {{"Session",
           {{"minutes", "10 to 120, after a warm-up: 40", single, true},
            {"pool", "25m, 25yd, 50m, 33m (default: the course's)", single, true},
            {"work", "how hard it becomes: easy (default), threshold, race, tired or loaded", single, true},
            {"age", "13y; under 18 nothing that children should not do", single, true}}},
          race_group("Race",
                     {her_pattern,
                      {"hip_drop", "how far the hips drop with a breath, if known: 4deg, 6cm", single, true},
                      {"hip_drop_sd", "how sure that is"}}),
          at_hand,
          record_group(),
          swimmer_group(),
          study_group(),
          output},
         "Same seed, same session; another seed draws another. Cautions stand below the answer, and in its "
         "JSON and CSV."});

    all.push_back(
        {"progress",
         "is it closing? What the drops of some weeks say, and what the change is worth",
         {"progress squad.csv --name Anna --event \"100 free\" --time 1:02.40",
          "progress squad.csv --name Mia --stroke fly"},
         {{"Record",
           {squad_file,
            only_name,
            {"stroke", "crawl (default), back, breast or fly; else the event's", single, true}}},
          race_group("Race, for what it is worth"),
          swimmer_group(),
          study_group(),
          picture_group()},
         "Film to follow, time to know what it is worth. Cautions stand below the answer, and in its "
         "JSON and CSV."});

    Group on_paper{
        "Output",
        {{"out", "the page, card.html; or the picture alone, card.svg; with --squad a folder for all pages",
          single, true},
         {"force", "let --out replace an existing file", flag, true},
         {"date", "of the card: 2026-11-25 (default: today)"}}};
    for (Option& option : output_group().options) on_paper.options.push_back(std::move(option));
    all.push_back(
        {"card",
         "one page to print or to show: the swimmer level and low, the seconds, what to do",
         {"card --event \"100 free\" --time 1:02.40 --hip-drop 4deg --out card.html",
          "card --event \"100 free\" --time 1:02.40 --record squad.csv --name Anna --out anna.html"},
         {races_group(),
          swimmer_group(),
          fault_group(),
          squad_group(),
          record_group(),
          worn_group(),
          floating_group(),
          {"Model", {model_options()[2]}},
          study_group(),
          on_paper},
         "Cautions stand on the card, and in its JSON and CSV."});
}

// --- what it rests on --------------------------------------------------------------------------------

void add_tables(std::deque<Command>& all) {
    Option set = study_group().options.back();
    set.brief = true;
    all.push_back({"evidence",
                   "published measurements beside what this tool predicts for them",
                   {"evidence", "evidence --set tilt.slope=2.0"},
                   {{"Study", {set}}, picture_group()},
                   "Every row is predicted from all other studies."});

    all.push_back({"sources",
                   "every published number used: value, uncertainty, validity, citation",
                   {"sources", "sources tilt.slope"},
                   {{"Row", {{"key", "one number in full, as tilt.slope", in_place, true}}}, output_group()},
                   "Another value for a number: --set of the other commands."});
}

} // namespace

std::deque<Command> const& commands() {
    static std::deque<Command> const all = [] {
        std::deque<Command> made;
        add_prices(made);
        add_water(made);
        add_pool(made);
        add_on_deck(made);
        add_tables(made);
        return made;
    }();
    return all;
}

} // namespace dragcalc
