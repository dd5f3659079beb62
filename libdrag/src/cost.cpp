#include <libdrag/cost.hpp>

#include <algorithm>

#include <libdrag/caution.hpp>
#include <libdrag/quantity.hpp>

#include "cost_kernel.hpp"
#include "fast.hpp"
#include "maths.hpp"
#include "names.hpp"
#include "overloaded.hpp"
#include "race_draws.hpp"
#include "tilt_draw.hpp"

namespace libdrag {
namespace {

constexpr std::array<Named<When>, 2> whens{{{"breath", When::breath}, {"always", When::always}}};

/// Largest hip drop the geometry is drawn for.
using unknown::steepest_deg;

constexpr std::size_t index_of(Stroke stroke) { return static_cast<std::size_t>(stroke); }

} // namespace

std::string_view to_string(When when) { return name_of(whens, when); }
When parse_when(std::string_view text) { return parse_name("when", whens, text); }

BreathingPlan parse_breathing_plan(std::string_view field, std::string_view text, Event const& event) {
    BreathingPlan plan;
    if (!event.medley) {
        plan[index_of(event.stroke)] = parse_breathing_list(field, text, event.stroke);
        return plan;
    }
    for (std::size_t start = 0; start <= text.size();) {
        std::size_t const comma = std::min(text.find(',', start), text.size());
        std::string_view const item = text.substr(start, comma - start);
        std::size_t const equals = item.find('=');
        if (equals == std::string_view::npos)
            throw InvalidInput(field, printable(text),
                               "for a medley, patterns by stroke: fly=every-1,breast=every-1,free=every-2");
        Stroke const stroke = parse_stroke(item.substr(0, equals));
        plan[index_of(stroke)].push_back(parse_breathing(field, item.substr(equals + 1), stroke));
        start = comma + 1;
    }
    return plan;
}

std::vector<Breathing> breathing_of(BreathingPlan const& plan, Stroke stroke) {
    std::vector<Breathing> list = plan[index_of(stroke)];
    if (list.empty()) list.push_back(usual_breathing(stroke));
    while (list.size() > 1 && list[list.size() - 2] == list.back()) list.pop_back();
    return list;
}
std::string to_string(std::vector<Breathing> const& by_length) {
    std::string out;
    for (Breathing const b : by_length) out += (out.empty() ? "" : ",") + to_string(b);
    return out;
}
std::string to_string(BreathingPlan const& plan, Event const& event) {
    if (!event.medley) return to_string(breathing_of(plan, event.stroke));
    std::string out;
    for (Stroke const stroke : strokes(event)) {
        if (stroke == Stroke::back) continue; // no breath lifts the head
        out += (out.empty() ? "" : ",") + std::string(to_string(stroke)) + "="
               + to_string(breathing_of(plan, stroke));
    }
    return out;
}

namespace {

/// Lengths of a leg that share a breathing pattern.
struct Group {
    Breathing breathing;
    std::vector<int> lengths; ///< indices within the leg
    Angle peak;               ///< of the hips
    HipMotion hips;
};

struct LegModel {
    Leg leg;
    bool faulted;
    std::vector<Group> groups;
    std::size_t incline, width; ///< positions of unknowns
    Uncertain incline_deg, pulse_width, within_stroke;
};

/// Everything about a request that does not change from draw to draw.
class CostModel {
public:
    /// What the lifted head adds beside a drop, which takes as long to find out as all else about the hips.
    enum class HeadBeside { told, not_asked };
    CostModel(CostRequest const& request, TiltShape const& shape, HeadBeside beside = HeadBeside::told);

    enum Output : std::size_t { of_hips, of_head, per_degree, extra_drag, priced, fixed_outputs };
    /// Of the whole fault, and of a leg.
    [[nodiscard]] std::size_t whole() const { return head_priced ? fixed_outputs : of_hips; }
    [[nodiscard]] std::size_t of_leg(std::size_t l) const {
        return legs.size() > 1 ? fixed_outputs + (head_priced ? 1 : 0) + l : whole();
    }
    [[nodiscard]] std::size_t outputs() const {
        return fixed_outputs + (head_priced ? 1 : 0) + (legs.size() > 1 ? legs.size() : 0);
    }
    /// @param scale of the whole fault
    [[nodiscard]] fast::Propagation run(Options const& options, double scale = 1.0) const;

    When when;
    Angle hip_drop; ///< peak, of the first pattern
    Angle head_lift;
    bool head_priced;
    std::vector<LegModel> legs;
    Unknowns unknowns;
    bool any_breath = false, fewer_breaths = false, no_breath = false;

private:
    void add_drop(Coefficients const& c);
    void add_head(Coefficients const& c);
    [[nodiscard]] Group group_of(Breathing breathing, Swim const& swim, double width) const;
    /// What is the same in every block.
    struct Fault {
        double scale;
        cost_kernel::Head head;
        double head_held, head_over_pulse; ///< held up, and over a breath, per cycle of pulses
        std::vector<double> pulse;         ///< levels
    };
    void evaluate(fast::Block const& block, Fault const& fault) const;
    [[nodiscard]] std::vector<Readers> readers() const;

