#include <libdrag/practice.hpp>

#include <map>
#include <memory>
#include <numeric>

#include <fmt/format.h>

#include <libdrag/caution.hpp>
#include <libdrag/quantity.hpp>

#include "maths.hpp"
#include "names.hpp"
#include "practice_plan.hpp"
#include "random.hpp"

namespace libdrag {
namespace {

constexpr std::array<Named<Work>, 5> works{{{"easy", Work::easy},
                                            {"threshold", Work::threshold},
                                            {"race", Work::race},
                                            {"tired", Work::tired},
                                            {"loaded", Work::loaded}}};
constexpr std::array<Named<PartOf>, 9> part_words{{{"used to it", PartOf::used_to_it},
                                                   {"test", PartOf::test},
                                                   {"in turn", PartOf::opening},
                                                   {"mixed", PartOf::mixed},
                                                   {"low hips", PartOf::low_hips},
                                                   {"by lot", PartOf::by_lot},
                                                   {"long swim", PartOf::tiring},
                                                   {"tired", PartOf::tired},
                                                   {"loaded", PartOf::loaded}}};

/// Of one swim.
constexpr double one_swim_level = 0.8;

void require_possible(PracticeRequest const& r) {
    if (r.race.event.medley)
        throw InvalidInput("event", to_string(r.race.event), "an event of one stroke: a session is for one");
    if (r.race.event.stroke == Stroke::back && !r.race.hip_drop.drop)
        throw InvalidInput(
            "hip drop", "nothing",
            "in backstroke how much lower the hips lie than they could, as 4deg: none is usual");
    if (r.minutes < least_minutes || r.minutes > most_minutes)
        throw InvalidInput("minutes", std::to_string(r.minutes),
                           fmt::format("{} to {}", least_minutes, most_minutes));
    require("pool", r.pool, metres(15.0), metres(51.0), "m");
    for (Aid const& aid : r.aids) {
        require_possible(aid);
        (void)load_of(aid, r.race.swim.body, r.race.swim.coefficients);
    }
}

/// Speeds on the surface, and a swim of some lengths from a push-off to the hand on the wall.
class Paces {
public:
    explicit Paces(PracticeRequest const& r) : pool_(r.pool.value()), under_(r.race.underwater) {
        CostRequest const& race = r.race;
        Event long_event = race.event;
        long_event.distance = race.event.course == Course::scy ? 1650 : 1500;
        Coefficients const& c = race.swim.coefficients;
        race_ = surface(race.event, race.time);
        double const lasting = surface(long_event, guessed_time(race.event, race.time, long_event, c));
        threshold_ = published("practice.pace.threshold") * lasting;
        easy_ = published("practice.pace.easy") * threshold_;
    }
    [[nodiscard]] double speed(Work work) const {
        return work == Work::easy ? easy_ : work == Work::threshold ? threshold_ : race_;
    }
    [[nodiscard]] double on_surface(Work work, int lengths) const {
        return (lengths * pool_ - lengths * under_.turn_m.value - (lengths - 1) * under_.turn_wall.value())
               / speed(work);
    }
    [[nodiscard]] double time(Work work, int lengths) const {
        return on_surface(work, lengths)
               + lengths * under_.turn_m.value / (under_.speed_ratio.value * speed(work))
               + (lengths - 1) * under_.turn_dead_s.value;
    }

private:
    [[nodiscard]] double surface(Event const& event, Time time) const {
        return surface_speed(Leg{event.stroke, lengths(event), true, time}, event.course, under_).value();
    }
    double pool_;
    Underwater under_;
    double race_ = 0.0, threshold_ = 0.0, easy_ = 0.0;
};

/// What all draws say of the ways to swim.
class Expectation {
public:
    Expectation(PracticeRequest const& r, CostRequest const& race, Options const& options)
        : paces_(r),
          options_(options.kept()),
          watch_sd_(timing_sd(TimedBy::stopwatch, race.swim.coefficients).value()) {
        Ways const ways = ways_of(r);
        hows_ = ways.third;
        hows_.push_back(ways.without);
        hows_.push_back(ways.with);
        Stroke const stroke = race.event.stroke;
        std::vector<Breathing> const plan = breathing_of(race.breathing, stroke);
        std::vector<Condition> asked = hows_;
        for (Breathing const b : plan) asked.push_back(Condition{b});
        ExpectedSwims expected = expected_swims(race, asked, options);
        std::vector<double> own(expected.scatter.size(), 0.0);
        if (race.time_includes_fault) { // as she swam it, mean over the lengths
            int const n = lengths(race.event);
            for (int i = 0; i < n; ++i) {
                std::size_t const k = std::min(static_cast<std::size_t>(i), plan.size() - 1);
                Sample const& ln = expected.ln_time[hows_.size() + k];
                for (std::size_t d = 0; d < own.size(); ++d) own[d] += ln[d] / n;
            }
        }
        for (std::size_t k = 0; k < hows_.size(); ++k)
            ln_time_.push_back(expected.ln_time[k].with(expected.scatter.with_values(own), std::minus<>{}));
        scatter_ = std::make_shared<Sample const>(expected.scatter);
        own_ = std::make_shared<Sample const>(expected.scatter.with_values(own));
        z_ = normals("practice.swim");
        z_watch_ = normals("practice.watch");
    }
    /// With something worn or towed, by what it does to the speed and to the breath.
    void wear(Aid const& aid, AidEffect const& effect) {
        load_ = aid_word(aid);
        slower_ =
            std::make_shared<Sample const>(effect.speed.map([](double dv) { return -maths::log1p(dv); }));
        dearer_ = std::make_shared<Sample const>(effect.breath_penalty);
    }
    /// On average.
    [[nodiscard]] Sample mean(Condition const& how, Work work, int lengths) const {
        double const base = paces_.time(work, lengths), share = paces_.on_surface(work, lengths) / base;
        return ln_of(how).map([&](double ln) { return base * maths::exp(share * ln); });
    }
    /// Of one swim, by the watch.
    [[nodiscard]] Sample one(Condition const& how, Work work, int lengths) const {
        Sample const average = mean(how, work, lengths);
        std::vector<double> out = average.values();
        for (std::size_t i = 0; i < out.size(); ++i)
            out[i] = out[i] * maths::exp((*scatter_)[i] * static_cast<double>(z_[i]))
                     + watch_sd_ * static_cast<double>(z_watch_[i]);
        return average.with_values(std::move(out));
    }
    [[nodiscard]] Interval<Time> range_of_one(Condition const& how, Work work, int lengths) const {
        Sample const swim = one(how, work, lengths);
        Options wide = options_;
        wide.level = one_swim_level;
        return interval_of<Time>(Sample(swim.values(), std::make_shared<Unknowns const>(), wide).estimate());
    }
    [[nodiscard]] Paces const& paces() const { return paces_; }

private:
    [[nodiscard]] Sample ln_of(Condition const& how) const {
        Condition plain = how;
        bool const worn = std::any_of(how.aids.begin(), how.aids.end(),
                                      [&](Aid const& aid) { return aid_word(aid) == load_; });
        plain.aids.clear();
        if (how.snorkel()) plain.aids = {Snorkel{}};
        if (is_low_hips(how)) plain.cue.clear();
        auto const at =
            static_cast<std::size_t>(std::find(hows_.begin(), hows_.end(), plain) - hows_.begin());
        Sample const& ln = ln_time_.at(at);
        if (!worn) return ln;
        if (plain.snorkel()) return ln + *slower_;
        // What is worn makes the breath dearer, and all of the swim slower.
        return (ln + *own_) * *dearer_ - *own_ + *slower_;
    }
    [[nodiscard]] std::vector<float> normals(std::string_view key) const {
        std::vector<float> z(scatter_->size() + block_size);
        for (std::size_t b = 0; b * block_size < scatter_->size(); ++b)
            standard_normals(options_.seed, stream_of(key), b, z.data() + b * block_size);
        return z;
    }

