#include <libdrag/compare.hpp>

#include <algorithm>

#include <boost/math/tools/toms748_solve.hpp>

#include <libdrag/area.hpp>
#include <libdrag/head_lift.hpp>
#include <libdrag/quantity.hpp>
#include <libdrag/unknowns.hpp>

#include "add_new.hpp"
#include "maths.hpp"

namespace libdrag {
namespace {

std::string in_words(std::variant<Angle, Length> const& drop) {
    if (auto const* depth = std::get_if<Length>(&drop))
        return format_number(100.0 * depth->value(), 2) + " cm";
    return format_number(in_degrees(std::get<Angle>(drop)), 2) + " deg";
}

class Comparing {
public:
    Comparing(CompareRequest const& request, Options const& options)
        : request_(request), options_(options), shape_(tilt_shape_of(request.race)) {
        request_.race.doubts = false;
    }

    Comparison comparison() {
        add_breath();
        add_steady();
        add_legs();
        add_patterns();
        add_worn();
        if (rivals_.size() < 2)
            throw InvalidInput("faults", rivals_.empty() ? "none" : rivals_.front().what,
                               "two or more of a hip drop, a head lift, a steady drop, a leg angle, another "
                               "pattern, something worn");
        rank();
        Comparison out{request_,
                       rivals_,
                       together(),
                       choose(),
                       (rivals_[0].draws - rivals_[1].draws).because(),
                       notes_,
                       cautions_,
                       rivals_.front().draws.options()};
        return out;
    }

private:
    /// In the worlds of all others.
    Cost priced(CostRequest const& race) {
        Cost out = cost(race, shape_, options_);
        add_new(cautions_, out.cautions);
        return out;
    }
    void add(Rival::Kind kind, std::string what, bool fault, Sample draws) {
        Interval<Time> const gain = interval_of<Time>(draws.estimate());
        rivals_.push_back({kind, std::move(what), fault, gain, std::nullopt, std::move(draws)});
    }

    void add_breath() {
        CostRequest const& race = request_.race;
        bool const drop = race.hip_drop.drop.has_value();
        if (!drop && !race.head_lift) return;
        now_ = priced(race);
        add_new(notes_, now_->notes);
        std::string const lift =
            race.head_lift ? "head " + in_words(*race.head_lift) + " higher at each breath" : "";
        if (!drop) return add(Rival::Kind::head, lift + ", and the hips it sinks", true, now_->draws);
        std::string const low = "hips " + in_words(*race.hip_drop.drop) + " lower at each breath";
        if (!race.head_lift) return add(Rival::Kind::hips, low, true, now_->draws);
        Sample const hips = priced(after(race.hip_drop, race)).draws;
        add(Rival::Kind::hips, low, true, hips);
        add(Rival::Kind::head, lift + ", by itself", true, now_->draws - hips);
    }

    /// The same race, with nothing but hips that stay low.
    [[nodiscard]] CostRequest held(HipDrop const& drop) const {
        CostRequest race = after(drop, request_.race);
        race.when = When::always;
        race.breathing = {};
        race.aids = {};
        race.within_stroke = false;
        return race;
    }
    void add_steady() {
        if (!request_.steady_drop) return;
        add(Rival::Kind::steady, "hips " + in_words(*request_.steady_drop) + " lower all the way", true,
            priced(held({request_.steady_drop, std::nullopt, "posture.steady_drop"})).draws);
    }
    void add_legs() {
        if (!request_.leg_angle) return;
        Coefficients const& c = request_.race.swim.coefficients;
        std::string_view const row = "posture.legs.as_hips";
        Angle const as = c.value(row) * same_silhouette(request_.race.swim, *request_.leg_angle);
        // Read as well as a drop is, and then taken for one.
        double const sd = maths::hypot(unknown::hip_drop(as.value(), {}, 1.0, c).sd, as.value() * c.sd(row));
        HipDrop const drop{as, std::variant<Angle, Length>(radians(std::min(sd, as.value()))),
                           "posture.leg_angle"};
        add(Rival::Kind::legs,
            "legs " + format_number(in_degrees(*request_.leg_angle), 2) + " deg below the trunk line", true,
            priced(held(drop)).draws);
        notes_.push_back("Nobody has measured what hanging legs cost: priced like hips that stay "
                         + format_number(in_degrees(as), 2)
                         + " deg lower, which show the water the same area from the front, give or take "
                         + format_number(100.0 * c.sd(row), 2) + " %.");
    }
    void add_patterns() {
        for (BreathingPlan const& plan : request_.instead) {
            if (!now_)
                throw InvalidInput("instead", "a pattern",
                                   "nothing without a fault at the breath: a hip drop or a head lift");
            CostRequest const race = after(change::Pattern{plan}, request_.race);
            add(Rival::Kind::pattern,
                "breathing " + to_string(plan, race.event) + " instead of "
                    + to_string(request_.race.breathing, race.event) + ", hips and head as they are",
                false, now_->draws - priced(race).draws);
        }
    }
    void add_worn() {
        if (!now_ || request_.race.aids.empty()) return;
        std::string what = "the same breath without";
        for (Aid const& aid : request_.race.aids)
            what += (&aid == &request_.race.aids.front() ? " " : ", ") + libdrag::in_words(aid);
        add(Rival::Kind::worn, what, false,
            now_->draws - priced(after(change::Wearing{}, request_.race)).draws);
    }