    CostRequest const& request_;
    double pool_m_;
    cost_kernel::TiltTable table_;
    bool with_head_;
    HeadDrag head_;
    bool measured_;          ///< the drop was, or else follows from the lift
    bool by_length_ = false; ///< drop given as a depth
    std::size_t drop_ = 0, lever_ = 0, exponent_ = 0, closure_ = 0, start_ = 0, turn_ = 0, start_dead_ = 0,
                turn_dead_ = 0, speed_ratio_ = 0, fade_ = 0, timing_ = 0, head_share_ = 0, roll_ = 0;
    TiltUnknowns tilt_{};
};

bool breathes_through_a_tube(CostRequest const& request) {
    return request.swim.snorkel || ends_breath(request.aids);
}

std::vector<Breathing> plan_of(CostRequest const& request, Leg const& leg) {
    std::vector<Breathing> plan = request.breathing[index_of(leg.stroke)];
    if (plan.empty()) plan.push_back(usual_breathing(leg.stroke));
    if (plan.size() > static_cast<std::size_t>(leg.lengths))
        throw InvalidInput("breathing", std::to_string(plan.size()) + " patterns",
                           "at most one for each length, and the race has " + std::to_string(leg.lengths)
                               + (leg.lengths == 1 ? " length" : " lengths"));
    for (Breathing const breathing : plan) require_possible(breathing, leg.stroke);
    plan.resize(static_cast<std::size_t>(leg.lengths), plan.back());
    return plan;
}

/// Under a lifted head the drop is a factor on what the swing of the hips is in the middle of all assumptions.
void CostModel::add_drop(Coefficients const& c) {
    Body const& body = request_.swim.body;
    if (!measured_) {
        HeadLiftResponse const head =
            head_lift_response(request_.swim, *request_.head_lift, Breathing{0}, request_.composition);
        drop_ = unknowns.add(unknown::sinking(head.held_log_sd));
        return;
    }
    std::variant<Angle, Length> const given = request_.hip_drop.drop.value_or(radians(0.0));
    by_length_ = std::holds_alternative<Length>(given);
    double const drop = by_length_ ? std::get<Length>(given).value() : hip_drop.value();
    std::optional<double> sd;
    if (request_.hip_drop.sd) {
        if (std::holds_alternative<Length>(*request_.hip_drop.sd) != by_length_)
            throw InvalidInput("hip drop sd", "another kind than the hip drop",
                               "both in degrees or both in centimetres");
        sd = std::visit([](auto q) { return q.value(); }, *request_.hip_drop.sd);
        if (by_length_) require("hip drop sd", metres(*sd), metres(0.0), metres(drop), "cm");
        else require("hip drop sd", radians(*sd), radians(0.0), radians(drop), "deg");
    }
    drop_ = unknowns.add(unknown::hip_drop(drop, sd, by_length_ ? body.shoulder_hip().value() : 1.0, c,
                                           request_.hip_drop.reading));
    lever_ = unknowns.add(unknown::shoulder_hip(body, by_length_));
}

/// What the lifted head meets by itself, and the roll to the breathing side.
void CostModel::add_head(Coefficients const& c) {
    head_share_ = unknowns.add(unknown::head_drag(head_.log_sd));
    roll_ =
        unknowns.add(unknown::breath_roll(head_priced && head_lift.value() > 0.0 && when == When::breath, c));
}

Group CostModel::group_of(Breathing breathing, Swim const& swim, double width) const {
    double const breaths = breaths_per_cycle(swim.stroke, breathing);
    if (when == When::always) {
        Angle const held =
            measured_
                ? hip_drop
                : head_lift_response(swim, *request_.head_lift, Breathing{0}, request_.composition).held;
        return {breathing, {}, held, HipMotion::always()};
    }
    if (measured_ || breaths == 0.0)
        return {breathing, {}, hip_drop, HipMotion::pulses(breaths > 0.0 ? 1.0 / breaths : 1.0, width)};
    HeadLiftResponse const head =
        head_lift_response(swim, *request_.head_lift, breathing, request_.composition);
    return {breathing, {}, head.peak, head.hips};
}

double lift_relative_sd(CostRequest const& request) {
    Coefficients const& c = request.swim.coefficients;
    return request.head_lift ? c.value("breath.measured_lift.relative_sd")
                             : c.relative_sd("balance.breath_lift");
}

/// As given, or that of one usual breath.
Angle lift_of(CostRequest const& request) {
    Coefficients const& c = request.swim.coefficients;
    return neck_angle(request.head_lift.value_or(metres(c.value("balance.breath_lift"))), request.swim.body);
}

CostModel::CostModel(CostRequest const& request, TiltShape const& shape, HeadBeside beside)
    : when(request.when),
      hip_drop(hip_drop_angle(request.hip_drop.drop.value_or(radians(0.0)), request.swim.body)),
      head_lift(lift_of(request)),
      head_priced(request.head_lift.has_value()),
      request_(request),
      pool_m_(pool_length(request.event.course).value()),
      table_(shape),
      with_head_(head_priced || beside == HeadBeside::told),
      head_(with_head_ ? head_drag(request.swim, head_lift, lift_relative_sd(request))
                       : HeadDrag{0.0, 0.0, {0.0, 0.0}}),
      measured_(request.hip_drop.drop.has_value() || !head_priced) {
    Coefficients const& c = request.swim.coefficients;
    require_possible(request.swim);
    if (when == When::always
        && std::any_of(request.breathing.begin(), request.breathing.end(),
                       [](std::vector<Breathing> const& plan) { return !plan.empty(); })
        && !breathes_through_a_tube(request))
        throw InvalidInput("breathing", "a pattern",
                           "nothing with when = always: what stays does not follow the breath");
    if (when == When::breath && !request.event.medley && request.event.stroke == Stroke::back)
        throw InvalidInput(
            "when", "breath",
            "always for " + to_string(request.event)
                + ": no breath lifts the head in backstroke, only hips that stay low cost there");
    add_drop(c);
    tilt_ = TiltUnknowns::add_to(unknowns, request.swim.tilt_model, c);
    exponent_ = unknowns.add(unknown::drag_exponent(c));
    closure_ = unknowns.add(unknown::closure(c));
    unknown::UnderWater const under = unknown::under_water(request.underwater, request.event.course);
    start_ = unknowns.add(under.start_m);
    turn_ = unknowns.add(under.turn_m);
    start_dead_ = unknowns.add(under.start_dead_s);
    turn_dead_ = unknowns.add(under.turn_dead_s);
    speed_ratio_ = unknowns.add(under.speed_ratio);

    bool fades = false;
    for (Leg const& leg : libdrag::legs(request.event, request.time, request.splits, c)) {
        LegModel model{leg,
                       when == When::always || leg.stroke != Stroke::back,
                       {},
                       0,
                       0,
                       {},
                       pulse_width(leg.stroke, c),
                       {1.0, 0.0}};
        Swim swim = request.swim;
        swim.stroke = leg.stroke;
        model.incline_deg = libdrag::incline_deg(swim);
        model.incline = unknowns.add(unknown::incline(swim));
        bool const breathes = when == When::breath && model.faulted;
        model.width = unknowns.add(unknown::breath_width(leg.stroke, breathes, c));
        if (breathes && !request.within_stroke) {
            std::string const key = "breath.within_stroke." + std::string(to_string(leg.stroke));
            model.within_stroke = {c.value(key), c.sd(key)};
        }
        std::vector<Breathing> const plan = plan_of(request, leg);
        for (int i = 0; i < leg.lengths; ++i) {
            Breathing const b = when == When::always ? plan.front() : plan[static_cast<std::size_t>(i)];
            auto const same = std::find_if(model.groups.begin(), model.groups.end(),
                                           [&](Group const& g) { return g.breathing == b; });
            if (same != model.groups.end()) {
                same->lengths.push_back(i);
                continue;
            }
            model.groups.push_back(group_of(b, swim, model.pulse_width.value));
            model.groups.back().lengths.push_back(i);
        }
        fades = fades || (breathes && model.groups.size() > 1);
        for (Group const& group : model.groups) {
            if (!breathes) continue;
            any_breath = any_breath || group.breathing.every > 0;
            no_breath = no_breath || group.breathing.every == 0;
            fewer_breaths = fewer_breaths || breathes_rarely(leg.stroke, group.breathing);
        }
        legs.push_back(std::move(model));
    }
    auto const first =
        std::find_if(legs.begin(), legs.end(), [](LegModel const& leg) { return leg.faulted; });
    if (!measured_) hip_drop = first->groups.front().peak;
    fade_ = unknowns.add(unknown::fade(fades, c));
    timing_ = unknowns.add(unknown::breath_timing(std::any_of(
        legs.begin(), legs.end(), [](LegModel const& leg) { return leg.within_stroke.sd > 0.0; })));
    if (with_head_) add_head(c);
}

/// What a tilt law does not read is not drawn where another holds.
std::vector<Readers> CostModel::readers() const {
    constexpr Readers projected = 1, damped = 2, slope = 4, crossflow = 8;
    std::vector<Readers> read(unknowns.size(), always_read);
    read[tilt_.exponent] = damped;
    read[tilt_.slope] = slope;
    read[tilt_.crossflow_cd] = read[tilt_.axial_cd] = crossflow;
    for (std::size_t const mode : tilt_.mode) read[mode] = projected | damped;
    return read;
}

void CostModel::evaluate(fast::Block const& block, Fault const& fault) const {
    using namespace cost_kernel;
    auto const in = [&](std::size_t unknown) { return block.in[unknown]; };
    auto const number = [](double x) { return static_cast<float>(x); };
    for (std::size_t k = 0; k < outputs(); ++k) std::fill_n(block.out[k], block_size, 0.0f);
    float const scale = number(fault.scale), sign = request_.time_includes_fault ? -1.0f : 1.0f;
    bool const always = when == When::always;
    alignas(64) float drop[block_size], delta[block_size], excess[block_size], head[block_size],
        time[block_size], share[block_size], hips[block_size];

    // Peak of the hips, over that of the group where it follows from the lift.
    if (!measured_) peak_of_logarithm(in(drop_), scale, drop);
    else if (by_length_) peak_of_depth(in(drop_), in(lever_), scale, drop);
    else peak_of_angle(in(drop_), scale, drop);
    for (std::size_t l = 0; l < legs.size(); ++l) {
        LegModel const& leg = legs[l];
        Pool const pool{number(pool_m_), number(request_.underwater.turn_wall.value()), leg.leg.lengths,
                        leg.leg.from_start, number(leg.leg.time.value())};
        UnderWaterRows const under{in(start_), in(turn_), in(start_dead_), in(turn_dead_), in(speed_ratio_)};
        surface_time(pool, under, time);
        add(time, block.out[priced]);
        if (!leg.faulted) continue;
        float const* const width = in(leg.width);
        TiltRows const tilt{block.group_choice, in(tilt_.exponent),
                            in(tilt_.slope),    in(tilt_.crossflow_cd),
                            in(tilt_.axial_cd), {in(tilt_.mode[0]), in(tilt_.mode[1]), in(tilt_.mode[2])},
                            in(leg.incline)};
        std::fill_n(hips, block_size, 0.0f);
        alignas(64) float by_head[block_size] = {};
        for (Group const& group : leg.groups) {
            double const breaths = breaths_per_cycle(leg.leg.stroke, group.breathing);
            if (!always && breaths == 0.0) continue;
            if (!measured_ && head_lift.value() == 0.0) continue; // no fault, to the last bit
            HipMotion const& motion = group.hips;
            double const unit = measured_ ? 1.0 : group.peak.value();
            if (always || motion.pulsed()) scaled(drop, number(unit), delta);
            else
                scaled_by_width(drop, width, number(motion.spacing()),
                                number(unit * motion.scale(motion.spacing()) / motion.spacing()), delta);
            mean_excess(table_, tilt, delta, motion.pulsed() ? fault.pulse : motion.levels(), excess);
            if (always) {
                std::fill_n(head, block_size, number(fault.head_held));
            } else {
                alignas(64) float swung[block_size];
                if (!motion.pulsed()) std::copy_n(excess, block_size, swung);
                over_breaths(width, number(breaths), number(fault.head_over_pulse), excess, head);
                mean_over_overlapping(table_, tilt, delta, fault.head, width, number(1.0 / breaths), excess,
                                      head);
                if (!motion.pulsed()) std::copy_n(swung, block_size, excess);
            }
            if (with_head_)
                head_excess(in(head_share_), in(roll_), width, number(always ? 0.0 : breaths), scale, head);
            bool const whole_leg = leg.groups.size() == 1;
            if (!whole_leg) share_of_lengths(pool, group.lengths, under, in(fade_), share);
            price({excess, with_head_ ? head : nullptr, in(exponent_), in(closure_), in(timing_), time,
                   whole_leg ? nullptr : share},
                  number(leg.within_stroke.value), number(leg.within_stroke.sd), sign, head_priced,
                  {hips, by_head, block.out[extra_drag]});
        }
        add(hips, block.out[of_hips]);
        add(by_head, block.out[of_head]);
        if (head_priced) add(by_head, hips);
        if (legs.size() > 1) std::copy_n(hips, block_size, block.out[of_leg(l)]);
        if (head_priced) add(hips, block.out[whole()]);
    }
    double const degree = degrees(1.0).value(), unit = measured_ ? 1.0 : hip_drop.value();
    if (unit > 0.0) ratio(block.out[of_hips], drop, number(degree / unit), block.out[per_degree]);
    divide(block.out[priced], block.out[extra_drag]);
    scaled(block.out[priced], number(1.0 / request_.time.value()), block.out[priced]);
}

fast::Propagation CostModel::run(Options const& options, double scale) const {
    auto const head_at = [&](double part) { return head_.share * head_.at(std::min(part * scale, 1.0)); };
    Fault fault{scale,
                cost_kernel::Head(head_, scale),
                head_at(1.0),
                0.0,
                {raw::pulse_nodes.begin(), raw::pulse_nodes.end()}};
    // The plain mean over the nodes.
    for (double const node : raw::pulse_nodes) fault.head_over_pulse += 0.25 * head_at(node);
    return fast::propagate(
        unknowns, readers(), outputs(), [&](fast::Block const& block) { evaluate(block, fault); }, options);
}

std::string percent(double fraction) { return format_number(100.0 * fraction, 2) + " %"; }
std::string seconds_words(Interval<Time> const& e) {
    return format_number(e.median.value(), 2) + " s (" + format_number(e.low.value(), 2) + " to "
           + format_number(e.high.value(), 2) + ")";
}

/// @param speed_loss by what is priced, over the surface swimming
std::vector<std::string> notes_of(CostModel const& model, Swim const& swim, double speed_loss,
                                  Interval<Time> const& head) {
    Coefficients const& c = swim.coefficients;
    std::vector<std::string> notes = swim.notes;
    auto const has = [&](Stroke stroke) {
        return std::any_of(model.legs.begin(), model.legs.end(), [&](LegModel const& leg) {
            return leg.leg.stroke == stroke && leg.faulted && model.when == When::breath;
        });
    };
    if (model.any_breath && !model.head_priced && head.median.value() > 0.0)
        notes.push_back("This prices the hips. The lifted head meets the water itself: a usual breath of "
                        + format_number(100.0 * c.value("balance.breath_lift"), 2) + " cm adds about "
                        + seconds_words(head) + "; give the head lift to price both.");
    if (has(Stroke::crawl) && model.any_breath && speed_loss > 5e-6)
        notes.push_back(
            "Priced here: " + percent(speed_loss)
            + " of the surface speed. Breathing every cycle cost sprinters "
            + percent(c.value("breath.every_cycle.speed_loss")) + " of it (Pedersen & Kjendlie 2006) and "
            + percent(c.value("breath.total.speed_loss_mccabe"))
            + " (McCabe et al. 2015) in all, lost thrust included; towed faster than they swim, men needed "
            + percent(c.value("breath.total.tow_men")) + " and women "
            + percent(c.value("breath.total.tow_women"))
            + " more net force to breathe (Formosa et al.). Do not skip breaths for speed.");
    if (has(Stroke::breast))
        notes.push_back(
            "Breaststroke: measured drag shows no sure gain from breathing every second cycle (lower in "
            + format_number(c.value("breath.breast.drag_lower"), 1) + " of "
            + format_number(c.value("breath.breast.swimmers"), 2)
            + " swimmers, higher in the others; Alves et al. 2024). Do not skip breaths for speed.");
    if (has(Stroke::fly))
        notes.push_back(
            "Butterfly: breathing raised the steepest trunk angle by about "
            + format_number(c.value("breath.fly.trunk_change"), 2)
            + " deg in less skilled swimmers; the penalty shrinks with skill (Alves et al. 1999).");
    if (has(Stroke::crawl) && in_degrees(model.hip_drop) > c.value("breath.crawl.upper_drop"))
        notes.push_back("A drop of more than " + format_number(c.value("breath.crawl.upper_drop"), 1)
                        + " deg at each crawl breath would cost more speed than has ever been measured: "
                          "check the reading.");
    bool const backstroke_free =
        std::any_of(model.legs.begin(), model.legs.end(), [](LegModel const& leg) { return !leg.faulted; });
    if (backstroke_free)
        notes.push_back("Backstroke: no breath lifts the head, so a drop at each breath adds nothing there.");
    return notes;
}

std::vector<std::string> cautions_of(CostModel const& model, CostRequest const& request) {
    std::vector<std::string> cautions = cautions_of(request.swim, request.composition);
    bool const tube = breathes_through_a_tube(request);
    if (model.no_breath && !tube) cautions.emplace_back(caution::breath_holding);
    for (std::string& text : aid_cautions(request.aids)) cautions.push_back(std::move(text));
    if (model.fewer_breaths) cautions.emplace_back(caution::fewer_breaths);
    Coefficients const& c = request.swim.coefficients;
    if (request.underwater.start_m.value > c.value("race.long_underwater.start")
        || request.underwater.turn_m.value > c.value("race.long_underwater.turn"))
        cautions.emplace_back(caution::long_underwater);
    for (std::string& text : head_cautions(request.head_lift, request.swim.body))
        cautions.push_back(std::move(text));
    double steepest = 0.0;
    for (LegModel const& leg : model.legs)
        if (leg.faulted) steepest = std::max(steepest, leg.incline_deg.value + in_degrees(model.hip_drop));
    if (!tilt_within_validity(degrees(steepest)))
        cautions.push_back("The hips reach " + format_number(steepest, 2) + " deg; drag was measured up to "
                           + format_number(published("tilt.measured_to"), 2) + " deg: extrapolated.");
    if (request.time_guessed)
        cautions.emplace_back(
            "The time was not given: guessed from the other event by the usual fall of speed with distance.");
    return cautions;
}

/// The leg of a race whose breath other models can price as well.
LegModel const& only_leg(CostModel const& model, CostRequest const& request, std::string_view question) {
    if (request.event.medley || model.when == When::always)
        throw InvalidInput(question, request.event.medley ? "a medley" : "a drop that stays",
                           "a drop at each breath in an event of one stroke");
    return model.legs.front();
}

Swim swim_of(LegModel const& leg, CostRequest const& request) {
    Swim swim = request.swim;
    swim.stroke = leg.leg.stroke;
    return swim;
}

/// The reading of the drop as an angle, for the questions that take one.
std::optional<Angle> reading_of(CostRequest const& request) {
    if (!request.hip_drop.sd) return std::nullopt;
    if (auto const* angle = std::get_if<Angle>(&*request.hip_drop.sd)) return *angle;
    return radians((std::get<Length>(*request.hip_drop.sd) / request.swim.body.shoulder_hip()).value());
}

/// The fault as the questions about one stroke take it.
template <class Question>
void put_fault(Question& question, LegModel const& leg, CostRequest const& request) {
    question.breathing = leg.groups.front().breathing;
    if (request.hip_drop.drop || !request.head_lift) question.hip_drop = leg.groups.front().peak;
    question.hip_drop_sd = reading_of(request);
    question.head_lift = request.head_lift;
}

/// The breath of a single-stroke race by the full motion within the stroke.
StrokeEstimate within_stroke(CostModel const& model, CostRequest const& request, Options const& options) {
    LegModel const& leg = only_leg(model, request, "within stroke");
    StrokeRequest within{swim_of(leg, request),
                         surface_speed(leg.leg, request.event.course, request.underwater)};
    put_fault(within, leg, request);
    within.composition = request.composition;
    return stroke_estimate(within, options);
}

/// What all aids together make of the same breath.
AidEffect aid_effect(CostModel const& model, CostRequest const& request, Options const& options) {
    LegModel const& leg = only_leg(model, request, "aids");
    AidsRequest aided{swim_of(leg, request), surface_speed(leg.leg, request.event.course, request.underwater),
                      request.aids, request.composition};
    put_fault(aided, leg, request);
    return aids_estimate(aided, options).effects.back();
}

/// With a snorkel no breath in any stroke.
CostRequest as_swum(CostRequest request) {
    if (breathes_through_a_tube(request))
        for (auto& plan : request.breathing) plan = {Breathing{0}};
    return request;
}

/// The same race with a drop that is known exactly, and nothing else.
CostRequest with_drop(CostRequest request, Angle drop) {
    return after(HipDrop{drop, std::variant<Angle, Length>(radians(0.0))}, std::move(request));
}

} // namespace

/// Each draw solves the periodic motion twice.
constexpr std::uint64_t most_within_stroke = 2000;

std::uint64_t draws_of(CostRequest const& request, Options const& options) {
    return request.within_stroke ? std::min(options.draws, most_within_stroke) : options.draws;
}

TiltShape tilt_shape_of(CostRequest const& request) {
    return TiltShape::of(request.swim.body, request.swim.posture);
}

RaceDraws race_draws(CostRequest const& asked, TiltShape const& shape, Options const& options) {
    CostRequest const request = as_swum(asked);
    CostModel const model(request, shape, CostModel::HeadBeside::not_asked);
    return {model.run(options), model.whole(), CostModel::extra_drag, CostModel::priced};
}
Unknowns race_unknowns(CostRequest const& asked, TiltShape const& shape) {
    CostRequest const request = as_swum(asked);
    return CostModel(request, shape, CostModel::HeadBeside::not_asked).unknowns;
}

Cost cost(CostRequest const& request, Options const& options) {
    return cost(request, tilt_shape_of(request), options);
}

Cost cost(CostRequest const& asked, TiltShape const& shape, Options const& given) {
    Options options = given;
    CostRequest const request = as_swum(asked);
    CostModel const model(request, shape);
    options.draws = draws_of(request, options);
    fast::Propagation const run = model.run(options);
    std::vector<Estimate> estimates = run.estimates();
    // Each factor is about the same possible swimmer as the price it goes with, draw by draw.
    std::vector<Sample> factors;
    std::optional<Estimate> full_over_quasi_steady, aid_ratio;
    if (request.within_stroke) {
        StrokeEstimate const motion = within_stroke(model, request, options);
        full_over_quasi_steady = motion.full_over_quasi_steady;
        if (motion.ratio_draws) factors.push_back(*motion.ratio_draws);
    }
    if (!request.aids.empty() && !breathes_through_a_tube(request)) {
        (void)only_leg(model, request, "aids");
        if (model.any_breath && (model.hip_drop.value() > 0.0 || model.head_priced)) {
            AidEffect const effect = aid_effect(model, request, options);
            aid_ratio = effect.breath_penalty_ratio;
            factors.push_back(effect.breath_penalty);
        }
    }
    auto const with_factors = [&](std::size_t k) {
        Sample draws = run.output(k);
        for (Sample const& factor : factors) draws = draws * factor;
        return draws;
    };
    Sample draws = with_factors(model.whole());
    if (!factors.empty())
        for (std::size_t const k : {model.whole(), std::size_t{CostModel::per_degree},
                                    std::size_t{CostModel::of_hips}, std::size_t{CostModel::of_head}})
            estimates[k] = with_factors(k).estimate();
    // Without a drop each degree still has a price: that of the first one.
    Estimate per_degree = estimates[CostModel::per_degree];
    if (model.hip_drop.value() == 0.0) {
        CostRequest const one = with_drop(request, degrees(1.0));
        per_degree = CostModel(one, shape).run(options).estimate(CostModel::per_degree);
    }

    auto const seconds_of = [&](std::size_t k) { return interval_of<Time>(estimates[k]); };
    Interval<Time> const total = seconds_of(model.whole()), hips = seconds_of(CostModel::of_hips),
                         head = seconds_of(CostModel::of_head);
    double const priced = estimates[CostModel::priced].median;
    std::vector<LegCost> legs;
    double low = 0.0, mean = 0.0, swum = 0.0;
    for (std::size_t l = 0; l < model.legs.size(); ++l) {
        LegModel const& leg = model.legs[l];
        double leg_low = 0.0, leg_mean = 0.0, leg_lengths = leg.leg.lengths;
        for (Group const& group : leg.groups) {
            bool const moves = leg.faulted && (model.when == When::always || group.breathing.every > 0);
            if (!moves) continue;
            double const part = static_cast<double>(group.lengths.size()) / leg_lengths;
            leg_low += part * group.hips.low_share();
            leg_mean += part * group.hips.mean() * in_degrees(group.peak);
        }
        double const time = leg.leg.time.value();
        low += time * leg_low;
        mean += time * leg_mean;
        swum += time;
        legs.push_back({leg.leg.stroke, leg.leg.time,
                        surface_speed(leg.leg, request.event.course, request.underwater),
                        seconds_of(model.of_leg(l)), leg_low, degrees(leg_mean)});
    }
    double const speed_loss = total.median / (priced * request.time);
    return {request,
            model.when,
            model.hip_drop,
            total,
            interval_of<Time>(per_degree),
            model.head_priced,
            model.head_lift,
            hips,
            head,
            estimates[CostModel::extra_drag],
            degrees(mean / swum),
            low / swum,
            priced,
            std::move(legs),
            request.doubts ? draws.because() : Because{},
            notes_of(model, request.swim, speed_loss, head),
            cautions_of(model, request),
            draws.options(),
            full_over_quasi_steady,
            aid_ratio,
            std::move(draws),
            shape};
}

CostRequest after(Change const& change, CostRequest request) {
    std::visit(Overloaded{[&](HipDrop const& drop) {
                              request.hip_drop = drop;
                              request.head_lift.reset();
                          },
                          [&](change::HeadLift const& head) {
                              request.hip_drop = {};
                              request.head_lift = head.lift;
                          },
                          [&](change::Pattern const& breathing) { request.breathing = breathing.plan; },
                          [&](change::Wearing const& worn) { request.aids = worn.aids; },
                          [&](Stroke stroke) {
                              throw InvalidInput("change", std::string(to_string(stroke)),
                                                 "nothing that makes another race of it");
                          },
                          [&](auto const& of_swim) { request.swim = after(of_swim, request.swim); }},
               change);
    return request;
}

std::vector<Cost> costs(std::vector<CostRequest> const& requests, Options const& options) {
    std::vector<Cost> out;
    for (std::size_t i = 0; i < requests.size(); ++i) {
        Swim const& swim = requests[i].swim;
        bool const known = i > 0 && swim.body == requests[i - 1].swim.body
                           && swim.posture.same_joints(requests[i - 1].swim.posture);
        out.push_back(known ? cost(requests[i], out.back().shape, options) : cost(requests[i], options));
    }
    return out;
}

std::vector<Cost> costs_after(CostRequest const& request, std::vector<Change> const& changes,
                              Options const& options) {
    std::vector<CostRequest> changed;
    for (Change const& change : changes) changed.push_back(after(change, request));
    return costs(changed, options);
}

std::vector<Cost> what_if(Cost const& full, std::vector<std::variant<Angle, Length>> const& drops,
                          Options const& options) {
    std::vector<Cost> rungs;
    for (std::variant<Angle, Length> const& drop : drops)
        rungs.push_back(cost(after(HipDrop{drop}, full.request), full.shape, options));
    return rungs;
}
std::vector<Cost> what_if(CostRequest const& request, std::vector<std::variant<Angle, Length>> const& drops,
                          Options const& options) {
    std::vector<Change> rungs;
    for (std::variant<Angle, Length> const& drop : drops) rungs.emplace_back(HipDrop{drop});
    return costs_after(request, rungs, options);
}

Inverse wanted_gain(Cost const& full, Time gain, Options const& run) {
    if (!(gain.value() > 0.0 && gain < full.request.time))
        throw InvalidInput("want", format_number(gain.value(), 4) + " s",
                           "more than 0 s and less than the race, " + format_time(full.request.time));
    CostModel const model(full.request, full.shape);
    // Cost at evenly spaced fractions of each draw's own fault, smallest first.
    constexpr std::size_t rungs = 21;
    Options const options = full.options.watched_as(run);
    std::vector<std::vector<double>> ladder;
    for (std::size_t j = 0; j < rungs; ++j)
        ladder.push_back(
            model.run(options, static_cast<double>(j) / (rungs - 1)).output(model.whole()).values());
    std::vector<double> const& whole = full.draws.values();
    // Aids and the full motion put a factor on every draw, whatever is left of the fault.
    std::vector<double> left(whole.size()), enough(whole.size());
    for (std::size_t i = 0; i < whole.size(); ++i) {
        double const plain = ladder.back()[i], factor = plain != 0.0 ? whole[i] / plain : 1.0;
        auto const at = [&](std::size_t j) { return factor * ladder[j][i]; };
        double const may_remain = at(rungs - 1) - gain.value();
        if (may_remain < 0.0) continue; // nothing may be left and even that is not enough
        enough[i] = 1.0;
        std::size_t j = 1;
        while (j < rungs - 1 && at(j) < may_remain) ++j;
        double const below = at(j - 1), above = at(j);
        double const part = above > below ? (may_remain - below) / (above - below) : 0.0;
        left[i] = std::min(1.0, (static_cast<double>(j - 1) + part) / (rungs - 1));
    }
    double const chance = full.draws.with_values(std::move(enough)).mean();
    Estimate const share = full.draws.with_values(std::move(left)).estimate();
    return {
        gain,
        full.cost.median >= gain,
        {model.hip_drop * share.median, model.hip_drop * share.low, model.hip_drop * share.high, share.level},
        share,
        chance,
        full.cost};
}

ImpliedDrop implied_hip_drop(CostRequest const& request, Time without, Options const& options) {
    require_race_time("time without", request.event, without);
    double const difference = (request.time - without).value();
    if (!(difference > 0.0))
        throw InvalidInput("time without", format_time(without),
                           "less than the time with it, " + format_time(request.time));
    auto const refuse = [](bool given, char const* field, char const* value, char const* allowed) {
        if (given) throw InvalidInput(field, value, allowed);
    };
    char const* const asked = "nothing: two times imply the hip drop";
    refuse(request.hip_drop.drop.has_value(), "hip drop", "a drop", asked);
    refuse(request.hip_drop.sd.has_value(), "hip drop sd", "a spread", asked);
    refuse(request.head_lift.has_value(), "head lift", "a lift",
           "nothing: two times cannot tell the head's own drag from that of the hips");
    refuse(!request.aids.empty(), "aids", "something worn or towed",
           "nothing: both times are taken as swum without");
    refuse(request.within_stroke, "within stroke", "the full motion",
           "nothing: the factor it would put on the drop is drawn already");
    refuse(!request.time_includes_fault, "given", "without",
           "with: the time given is the one with the fault");
    // Draws of the same numbers at every rung: the models differ in the drop alone.
    TiltShape const shape = tilt_shape_of(request);
    constexpr int step = 1;
    std::vector<Sample> ladder;
    for (int deg = 0; deg <= static_cast<int>(steepest_deg); deg += step) {
        CostRequest const rung = with_drop(request, degrees(deg));
        CostModel const model(rung, shape);
        ladder.push_back(model.run(options).output(model.whole()));
    }
    std::size_t const draws = ladder.front().values().size();
    std::vector<double> drop(draws, steepest_deg), explained(draws);
    for (std::size_t i = 0; i < draws; ++i)
        for (std::size_t j = 1; j < ladder.size(); ++j) {
            double const below = ladder[j - 1].values()[i], above = ladder[j].values()[i];
            if (above < difference) continue;
            explained[i] = 1.0;
            drop[i] = step * (static_cast<double>(j - 1) + (difference - below) / (above - below));
            break;
        }
    double const share = ladder.back().with_values(std::move(explained)).mean();
    std::optional<Interval<Angle>> implied;
    if (share >= 0.5) implied = degrees(ladder.back().with_values(std::move(drop)).estimate());
    CostRequest const still = with_drop(request, radians(0.0));
    std::vector<std::string> cautions = cautions_of(CostModel(still, shape), still);
    cautions.emplace_back(caution::second_time);
    return {implied, share, std::move(cautions), ladder.back().options()};
}

} // namespace libdrag
