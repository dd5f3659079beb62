#include "command.hpp"

#include <algorithm>
#include <charconv>

#include <sys/ioctl.h>
#include <unistd.h>

namespace dragcalc {

using namespace libdrag;

namespace {

template <class T> T whole_number(char const* field, std::string const& text, char const* example) {
    T value{};
    char const* const end = text.data() + text.size();
    auto const [stop, error] = std::from_chars(text.data(), end, value);
    if (text.empty() || error != std::errc{} || stop != end)
        throw InvalidInput(field, text.empty() ? "nothing" : printable(text),
                           std::string("a whole number in digits, as ") + example);
    return value;
}

} // namespace

void SwimmerOptions::add(CLI::App& app) {
    app.add_option("--swimmer", file, "swimmer file (JSON; see 'body --save'); options below win over it");
    app.add_option("--sex", sex, "f, m or average");
    app.add_option("--height", height, "stature with unit: 172cm, 5ft8in");
    app.add_option("--mass", mass, "body mass with unit: 63kg, 139lb");
    app.add_option("--dim", dimensions,
                   "a measured dimension, repeatable: chest_girth=90cm ('body' lists the names)");
    app.add_option("--incline", incline,
                   "the swimmer's own trunk incline at race speed without the fault: 9deg");
    app.add_option("--k", k, "the swimmer's own measured active drag over speed squared: 28kg/m");
}

Swimmer SwimmerOptions::swimmer() const {
    Swimmer swimmer = file ? read_swimmer(*file) : Swimmer{};
    if (sex) swimmer.sex = parse_sex(*sex);
    if (height) swimmer.stature = parse<Length>("height", *height);
    if (mass) swimmer.mass = parse<Mass>("mass", *mass);
    if (incline) swimmer.incline = parse<Angle>("incline", *incline);
    if (k) swimmer.k = parse<SpeedSpecificDrag>("k", *k);
    for (std::string const& item : dimensions) {
        std::size_t const equals = item.find('=');
        if (equals == std::string::npos)
            throw InvalidInput("dim", printable(item), "name=length, as chest_girth=90cm");
        std::string const name = item.substr(0, equals);
        swimmer.dimensions[name] = parse<Length>(printable(name), item.substr(equals + 1));
    }
    return swimmer;
}

void FormOptions::add(CLI::App& app) {
    app.add_flag("--json", json, "everything, full precision, as JSON");
    app.add_flag("--csv", csv, "the table as CSV");
}

report::Style FormOptions::form() const {
    if (json && csv) throw InvalidInput("json, csv", "both", "one of them");
    report::Style style = json ? report::Form::json : csv ? report::Form::csv : report::Form::words;
    constexpr std::size_t narrowest = 40, widest = 100; // what stays readable
    winsize window{};
    if (isatty(STDOUT_FILENO) != 0 && ioctl(STDOUT_FILENO, TIOCGWINSZ, &window) == 0 && window.ws_col > 0)
        style.width = std::clamp<std::size_t>(window.ws_col, narrowest, widest);
    return style;
}

void MonteCarloOptions::add(CLI::App& app) {
    app.add_option("--draws", draws, "Monte Carlo draws")->capture_default_str();
    app.add_option("--seed", seed, "same seed, same answer")->capture_default_str();
    app.add_option("--level", level, "coverage of the intervals, 0.5 to 0.999")->capture_default_str();
    app.add_option("--threads", threads, "0 = all cores; the answer does not depend on it")
        ->capture_default_str();
}

Options MonteCarloOptions::options() const {
    return {whole_number<std::uint64_t>("draws", draws, "20000"),
            whole_number<std::uint64_t>("seed", seed, "1"), parse<double>("level", level),
            whole_number<unsigned>("threads", threads, "2")};
}

void CoefficientOptions::add(CLI::App& app) {
    app.add_option("--set", replaced,
                   "another value for a published number, repeatable: tilt.slope=2.0 or "
                   "tilt.slope=2.0+-0.5 ('sources' lists the keys)");
}

Coefficients CoefficientOptions::coefficients() const {
    Coefficients out;
    for (std::string const& item : replaced) {
        std::size_t const equals = item.find('=');
        if (equals == std::string::npos)
            throw InvalidInput("set", printable(item), "key=value or key=value+-sd");
        std::string const key = item.substr(0, equals), rest = item.substr(equals + 1);
        std::size_t const plus_minus = rest.find("+-");
        std::string const field = printable(key);
        double const value = parse<double>(field, rest.substr(0, plus_minus));
        double const sd = plus_minus == std::string::npos
                              ? find_source(key).sd
                              : parse<double>(field + " sd", rest.substr(plus_minus + 2));
        out.replace(key, value, sd);
    }
    return out;
}

void WaterOptions::add(CLI::App& app) {
    app.add_option("--water", kind, "fresh or sea")->capture_default_str();
    app.add_option("--temperature", temperature, "with unit: 27C, 80F (default 27C)");
}

Water WaterOptions::water() const {
    if (kind != "fresh" && kind != "sea") throw InvalidInput("water", printable(kind), "fresh or sea");
    auto const t = parsed<Celsius>("temperature", temperature);
    if (kind == "sea") return t ? sea_water(*t) : sea_water();
    return t ? fresh_water(*t) : fresh_water();
}

void SwimOptions::add(CLI::App& app) {
    swimmer.add(app);
    app.add_option("--stroke", stroke, "crawl, back, breast or fly")->capture_default_str();
    app.add_option("--method", method,
                   "active drag as measured by push-off-pads, perturbation, planimetric, residual-thrust or "
                   "assisted-tow")
        ->capture_default_str();
    app.add_option("--tilt-model", tilt_model, "blend (drawn), projected, damped, slope or crossflow")
        ->capture_default_str();
    app.add_option("--posture", posture, "streamlined, arms-at-sides or mid-stroke")->capture_default_str();
    app.add_option("--leg-angle", leg_angle, "legs below the trunk line: 5deg");
    app.add_option("--knee-bend", knee_bend, "heels towards the buttocks: 40deg");
    app.add_option("--leg-spread", leg_spread, "each leg outwards: 20deg");
    app.add_option("--arm-angle", arm_angle, "arms below the trunk line: 10deg");
    app.add_option("--arm-spread", arm_spread, "each arm outwards: 10deg");
    app.add_option("--roll", roll, "about the trunk's axis: 30deg");
    water.add(app);
    coefficients.add(app);
}

Swim SwimOptions::swim() const {
    Swimmer const who = swimmer.swimmer();
    Swim swim{who.body()};
    swim.name = who.name;
    swim.incline = who.incline;
    swim.measured_k = who.k;
    swim.stroke = parse_stroke(stroke);
    swim.method = parse_method(method);
    swim.tilt_model = parse_tilt_model(tilt_model);
    swim.posture.arms = parse_arms(posture);
    auto const bend = [](char const* field, Text const& text, Angle& joint) {
        if (auto const angle = parsed<Angle>(field, text)) joint = *angle;
    };
    bend("leg-angle", leg_angle, swim.posture.leg_angle);
    bend("knee-bend", knee_bend, swim.posture.knee_bend);
    bend("leg-spread", leg_spread, swim.posture.leg_spread);
    bend("arm-angle", arm_angle, swim.posture.arm_angle);
    bend("arm-spread", arm_spread, swim.posture.arm_spread);
    bend("roll", roll, swim.posture.roll);
    swim.water = water.water();
    swim.coefficients = coefficients.coefficients();
    return swim;
}

} // namespace dragcalc
