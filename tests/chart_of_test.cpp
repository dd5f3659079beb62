#include <libdrag/chart_of.hpp>

#include <set>

#include <libdrag/report.hpp>
#include <libdrag/report_trials.hpp>

#include "close.hpp"
#include "picture.hpp"
#include "swimmers.hpp"

namespace chart_of_test {

namespace {

using namespace libdrag;
using namespace libdrag::testing;

Options quick() {
    Options options;
    options.draws = 1000;
    return options;
}
Cost hundred(double drop, Options const& options = quick()) {
    return cost(hundred_free(woman_172_63(), drop), options);
}

template <class Layer> Layer const& layer(Plot const& plot, std::string const& label) {
    for (auto const& each : plot.layers)
        if (auto const* found = std::get_if<Layer>(&each);
            found != nullptr && found->label.rfind(label, 0) == 0)
            return *found;
    throw std::out_of_range("no layer " + label);
}
template <class Layer> std::vector<Layer> layers(Plot const& plot) {
    std::vector<Layer> out;
    for (auto const& each : plot.layers)
        if (auto const* found = std::get_if<Layer>(&each)) out.push_back(*found);
    return out;
}
Plot const& plot_in(Chart const& chart, std::size_t i = 0) { return std::get<Plot>(chart.parts.at(i)); }
Bars const& bars_in(Chart const& chart, std::size_t i = 0) { return std::get<Bars>(chart.parts.at(i)); }
std::size_t index_of(std::vector<double> const& x, double value) {
    auto const found =
        std::find_if(x.begin(), x.end(), [&](double each) { return std::abs(each - value) < 1e-9; });
    REQUIRE(found != x.end());
    return static_cast<std::size_t>(found - x.begin());
}
bool says(std::string const& text, std::string const& words) { return text.find(words) != std::string::npos; }

/// What goes for every chart.
void check_picture(Chart const& chart) {
    std::string const picture = svg_of(chart);
    CHECK(picture.size() < 40000);
    CHECK(!chart.title.empty());
    CHECK(chart.description.find_first_of("0123456789") != std::string::npos);
    CHECK(!chart.notes.empty()); // why it is unsure
    CHECK(says(picture, "<title>"));
    CHECK(!says(picture, "href"));
    CHECK(!says(picture, "<script"));
    CHECK(!says(picture, "nan"));
    check_print(picture);
}

// --- the price --------------------------------------------------------------------------------------

TEST_CASE("the ladder of a cost is the cost of each drop, on the same draws") {
    Cost const asked = hundred(3.3);
    Chart const chart = chart_of({asked});
    check_picture(chart);
    Plot const& plot = plot_in(chart);
    Line const& median = layer<Line>(plot, "median");
    Band const &outer = layer<Band>(plot, "95 % range"), &inner = layer<Band>(plot, "50 % range");
    auto const at = [&](double drop, Cost const& want) {
        std::size_t const i = index_of(median.x, drop);
        CHECK(median.y[i] == want.cost.median.value());
        CHECK(outer.low[i] == want.cost.low.value());
        CHECK(outer.high[i] == want.cost.high.value());
        Estimate const half = symmetric_interval(want.draws.values(), 0.5);
        CHECK(inner.low[i] == half.low);
        CHECK(inner.high[i] == half.high);
    };
    at(3.3, asked);
    at(2.0, hundred(2.0));
    at(5.0, hundred(5.0));
    CHECK(median.x.front() == 0.0);
    CHECK(median.y.front() == 0.0);
    Point const point = layers<Points>(plot).front().points.front();
    CHECK_CLOSE(point.x, 3.3, 1e-12);
    CHECK(point.y == asked.cost.median.value());
    CHECK(point.from_to_y->first == asked.cost.low.value());
    CHECK(layers<Place>(plot).front().x == point.x);
    std::string const seconds = report::in_seconds(asked.cost.median.value());
    CHECK(says(layers<Place>(plot).front().words, seconds));
    CHECK(says(chart.description, "3.3"));
    CHECK(says(chart.description, seconds));
    CHECK(says(chart.title, "1:02.40"));
    CHECK(says(chart.notes.front(), asked.because.ranked.front().input));
}

TEST_CASE("draws that count differently count so in both bands") {
    Options options = quick();
    auto weights = std::make_shared<std::vector<double>>(options.draws);
    for (std::size_t i = 0; i < weights->size(); ++i) (*weights)[i] = 1.0 + static_cast<double>(i % 7);
    options.weights = weights;
    Cost const asked = hundred(4.0, options);
    Plot const plot = plot_in(chart_of({asked}));
    Band const& inner = layer<Band>(plot, "50 % range");
    Estimate const half = symmetric_interval(asked.draws.values(), *weights, 0.5);
    CHECK(inner.high[index_of(inner.x, 4.0)] == half.high);
    CHECK(half.high != symmetric_interval(asked.draws.values(), 0.5).high);
}

TEST_CASE("a drop is as sure in the picture as in the answer, in degrees and in centimetres") {
    CostRequest race = hundred_free(woman_172_63(), 4.0);
    race.hip_drop.sd = degrees(1.5);
    Cost const wide = cost(race, quick());
    Chart const chart = chart_of({wide});
    Line const median = layer<Line>(plot_in(chart), "median");
    Band const outer = layer<Band>(plot_in(chart), "95 % range");
    CHECK(outer.high[index_of(outer.x, 4.0)] == wide.cost.high.value());
    CHECK(outer.high[index_of(outer.x, 4.0)]
          > layer<Band>(plot_in(chart_of({hundred(4.0)})), "95 %").high.at(index_of(outer.x, 4.0)));
    race.hip_drop = {metres(0.06), metres(0.01)};
    Cost const deep = cost(race, quick());
    double const deg = in_degrees(deep.hip_drop);
    Band const by_depth = layer<Band>(plot_in(chart_of({deep})), "95 % range");
    CHECK(by_depth.high[index_of(by_depth.x, deg)] == deep.cost.high.value());
    CHECK(median.x.back() == 5.0);
}

TEST_CASE("what is asked about a cost is marked") {
    Cost const asked = hundred(4.0);
    std::vector<Cost> const rungs = what_if(asked, {degrees(1.0), degrees(7.0)}, asked.options);
    Chart const ladder = chart_of({asked}, rungs);
    check_picture(ladder);
    Points const& others = layer<Points>(plot_in(ladder), "the others");
    REQUIRE(others.points.size() == 2);
    CHECK_CLOSE(others.points[1].x, 7.0, 1e-12);
    CHECK(others.points[1].y == rungs[1].cost.median.value());
    CHECK(layer<Line>(plot_in(ladder), "median").x.back() > 7.0);

    Inverse const inverse = wanted_gain(asked, seconds(0.2));
    Chart const wanted = chart_of({asked}, {}, &inverse);
    check_picture(wanted);
    Place const left = layers<Place>(plot_in(wanted)).back();
    CHECK_CLOSE(left.x, in_degrees(inverse.hip_drop_left.median), 1e-12);
    CHECK(says(left.words, "0.20 s"));

    CostRequest race = hundred_free(woman_172_63(), 4.0);
    race.hip_drop = {};
    for (double const gap : {0.3, 15.0}) {
        Time const without = seconds(race.time.value() - gap);
        std::function<void()> const poll = [] {};
        Options watched = quick();
        watched.poll = &poll;
        ImpliedDrop const implied = implied_hip_drop(race, without, watched);
        CHECK(implied.options.poll == nullptr); // the result may outlive whom it was asked by
        Chart const explained = chart_of(race, without, implied);
        check_picture(explained);
        CHECK_CLOSE(layer<Line>(plot_in(explained), "time").y.front(), gap, 1e-9);
        CHECK(layers<Place>(plot_in(explained)).size() == (implied.hip_drop ? 1 : 0));
    }
}

TEST_CASE("a lifted head: what is hips and what is head; several races: a bar each") {
    CostRequest race = hundred_free(woman_172_63(), 4.0);
    race.head_lift = metres(0.06);
    Cost const head = cost(race, quick());
    Chart const parts = chart_of({head});
    check_picture(parts);
    CHECK(bars_in(parts).bars.at(0).value == head.cost.median.value());
    CHECK(bars_in(parts).bars.at(1).value == head.hips.median.value());
    CHECK(bars_in(parts).bars.at(2).value == head.head.median.value());
    CHECK(bars_in(parts).bars.at(2).from_to->second == head.head.high.value());

    CostRequest longer = hundred_free(man_180_75(), 4.0);
    longer.event = parse_event("400 free", Course::lcm);
    longer.time = seconds(290.0);
    std::vector<Cost> const several = costs({hundred_free(man_180_75(), 4.0), longer}, quick());
    Chart const each = chart_of(several);
    check_picture(each);
    REQUIRE(bars_in(each).bars.size() == 2);
    CHECK(bars_in(each).bars[1].value == several[1].cost.median.value());
    CHECK(says(bars_in(each).bars[1].name, "400 m freestyle"));
    CHECK(says(each.description, report::in_seconds(several[1].cost.median.value())));
    CHECK_THROWS_AS(chart_of(std::vector<Cost>{}), InvalidInput);
}

TEST_CASE(
    "a comparison: a bar for each rival with its own range, faults apart from habits, and all together") {
    CompareRequest request{hundred_free(woman_172_63(), 4.0)};
    request.steady_drop = degrees(2.0);
    request.instead = {parse_breathing_plan("instead", "every-4", request.race.event)};
    Comparison const comparison = compare(request, quick());
    Chart const chart = chart_of(comparison);
    check_picture(chart);
    auto const& bars = bars_in(chart).bars;
    REQUIRE(comparison.ranked.size() == 3);
    REQUIRE(bars.size() == 4);
    for (std::size_t i = 0; i < 3; ++i) {
        Rival const& rival = comparison.ranked[i];
        CAPTURE(rival.what);
        CHECK(bars[i].value == rival.gain.median.value());
        CHECK(bars[i].from_to->first == rival.gain.low.value());
        CHECK(bars[i].from_to->second == rival.gain.high.value());
        CHECK(bars[i].name.rfind(rival.what, 0) == 0);
        CHECK((bars[i].look == Look::second) == rival.fault);
        CHECK(says(bars[i].words, report::in_seconds(rival.gain.median.value()) + " s"));
        CHECK(says(chart.description, bars[i].words));
        CHECK(says(bars[i].name, "more than the next") == (i + 1 < 3));
    }
    CHECK(bars[3].value == comparison.together->median.value());
    CHECK(bars[3].from_to->second == comparison.together->high.value());
    CHECK(says(bars[0].name, in_hundred(*comparison.ranked[0].beats_next) + " of 100"));
    CHECK(chart.notes.front() == comparison.choose);
    CHECK(says(chart.title, "1:02.40"));

    // As the picture has them: as long as the numbers say.
    std::string const picture = svg_of(chart);
    std::vector<double> widths;
    for (auto const& bar : elements(picture, "rect"))
        if (bar.at("class") == "a" || bar.at("class") == "b") widths.push_back(std::stod(bar.at("width")));
    REQUIRE(widths.size() == 3);
    CHECK_CLOSE(widths[0] / widths[1], bars[0].value / bars[1].value, 0.01);
    CHECK_CLOSE(widths[0] / widths[2], bars[0].value / bars[2].value, 0.02);
}

TEST_CASE("whoever swims, the picture says her numbers" * doctest::test_suite("numbers")) {
    std::mt19937_64 random(4);
    std::uniform_real_distribution<double> drop(0.5, 12.0), time(50.0, 90.0);
    for (int i = 0; i < 25; ++i) {
        CostRequest race = hundred_free(random_body(random), drop(random), 1 + i % 4);
        race.time = seconds(time(random));
        if (i % 5 == 0) {
            race.when = When::always;
            race.breathing = {};
        }
        race.swim.name = "Demo " + std::to_string(i);
        Cost const result = cost(race, quick());
        Chart const chart = chart_of({result});
        check_picture(chart);
        CHECK(says(chart.title, format_time(race.time)));
        CHECK(chart.title.rfind(race.swim.name + ": ", 0) == 0);
        for (double const s : {result.cost.median.value(), result.cost.low.value(), result.cost.high.value(),
                               result.per_degree.median.value()})
            CHECK(says(chart.description, report::in_seconds(s)));
        CHECK(says(plot_in(chart).across.label, race.when == When::always ? "all the way" : "each breath"));
        for (std::string const& caution : result.cautions)
            CHECK(std::find(chart.notes.begin(), chart.notes.end(), caution) != chart.notes.end());
    }
}

// --- drag and the stroke ----------------------------------------------------------------------------

TEST_CASE("drag against speed is the drag at each, its parts up to the median") {
    Swim const swim{woman_172_63()};
    DragEstimate const asked = drag_estimate(swim, metres_per_second(1.57), quick());
    Chart const chart = chart_of(asked);
    check_picture(chart);
    Plot const &passive = plot_in(chart, 0), &active = plot_in(chart, 1);
    Line const& median = layer<Line>(passive, "median");
    Band const &friction = layer<Band>(passive, "friction"), &waves = layer<Band>(passive, "waves"),
               &pressure = layer<Band>(passive, "pressure");
    for (std::size_t i = 0; i < median.x.size(); ++i) {
        CHECK(friction.low[i] == 0.0);
        CHECK(pressure.low[i] == friction.high[i]);
        CHECK(waves.low[i] == pressure.high[i]);
        CHECK_CLOSE(waves.high[i], median.y[i], 1e-12);
        PassiveDrag const point = drag(swim, metres_per_second(median.x[i])).passive;
        CHECK_CLOSE(friction.high[i] / median.y[i], double(point.friction / point.total()), 1e-9);
        CHECK_CLOSE((waves.high[i] - waves.low[i]) / median.y[i], double(point.wave / point.total()), 1e-6);
    }
    std::size_t const i = index_of(median.x, 1.57);
    CHECK(median.y[i] == asked.passive.median.value());
    CHECK(layer<Line>(passive, "95 %").y[i] == asked.passive.low.value());
    CHECK(layer<Line>(active, "median").y[i] == asked.active.median.value());
    CHECK(layer<Band>(active, "95 %").high[i] == asked.active.high.value());
    DragEstimate const fast = drag_estimate(swim, metres_per_second(3.0), quick());
    Line const beyond = layer<Line>(plot_in(chart_of(fast)), "median");
    CHECK_CLOSE(beyond.x.back(), 3.0, 1e-12);
    CHECK(beyond.x.front() == 0.8);
}

TEST_CASE("the stroke with a breath and without, through the whole pattern") {
    StrokeRequest request{Swim{woman_172_63()}, metres_per_second(1.5)};
    request.breathing = Breathing{4};
    request.hip_drop = degrees(4.0);
    Options options;
    options.draws = 100;
    StrokeEstimate const result = stroke_estimate(request, options);
    Chart const chart = chart_of(result);
    check_picture(chart);
    Line const &without = layer<Line>(plot_in(chart, 1), "no breath"),
               &with = layer<Line>(plot_in(chart, 1), "breath");
    CHECK_CLOSE(without.x.back(), result.with->period.value(), 1e-9);
    CHECK_CLOSE(with.x.back(), result.with->period.value(), 1e-12);
    CHECK_CLOSE(*std::max_element(with.y.begin(), with.y.end()), result.with->fastest.value(), 1e-9);
    CHECK_CLOSE(*std::min_element(without.y.begin(), without.y.end()), result.without.slowest.value(), 1e-9);
    Line const drop = layers<Line>(plot_in(chart, 0)).front();
    CHECK_CLOSE(*std::max_element(drop.y.begin(), drop.y.end()), 4.0, 1e-3);
    CHECK(says(chart.notes.at(0), format_number(-100.0 * result.full->median, 2)));
    CHECK(says(chart.notes.at(1), "assumption"));

    request.breathing = Breathing{0};
    Chart const level = chart_of(stroke_estimate(request, options));
    CHECK(level.parts.size() == 1);
    CHECK(svg_of(level).size() < 40000);
}

// --- evidence ---------------------------------------------------------------------------------------

TEST_CASE("every row of the evidence is on the axes or below them, each miss by its number"
          * doctest::test_suite("numbers")) {
    Evidence const table = evidence();
    Chart const chart = chart_of(table);
    check_picture(chart);
    std::multiset<std::pair<double, double>> drawn;
    for (Points const& series : layers<Points>(plot_in(chart)))
        for (Point const& p : series.points) {
            drawn.insert({p.x, p.y});
            CHECK((series.label.rfind("outside", 0) == 0) == !p.name.empty());
        }
    std::string notes;
    for (std::string const& note : chart.notes) notes += note;
    std::size_t inside = 0;
    for (EvidenceRow const& row : table.rows) {
        bool const on_axes = drawn.count({row.measured, row.predicted.median}) > 0;
        CHECK(on_axes == (row.measured > 0.0 && row.predicted.median > 0.0));
        CHECK(says(notes, row.id + ", measured") == (!on_axes || !row.inside));
        inside += row.inside ? 1 : 0;
    }
    CHECK(says(chart.title, std::to_string(inside) + " of " + std::to_string(table.rows.size())));
}

TEST_CASE("doubts are all of the variance") {
    Cost const asked = hundred(4.0);
    Chart const chart = chart_of(asked.because, "the cost");
    svg_of(chart);
    double sum = 0.0;
    for (Bar const& bar : bars_in(chart).bars) sum += bar.value;
    CHECK_WITHIN(sum, 100.0, 1e-6);
    CHECK(bars_in(chart).bars.front().name == asked.because.ranked.front().input);
    CHECK_CLOSE(bars_in(chart).bars.front().value, 100.0 * asked.because.ranked.front().share, 1e-12);
}

// --- what was measured ------------------------------------------------------------------------------

std::vector<PoolTest> tests_of(int days) {
    std::vector<PoolTest> tests;
    for (int day = 0; day < days; ++day) {
        PoolTest test{{2026, 11, 1 + day}, Stroke::crawl, metres(25.0)};
        int order = 0;
        for (bool const tube : {true, false, false, true, true, false, false, true}) {
            TimedSwim swim{parse_condition("how", tube ? "snorkel" : "every-2", Stroke::crawl),
                           seconds((tube ? 14.3 : 14.6) + 0.03 * ((5 * order) % 4) + 0.1 * day)};
            swim.order = ++order;
            test.swims.push_back(swim);
        }
        tests.push_back(test);
    }
    return tests;
}

TEST_CASE("swims in their order by how they were swum, and the gap") {
    std::vector<PoolTest> tests = tests_of(1);
    tests[0].swims[7].left_out = true;
    tests[0].swims[2].time = seconds(15.9);
    Watch const seen = watch(tests);
    Chart const chart = chart_of(tests, seen);
    check_picture(chart);
    Points const &breathing = layer<Points>(plot_in(chart), "breathing every 2"),
                 &tube = layer<Points>(plot_in(chart), "the snorkel");
    REQUIRE(breathing.points.size() == 4);
    CHECK(tube.points.size() == 3);
    CHECK(layer<Points>(plot_in(chart), "left out").points.front().x == 8.0);
    CHECK(breathing.points[1].x == 3.0);
    CHECK(breathing.points[1].y == 15.9);
    REQUIRE(!seen.far_out.empty());
    CHECK(breathing.points[1].name == "far out");
    double const mean = (14.3 + 14.3 + 0.03 * 3 + 14.3) / 3.0; // of the 1st, 4th and 5th
    CHECK(says(tube.label, format_fixed(mean, 2)));
    Bar const& gap = bars_in(chart, 1).bars.front();
    CHECK(gap.value == seen.gap().percent);
    CHECK(gap.from_to == std::pair{seen.gap().low, seen.gap().high});
    CHECK(says(chart.description, report::gap_words(seen.gap(), Stroke::crawl, seen.level)));
    CHECK_THROWS_AS(chart_of(std::vector<PoolTest>{}, seen), InvalidInput);

    std::vector<PoolTest> const three = tests_of(3);
    Chart const days = chart_of(three, watch(three));
    check_picture(days);
    CHECK(layer<Points>(plot_in(days), "the snorkel").points.back().x == 24.0);
    CHECK(layers<Place>(plot_in(days)).at(1).x == 8.5);
    CHECK(layers<Place>(plot_in(days)).at(1).words == "2026-11-02");
}

TEST_CASE("what was measured: before and now, with the swims") {
    MeasuredRequest request{hundred_free(woman_172_63(), 4.0)};
    request.race.hip_drop = {};
    for (PoolTest const& test : tests_of(2)) request.record.measurements.emplace_back(test);
    SeenDrop drop{{2026, 11, 3}};
    drop.how = parse_condition("how", "every-2", Stroke::crawl);
    drop.drop = degrees(4.0);
    request.record.measurements.emplace_back(drop);
    Options options;
    options.draws = 4000;
    Measured const result = measured(request, options, false);
    Chart const chart = chart_of(result);
    check_picture(chart);
    auto const& bars = bars_in(chart).bars;
    CHECK(bars.at(0).value == result.whole_before.median.value());
    CHECK(bars.at(1).value == result.whole_breath.median.value());
    CHECK(bars.at(2).value == result.hips_before.median.value());
    CHECK(bars.at(3).value == result.hips.median.value());
    REQUIRE(chart.parts.size() == 3);
    CHECK(layer<Points>(plot_in(chart, 1), "the snorkel").points.size() == 8);
    CHECK(bars_in(chart, 2).bars.front().value == result.watch->gap().percent);
}

TEST_CASE("progress: each session with the error of its reading, and where she stood") {
    ProgressRequest request{"Anna", {}};
    for (int week = 0; week < 8; ++week)
        request.sessions.push_back({{2026, 9, 1 + (week < 4 ? 7 * week : 0)},
                                    WithSd<Angle>{degrees(4.3 - 0.3 * week), degrees(0.5)}});
    for (int week = 4; week < 8; ++week)
        request.sessions[static_cast<std::size_t>(week)].date = {2026, 10, 7 * (week - 4) + 1};
    Progress const result = progress(request);
    Chart const chart = chart_of(request, result);
    check_picture(chart);
    Points const& seen = layer<Points>(plot_in(chart), "seen");
    REQUIRE(seen.points.size() == 8);
    CHECK_CLOSE(seen.points[1].x, 1.0, 1e-12);
    CHECK_CLOSE(seen.points[1].y, 4.0, 1e-9);
    CHECK_CLOSE(seen.points[1].from_to_y->second, 4.0 + 1.959964 * 0.5, 1e-6); // normal quantile, tables
    Line const& stood = layer<Line>(plot_in(chart), "where she stood");
    Band const& range = layer<Band>(plot_in(chart), "95 % range");
    CHECK(stood.y[3] == result.levels[3].value);
    CHECK_CLOSE(range.low[3], result.levels[3].value - 1.959964 * result.levels[3].sd, 1e-6);
    CHECK(says(chart.description, verdict(result)));
    CHECK(chart.title.rfind("Anna: ", 0) == 0);
}

} // namespace

} // namespace chart_of_test
