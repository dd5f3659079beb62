#include <libdrag/request_drawing.hpp>

#include <libdrag/head_lift.hpp>

#include "close.hpp"
#include "swimmers.hpp"

namespace request_drawing_test {

namespace {

using namespace libdrag;
using namespace libdrag::testing;

request::Fields fields(std::initializer_list<std::pair<char const*, char const*>> given) {
    request::Fields out;
    for (auto const& [name, text] : given) out.add(name, std::string(text));
    return out;
}

} // namespace

TEST_CASE("a scene from fields: a depth is the angle that it makes") {
    Swim const swim{woman_172_63()};
    drawing::Scene const none = request::scene({}, swim);
    CHECK(none.drop.value() == 0.0);
    CHECK(none.lift.value() == 0.0);
    drawing::Scene const angles =
        request::scene(fields({{"hip_drop", "4deg"}, {"head_lift", "20deg"}}), swim);
    CHECK_CLOSE(in_degrees(angles.drop), 4.0, 1e-12);
    CHECK_CLOSE(in_degrees(angles.lift), 20.0, 1e-12);
    drawing::Scene const depths = request::scene(fields({{"hip_drop", "6cm"}, {"head_lift", "6cm"}}), swim);
    CHECK_CLOSE(swim.body.shoulder_hip().value() * std::sin(depths.drop.value()), 0.06, 1e-9);
    CHECK(depths.lift == head_lift_angle(metres(0.06), swim.body));
    CHECK_THROWS_AS(request::scene(fields({{"hip_drop", "60deg"}}), swim), InvalidInput);
    CHECK_THROWS_AS(request::scene(fields({{"head_lift", "90cm"}}), swim), InvalidInput);
}

TEST_CASE("views of a scene are the drawing's own pictures" * doctest::test_suite("numbers")) {
    drawing::Scene const scene = request::scene(fields({{"hip_drop", "4deg"}}), Swim{woman_172_63()});
    Options options;
    options.draws = 200;
    CHECK(request::view_of(fields({{"view", "side"}}), scene, options) == drawing::side(scene));
    CHECK(request::view_of(fields({{"view", "front"}}), scene, options) == drawing::front(scene, options));
    CHECK(request::view_of({}, scene, options) == drawing::level_and_low(scene, options));
    CHECK_THROWS_WITH_AS(request::view_of(fields({{"view", "above"}}), scene, options),
                         doctest::Contains("side, front or both"), InvalidInput);
}

} // namespace request_drawing_test