    void rank() {
        std::stable_sort(rivals_.begin(), rivals_.end(),
                         [](Rival const& a, Rival const& b) { return a.gain.median > b.gain.median; });
        for (std::size_t i = 0; i + 1 < rivals_.size(); ++i)
            rivals_[i].beats_next = (rivals_[i].draws - rivals_[i + 1].draws).share_above(0.0);
    }

    /// The time of a race is a product of what each fault does to it.
    [[nodiscard]] std::optional<Interval<Time>> together() const {
        double const time = request_.race.time.value(), sign = request_.race.time_includes_fault ? -1.0 : 1.0;
        std::optional<Sample> left;
        int faults = 0;
        for (Rival const& rival : rivals_) {
            if (!rival.fault) continue;
            ++faults;
            Sample const factor = rival.draws.map([&](double gain) { return 1.0 + sign * gain / time; });
            left = left ? *left * factor : factor;
        }
        if (faults < 2) return std::nullopt;
        return interval_of<Time>(
            left->map([&](double factor) { return sign * time * (factor - 1.0); }).estimate());
    }

    [[nodiscard]] std::string choose() const {
        constexpr double sure = 0.9, likely = 0.65;
        Rival const &first = rivals_[0], &second = rivals_[1];
        double const chance = *first.beats_next;
        std::string const odds = in_hundred(chance) + " of 100 possible swimmers like her";
        if (!(first.gain.median.value() > 0.0)) return "None of them brings time.";
        if (chance >= sure)
            return "First: " + first.what + ". It is worth more than the next in " + odds + ".";
        if (chance >= likely)
            return "Probably first: " + first.what + ". It is worth more than the next in " + odds + ".";
        return "No telling which comes first, \"" + first.what + "\" or \"" + second.what
               + "\": the first is worth more in " + odds + ". Take the one that is easier to mend.";
    }

    CompareRequest request_;
    Options options_;
    TiltShape shape_;
    std::optional<Cost> now_{};
    std::vector<Rival> rivals_{};
    std::vector<std::string> notes_{}, cautions_{};
};

} // namespace

std::string in_hundred(double share) {
    if (share > 0.99) return "more than 99";
    if (share < 0.01) return "fewer than 1";
    return format_fixed(100.0 * share, 0);
}

Angle same_silhouette(Swim const& swim, Angle leg_angle) {
    Angle const own = own_incline(swim);
    Swim const hanging = after(change::Legs{leg_angle}, swim);
    auto const area = [](Swim const& of, Angle incline) {
        Posture posture = of.posture;
        posture.incline = incline;
        return projected_area(pose(of.body, posture)).value();
    };
    Angle const steepest = degrees(unknown::steepest_deg);
    double const wanted = area(hanging, own);
    auto const too_much = [&](double drop) { return area(swim, own + radians(drop)) - wanted; };
    if (too_much(0.0) >= 0.0) return radians(0.0);
    if (too_much(steepest.value()) <= 0.0)
        throw InvalidInput("leg angle", format(leg_angle, "deg", 2),
                           "an angle whose silhouette hips " + format(steepest, "deg", 2)
                               + " lower still show");
    boost::uintmax_t steps = 60;
    auto const bracket = boost::math::tools::toms748_solve(
        too_much, 0.0, steepest.value(), boost::math::tools::eps_tolerance<double>(20), steps);
    return radians(0.5 * (bracket.first + bracket.second));
}

Comparison compare(CompareRequest const& request, Options const& options) {
    return Comparing(request, options).comparison();
}

} // namespace libdrag