    Paces paces_;
    Options options_;
    double watch_sd_;
    std::vector<Condition> hows_;
    std::vector<Sample> ln_time_; ///< over that of her race
    std::shared_ptr<Sample const> scatter_, own_, slower_, dearer_;
    std::vector<float> z_, z_watch_;
    std::string_view load_;
};

/// Of what her tests counted over one length: the median with the way to swim that has no fault.
std::optional<double> counted_strokes(PracticeRequest const& r, Condition const& how) {
    std::vector<double> counts;
    for (PoolTest const& test : pool_tests(r.record, r.race.event.stroke)) {
        if (std::abs(test.distance.value() - r.pool.value()) > 0.1) continue;
        for (TimedSwim const& swim : test.swims)
            if (swim.how == how && swim.strokes && !swim.left_out) counts.push_back(*swim.strokes);
    }
    if (counts.empty()) return std::nullopt;
    auto const middle = counts.begin() + static_cast<std::ptrdiff_t>(counts.size() / 2);
    std::nth_element(counts.begin(), middle, counts.end());
    return *middle;
}

void add_strokes(PracticePart& part, PracticeRequest const& r, Paces const& paces) {
    // By what is worn stroke rates fall, by how much nobody knows.
    if (part.work != Work::race && part.work != Work::tired) return;
    if (auto const own = counted_strokes(r, part.lines.front().how)) {
        part.strokes = Estimate{*own, *own, *own, one_swim_level};
        part.strokes_counted = true;
        return;
    }
    constexpr int rates_are_of = 100; // m or yards; shorter races are swum with higher ones
    if (r.race.event.distance != rates_are_of) return;
    Stroke const stroke = r.race.event.stroke;
    Source const& rate = source("stroke.rate." + std::string(to_string(stroke)));
    double const arms = stroke == Stroke::crawl || stroke == Stroke::back ? 2.0 : 1.0,
                 minutes = paces.on_surface(part.work, part.lengths) / 60.0;
    constexpr double z80 = 1.2816;
    auto const count = [&](double per_minute) { return std::round(arms * minutes * per_minute); };
    part.strokes = Estimate{count(rate.value), count(rate.value - z80 * rate.sd),
                            count(rate.value + z80 * rate.sd), one_swim_level};
}

std::string quoted(std::string const& text) {
    return text.find_first_not_of("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_./")
                       == std::string::npos
                   && !text.empty()
               ? text
               : "\"" + text + "\"";
}

/// What adds a test to the record, with T1 ... for the times.
std::string log_line(Practice const& p, PracticePart const& test, std::string_view set) {
    std::string const name = p.request.race.swim.name;
    std::string line = fmt::format("dragcalc log {} --name {} --set {}", quoted(p.request.record_path),
                                   quoted(name.empty() ? "NAME" : printable(name)), set);
    if (p.stroke != Stroke::crawl) line += fmt::format(" --stroke {}", to_string(p.stroke));
    std::string length = distance_words(p.request.pool, 1);
    length.erase(length.find(' '), 1);
    line += " --distance " + length;
    int swim = 0;
    for (int const k : test.order)
        line += fmt::format(" --how {} --time T{}",
                            quoted(to_string(test.lines[static_cast<std::size_t>(k)].how)), ++swim);
    return line;
}

/// Higher, or lower, by one step; the last step has none.
std::optional<Work> beside(Work work, int steps) {
    int const at = static_cast<int>(work) + steps;
    if (at < 0 || at > static_cast<int>(Work::loaded)) return std::nullopt;
    return static_cast<Work>(at);
}

void add_steps(Practice& p, std::optional<double> drop_limit) {
    double const deg = published("practice.step.drop"), strokes = published("practice.step.strokes");
    std::string const within =
        fmt::format("the last two swims of B show the hips within {:g} deg of A on film, or a "
                    "count within {:g} stroke of A's",
                    deg, strokes);
    auto const up = beside(p.request.work, 1), down = beside(p.request.work, -1);
    p.step_up = up ? fmt::format("next time to {} if {}", in_words(*up), within)
                   : fmt::format("no further: this is the last step; stay while {}", within);
    p.step_back = fmt::format(
        "{} after two swims in a row with a flag: a time above the range of its line, {:g} stroke more than "
        "A, or on "
        "film {}",
        down ? "at once to " + std::string(in_words(*down)) : "to shorter swims with longer rest", strokes,
        drop_limit ? "a drop above " + format_number(*drop_limit, 2) + " deg"
                   : fmt::format("hips more than {:g} deg lower than in A", deg));
}

std::vector<PracticeRule> rules_for(Practice const& p) {
    std::string ways, rarest;
    for (Condition const& how : p.ways) ways += (ways.empty() ? "" : "; ") + way_words(how, p.stroke);
    if (p.stroke == Stroke::crawl) rarest = is_child(p.request) ? "every 3" : "every 4";
    if (p.stroke == Stroke::fly) rarest = is_child(p.request) ? "every cycle" : "every 2 cycles";
    std::string const no_gain =
        p.stroke == Stroke::back ? "No breath lifts the head here: hips held level stand against the usual."
        : p.stroke == Stroke::breast
            ? "A breath every second cycle showed no gain in drag (Alves et al. 2024)."
            : "Nothing rarer than " + rarest
                  + ", nothing without breath: no gain in speed by few breaths was ever shown, "
                    "and they can kill.";
    std::vector<PracticeRule> const all{
        {1, "Two ways or more in each part, in mirrored order; never more than two alike in a row.",
         "It measures: who tires or warms up steadily takes nothing from either. That mixing teaches better "
         "is shown "
         "in laboratories and hardly at pools (Czyz 2024; Ammar 2024)."},
        {2,
         is_child(p.request) ? "First one way, then the other, then mixed in an order that stays the same."
                             : "First one way, then the other; then mixed; then as the lot has drawn.",
         is_child(p.request)
             ? "In the young nothing is gained for sure by an order they cannot foresee (Czyz 2024)."
             : "From easy to hard to foresee did better on transfer in beginners (Makaruk 2024)."},
        {3, "Usual ways to swim only: " + ways + ".", no_gain},
        {4, "From easy to threshold to race pace to race pace tired to added drag, a step at a time.",
         "Learning wants a task that mostly succeeds (Guadagnoli & Lee 2004). As speed falls the body meets "
         "more "
         "water (Washino et al. 2020): tired is where the fault shows."},
        {5, "Race pace over one length without a turn, threshold to 100 m, and rest so that speed holds.",
         "A turn with a tube is slower by itself (Ribeiro et al. 2016). If times fade by more than 3 % over "
         "a part, "
         "rest longer."},
        {6,
         "One cue a part, about the water; film every second swim with the fault, from both sides in turn; "
         "she "
         "guesses before she sees it.",
         "Swimmers were faster with attention on the water than on the arm (Freudenheim et al. 2010), and "
         "what is "
         "learnt by film alone goes with the film. Roll shows each side another drop."},
        {7, "One easy swim with the hips low on purpose, before the third part.",
         "Making the main error larger helped beginners in small golf trials (Milanese et al.); in swimming "
         "nobody "
         "has shown it. Not for children, and not with weight."},
        {8, "Added drag or weight last, over one length, at most a quarter of the metres.",
         "Heavy loads change the stroke, and weeks in a drag suit brought no speed and a shorter stroke "
         "(Dragunas et "
         "al. 2012)."},
        {9, "The first and the last four timed swims are the pool test's A B B A.",
         "Every session then adds to the record, whether or not it teaches anything."},
        {10, "Send-offs are whole fives of seconds; metres and minutes add up.",
         "A pace clock shows fives; a plan that does not add up is not swum."}};
    std::vector<PracticeRule> used;
    for (PracticeRule const& rule : all)
        if (rule.number == 10 || std::any_of(p.parts.begin(), p.parts.end(), [&](PracticePart const& part) {
                return std::find(part.rules.begin(), part.rules.end(), rule.number) != part.rules.end();
            }))
            used.push_back(rule);
    return used;
}

void add_once(std::vector<std::string>& to, std::string_view sentence) {
    if (std::find(to.begin(), to.end(), sentence) == to.end()) to.emplace_back(sentence);
}

} // namespace

std::string_view to_string(Work work) { return name_of(works, work); }
std::string_view in_words(Work work) {
    switch (work) {
    case Work::easy: return "easy";
    case Work::threshold: return "threshold";
    case Work::race: return "race pace";
    case Work::tired: return "race pace, tired";
    case Work::loaded: return "race pace, with added drag";
    }
    return {};
}
Work parse_work(std::string_view text) { return parse_name("work", works, text); }
std::string_view in_words(PartOf part) { return name_of(part_words, part); }

Time time_of(PracticePart const& part) {
    return part.before + part.send_off * static_cast<double>(part.order.size());
}

std::string way_words(Condition const& how, Stroke stroke) {
    std::string out = "snorkel";
    if (!how.snorkel()) {
        out = stroke == Stroke::back ? "as usual" : in_words(how.breathing, stroke);
        std::string const breath = "a breath ";
        if (out.rfind(breath, 0) == 0) out = out.substr(breath.size());
    }
    if (!how.cue.empty()) out = stroke == Stroke::back ? how.cue : out + ", " + how.cue;
    for (Aid const& aid : how.aids)
        if (!std::holds_alternative<Snorkel>(aid)) out += ", " + in_words(aid);
    return out;
}

std::string distance_words(Length pool, int lengths) {
    constexpr double yard_m = 0.9144;
    auto const whole = [](double x) { return std::abs(x - std::round(x)) < 1e-3; };
    double const m = pool.value(), yards = m / yard_m;
    if (whole(yards) && !whole(m)) return fmt::format("{:.0f} yd", std::round(yards) * lengths);
    return fmt::format("{:g} m", std::round(10.0 * m * lengths) / 10.0);
}

Practice practice(PracticeRequest const& request, Options const& options) {
    require_possible(options);
    require_possible(request);
    Practice p{request,       request.race.event.stroke, {}, {}, {}, {}, {}, 0.0, {}, {}, {}, {}, {}, {},
               options.kept()};
    CostRequest race = request.race;
    Options draws = options;
    bool const known = !request.record.measurements.empty() || !request.record.films.empty();
    std::optional<double> drop_limit;
    if (known) {
        Measured const seen = measured({race, request.record}, options, false);
        race = seen.race;
        draws = seen.options;
        if (race.swim.name.empty()) race.swim.name = request.record.swimmer;
        p.notes = seen.notes;
        p.notes.insert(p.notes.end(), seen.conflicts.begin(), seen.conflicts.end());
        p.cautions = seen.cautions;
        constexpr double z90 = 1.2816;
        drop_limit = in_degrees(std::get<Angle>(*race.hip_drop.drop))
                     + z90 * in_degrees(std::get<Angle>(*race.hip_drop.sd));
    } else if (!race.hip_drop.drop) {
        p.notes.emplace_back("No drop was given: the usual one, more or less. Film her.");
    }
    p.request.race = race;
    Ways const ways = ways_of(request);
    Expectation expected(request, race, draws);

    std::vector<Aid> const loads = loads_of(request);
    std::map<std::string, AidEffect> effects;
    if (request.work == Work::loaded)
        for (Aid const& aid : loads) {
            AidsRequest asked{
                race.swim, metres_per_second(expected.paces().speed(Work::race)), {aid}, request.composition};
            if (race.hip_drop.drop) asked.hip_drop = hip_drop_angle(*race.hip_drop.drop, race.swim.body);
            if (p.stroke != Stroke::back) asked.breathing = ways.with.breathing;
            effects.emplace(aid_word(aid), aids_estimate(asked, draws).effects.front());
        }
    auto const wear = [&](Condition const& how) {
        for (Aid const& aid : how.aids)
            if (auto const found = effects.find(std::string(aid_word(aid))); found != effects.end())
                expected.wear(aid, found->second);
    };
    std::map<std::string, Interval<Time>> ranges;
    auto const range_of = [&](Condition const& how, Work work, int lengths) -> Interval<Time> const& {
        std::string const key = fmt::format("{} {} {}", to_string(how), static_cast<int>(work), lengths);
        auto found = ranges.find(key);
        if (found == ranges.end()) {
            wear(how);
            found = ranges.emplace(key, expected.range_of_one(how, work, lengths)).first;
        }
        return found->second;
    };
    p.parts = plan_of(
        request,
        [&](Condition const& how, Work work, int lengths) {
            return range_of(how, work, lengths).high.value();
        },
        options.seed);

    p.ways = {ways.without, ways.with};
    for (PracticePart& part : p.parts) {
        bool const timed = part.what != PartOf::used_to_it && part.what != PartOf::low_hips;
        for (PracticeLine& line : part.lines) {
            if (std::find(ways.third.begin(), ways.third.end(), line.how) != ways.third.end()
                && p.ways.size() < 3)
                p.ways.push_back(line.how);
            if (timed) line.target = range_of(line.how, part.work, part.lengths);
            if (!timed || part.lengths > 1 || &line == &part.lines.front()) continue;
            // A cue's effect is what one wants to know, but for the hips themselves in backstroke.
            if (!part.lines.front().how.cue.empty() && p.stroke != Stroke::back) continue;
            wear(line.how);
            line.gap = interval_of<Time>((expected.mean(line.how, part.work, part.lengths)
                                          - expected.mean(part.lines.front().how, part.work, part.lengths))
                                             .estimate());
        }
        if (timed && part.what != PartOf::tiring) add_strokes(part, request, expected.paces());
        p.time += time_of(part);
        p.distance += request.pool * static_cast<double>(part.lengths * static_cast<int>(part.order.size()));
    }
    p.left = seconds(60.0 * request.minutes) - p.time;
    Interval<Time> const& with = *p.parts[1].lines[1].target;
    p.one_swim = 0.5 * (with.high - with.low).value();

    add_steps(p, drop_limit);
    p.rules = rules_for(p);
    p.log = {log_line(p, p.parts[1], "start"), log_line(p, p.parts.back(), "end")};

    p.notes.insert(
        p.notes.begin(),
        fmt::format("That practice like this works is not shown: after {:.0f} weeks of training with a "
                    "snorkel swimmers were no better than those without (n = 18, German Sport "
                    "University Cologne). What is sure is that each session measures.",
                    published("practice.snorkel_training")));
    p.notes.push_back(fmt::format("One swim can be {} s off by itself: look at the four of a test together.",
                                  format_number(p.one_swim, 1)));
    p.notes.emplace_back("She is warmed up before the first minute.");
    if (!ways.without.cue.empty() && p.stroke != Stroke::back)
        p.notes.emplace_back(
            "What the cue does to the time is what one wants to know: none is expected here. With a "
            "snorkel at hand the breath itself could be taken away.");
    if (std::any_of(p.parts.begin(), p.parts.end(), [](PracticePart const& part) {
            return part.lengths > 1 && part.lines.front().how.snorkel() && part.what != PartOf::used_to_it;
        }))
        p.notes.emplace_back(
            "Where a swim has a turn: easily with the tube on, and in the same way without it.");
    for (Aid const& aid : request.aids) {
        bool const used = std::any_of(p.parts.begin(), p.parts.end(), [&](PracticePart const& part) {
            return std::any_of(part.lines.begin(), part.lines.end(), [&](PracticeLine const& line) {
                return std::any_of(line.how.aids.begin(), line.how.aids.end(),
                                   [&](Aid const& worn) { return aid_word(worn) == aid_word(aid); });
            });
        });
        if (!used) p.notes.push_back("Not used today: " + in_words(aid) + ".");
    }

    if (!known)
        for (std::string const& sentence : cautions_of(race.swim)) add_once(p.cautions, sentence);
    if (is_child(request)) add_once(p.cautions, caution::child);
    bool tube = false;
    for (PracticePart const& part : p.parts)
        for (PracticeLine const& line : part.lines) {
            tube = tube || line.how.snorkel();
            for (std::string const& sentence : aid_cautions(line.how.aids)) add_once(p.cautions, sentence);
            if (!line.how.snorkel())
                for (std::string const& sentence : breathing_cautions(p.stroke, line.how.breathing))
                    add_once(p.cautions, sentence);
        }
    if (tube) add_once(p.cautions, caution::tube_in_practice);
    add_once(p.cautions, caution::session);
    return p;
}

} // namespace libdrag
