/// @file
/// libFuzzer over everything that reads text of unknown origin. Whatever the bytes: a value, InvalidInput or
/// UnknownKey with a message of one line; and what was read and written again reads the same.
///
///     cmake --preset clang && cmake --build --preset clang --target swimmer_fuzz
///     build/clang/tests/fuzz/swimmer_fuzz -dict=tests/fuzz/words.dict -seed_inputs=tests/fuzz/swimmer.json

#include <cstdint>
#include <string>
#include <string_view>

#include <libdrag/cost.hpp>
#include <libdrag/quantity.hpp>
#include <libdrag/swimmer.hpp>

#include "judge.hpp"

namespace {

using namespace libdrag;
using namespace fuzzing;

template <class Q> void quantity(std::string_view text) {
    only_our_exceptions([&] {
        double const value = Textual<Q>::value(parse<Q>("field", text));
        if (!(value - value == 0.0)) fail("not finite", std::string(text));
    });
}

void quantities(std::string_view text) {
    quantity<double>(text);
    quantity<Length>(text);
    quantity<Mass>(text);
    quantity<Angle>(text);
    quantity<Time>(text);
    quantity<Velocity>(text);
    quantity<Celsius>(text);
    quantity<Area>(text);
    quantity<Volume>(text);
    quantity<Force>(text);
    quantity<SpeedSpecificDrag>(text);
    only_our_exceptions([&] { (void)parse_angle_or_length("field", text); });
    require_one_line(printable(text));
}

void words(std::string_view text) {
    only_our_exceptions([&] { (void)parse_sex(text); });
    only_our_exceptions([&] { (void)parse_course(text); });
    only_our_exceptions([&] { (void)parse_stroke(text); });
    only_our_exceptions([&] { (void)parse_method(text); });
    only_our_exceptions([&] { (void)parse_when(text); });
    only_our_exceptions([&] { (void)parse_arms(text); });
    only_our_exceptions([&] { (void)parse_tilt_model(text); });
    for (Course const course : {Course::lcm, Course::scm, Course::scy})
        only_our_exceptions([&] {
            Event const event = parse_event(text, course);
            if (!(race_distance(event).value() > 0.0)) fail("a race without a distance", std::string(text));
        });
}

void breathing(std::string_view text) {
    for (Stroke const stroke : {Stroke::crawl, Stroke::back, Stroke::breast, Stroke::fly}) {
        only_our_exceptions([&] { (void)parse_breathing("field", text, stroke); });
        only_our_exceptions([&] {
            for (Breathing const b : parse_breathing_list("field", text, stroke))
                if (!(parse_breathing("field", to_string(b), stroke) == b))
                    fail("another pattern", std::string(text));
        });
    }
    for (char const* const name : {"100 free", "200 back", "400 IM"})
        only_our_exceptions(
            [&] { (void)parse_breathing_plan("field", text, parse_event(name, Course::lcm)); });
}

void swimmer(std::string_view text) {
    only_our_exceptions([&] {
        Swimmer const first = parse_swimmer("file", text);
        Swimmer const again = parse_swimmer("written", to_json(first));
        bool const same = again.name == first.name && again.sex == first.sex && again.stature == first.stature
                          && again.mass == first.mass && again.dimensions == first.dimensions
                          && again.incline == first.incline && again.k == first.k;
        if (!same) fail("another swimmer", to_json(first));
        only_our_exceptions([&] { (void)first.body(); });
    });
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(std::uint8_t const* data, std::size_t size) {
    std::string_view const text(reinterpret_cast<char const*>(data), size);
    quantities(text);
    words(text);
    breathing(text);
    swimmer(text);
    return 0;
}
