#include <libdrag/trials.hpp>

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

#include <Eigen/Dense>
#include <fmt/format.h>

#include <libdrag/quantity.hpp>
#include <libdrag/regression.hpp>

#include "add_new.hpp"
#include "maths.hpp"
#include "trials_draws.hpp"

namespace libdrag {

namespace {

using Eigen::Index;
using Eigen::MatrixXd;
using Eigen::VectorXd;

// --- swims that can be ------------------------------------------------------------------------------

/// Metres in a second between which people swim 10 to 100 m.
constexpr double slowest_m_s = 0.2, fastest_m_s = 3.0;
/// A swim beyond this factor from the middle of its kind is a slip of the pen or of the unit, not of the swimmer.
constexpr double far_factor = 1.3;

std::string place_of(TimedSwim const& swim) {
    std::string place = swim.order > 0 ? fmt::format("swim {}", swim.order) : "a swim";
    if (swim.line > 0) place += fmt::format(" (row {})", swim.line);
    return place;
}

double median(std::vector<double> x) {
    auto const middle = x.begin() + static_cast<std::ptrdiff_t>(x.size() / 2);
    std::nth_element(x.begin(), middle, x.end());
    return *middle;
}

/// Those that count, in the order swum.
std::vector<TimedSwim> swims_of(PoolTest const& test) {
    std::vector<TimedSwim> swims;
    for (TimedSwim const& swim : test.swims)
        if (!swim.left_out) swims.push_back(swim);
    std::stable_sort(swims.begin(), swims.end(),
                     [](TimedSwim const& a, TimedSwim const& b) { return a.order < b.order; });
    bool const ordered = std::any_of(swims.begin(), swims.end(), [](auto const& s) { return s.order != 0; });
    for (std::size_t i = 1; ordered && i < swims.size(); ++i)
        if (swims[i].order == swims[i - 1].order)
            throw InvalidInput("order", fmt::format("{} twice on {}", swims[i].order, to_string(test.date)),
                               "a place of its own for each swim of a day");
    std::map<std::string, std::vector<double>> times;
    for (TimedSwim const& swim : swims) {
        double const t = swim.time.value(), distance = test.distance.value();
        if (!(t > 0.0 && std::isfinite(t)))
            throw InvalidInput("time", fmt::format("{} s for {}", format_number(t, 3), place_of(swim)),
                               "above 0 s; 'left out' in the note keeps a swim that was not timed");
        if (distance > 0.0 && !(distance / t >= slowest_m_s && distance / t <= fastest_m_s))
            throw InvalidInput("time", fmt::format("{} s for {}", format_number(t, 4), place_of(swim)),
                               fmt::format("{} to {} s over {}", format_number(distance / fastest_m_s, 3),
                                           format_number(distance / slowest_m_s, 3),
                                           format(test.distance, "m")));
        times[to_string(swim.how)].push_back(t);
    }
    for (TimedSwim const& swim : swims) {
        double const usual = median(times[to_string(swim.how)]), t = swim.time.value();
        if (t > usual * far_factor || t < usual / far_factor)
            throw InvalidInput("time", fmt::format("{} s for {}", format_number(t, 4), place_of(swim)),
                               fmt::format("{} to {} s, within 30 % of the others of its kind in the same "
                                           "unit; 'left out' in the note "
                                           "keeps a swim that went wrong",
                                           format_number(usual / far_factor, 4),
                                           format_number(usual * far_factor, 4)));
    }
    return swims;
}

// --- one day ----------------------------------------------------------------------------------------

/// A trend needs so many swims before it is told from scatter.
constexpr int trend_from = 6, bend_from = 12;
int degree_for(std::size_t swims) { return swims < trend_from ? 0 : swims < bend_from ? 1 : 2; }

/// Level, and trend over the set from -1 to 1.
std::vector<std::vector<double>> level_and_trend(std::vector<double> const& at, int degree) {
    std::vector<std::vector<double>> columns{std::vector<double>(at.size(), 1.0)};
    auto const [first, last] = std::minmax_element(at.begin(), at.end());
    double const middle = 0.5 * (*first + *last), half = 0.5 * (*last - *first);
    for (int power = 1; power <= degree; ++power) {
        std::vector<double> next = columns.back();
        for (std::size_t i = 0; i < at.size(); ++i) next[i] *= (at[i] - middle) / half;
        columns.push_back(std::move(next));
    }
    return columns;
}

struct Day {
    Date date;
    std::vector<TimedSwim> swims;
    std::vector<double> at;         ///< place in the order
    std::vector<std::size_t> which; ///< condition of each swim
    int degree;
};

bool is_part_of(std::vector<Condition> const& list, Condition const& how) {
    return std::find(list.begin(), list.end(), how) != list.end();
}
std::size_t index_in(std::vector<Condition> const& list, Condition const& how) {
    return static_cast<std::size_t>(std::find(list.begin(), list.end(), how) - list.begin());
}

Day day_of(Date date, std::vector<TimedSwim> swims, std::vector<Condition> const& conditions) {
    Day day{date, std::move(swims), {}, {}, 0};
    bool const ordered =
        std::any_of(day.swims.begin(), day.swims.end(), [](auto const& s) { return s.order != 0; });
    for (std::size_t i = 0; i < day.swims.size(); ++i) {
        day.at.push_back(ordered ? day.swims[i].order : static_cast<double>(i));
        day.which.push_back(index_in(conditions, day.swims[i].how));
    }
    day.degree = degree_for(day.swims.size());
    return day;
}

/// All swims but one, as sums: see the header. Levels of `which` are conditions 0 to count - 1.
PoolTestEvidence::Part part_of(std::vector<std::vector<double>> const& nuisance,
                               std::vector<std::size_t> const& which, std::vector<double> const& y,
                               std::size_t count, std::size_t left_out) {
    std::vector<std::size_t> rows;
    for (std::size_t i = 0; i < y.size(); ++i)
        if (i != left_out) rows.push_back(i);
    auto const n = static_cast<Index>(rows.size()), p = static_cast<Index>(nuisance.size());
    MatrixXd Z(n, p), X = MatrixXd::Zero(n, static_cast<Index>(count));
    VectorXd r(n);
    for (Index i = 0; i < n; ++i) {
        std::size_t const row = rows[static_cast<std::size_t>(i)];
        for (Index j = 0; j < p; ++j) Z(i, j) = nuisance[static_cast<std::size_t>(j)][row];
        X(i, static_cast<Index>(which[row])) = 1.0;
        r[i] = y[row];
    }
    Eigen::ColPivHouseholderQR<MatrixXd> const qr(Z); // as in regression.cpp: compiled once
    MatrixXd const Q = MatrixXd(qr.householderQ()).leftCols(p);
    X -= Q * (Q.transpose() * X);
    r -= Q * (Q.transpose() * r);
    double ln_det = 0.0; // of Z'Z, halved
    for (Index j = 0; j < p; ++j) ln_det += maths::log(std::abs(qr.matrixQR()(j, j)));

    Eigen::SelfAdjointEigenSolver<MatrixXd> const eigen(X.transpose() * X);
    constexpr double ln_2pi = 1.8378770664093453, nothing = 1e-9;
    PoolTestEvidence::Part part{
        -ln_det - 0.5 * static_cast<double>(n - p) * ln_2pi, 0.0, static_cast<int>(n - p), {}, {}, {}};
    VectorXd const along = X.transpose() * r;
    for (Index j = 0; j < static_cast<Index>(count); ++j) {
        double const strength = eigen.eigenvalues()[j];
        if (strength < nothing) continue; // a common level, or a condition that is not there
        double const root = std::sqrt(strength), seen = eigen.eigenvectors().col(j).dot(along) / root;
        part.strength.push_back(strength);
        part.seen.push_back(seen);
        for (Index k = 0; k < static_cast<Index>(count); ++k)
            part.weights.push_back(root * eigen.eigenvectors()(k, j));
        r -= X * eigen.eigenvectors().col(j) * (seen / root);
        --part.dof;
    }
    part.sum_of_squares = r.squaredNorm();
    return part;
}

constexpr std::size_t none_left_out = static_cast<std::size_t>(-1);

std::vector<double> logs_of(Day const& day) {
    std::vector<double> y;
    for (TimedSwim const& swim : day.swims) y.push_back(maths::log(swim.time.value()));
    return y;
}

// --- days together ----------------------------------------------------------------------------------

struct Effects {
    VectorXd values;     ///< of each condition, the first 0
    MatrixXd covariance; ///< first row and column 0
    MatrixXd slope;      ///< of the covariance, by the variance of one swim
    double variance;     ///< of one swim
    int dof;
};

/// Information about the effects and its product with them, of all days, given the variance of a swim.
void add_information(std::vector<PoolTestEvidence::Part> const& days, double variance, double day_variance,
                     MatrixXd& information, VectorXd& moment) {
    Index const count = moment.size();
    for (auto const& part : days)
        for (std::size_t j = 0; j < part.strength.size(); ++j) {
            Eigen::Map<VectorXd const> const w(part.weights.data() + static_cast<Index>(j) * count, count);
            double const precision = 1.0 / (variance + 0.5 * day_variance * part.strength[j]);
            information += precision * w * w.transpose();
            moment += precision * part.seen[j] * w;
        }
}

/// Nothing where the days do not tie the conditions together, or leave no degree of freedom.
std::optional<Effects> effects_of(std::vector<PoolTestEvidence::Part> const& days, std::size_t conditions,
                                  double day_sd) {
    double squares = 0.0;
    int dof = 0;
    for (auto const& part : days) {
        squares += part.sum_of_squares;
        dof += part.dof;
    }
    if (dof < 1) return std::nullopt;
    double const variance = squares / dof;
    auto const count = static_cast<Index>(conditions);
    // Times that are all alike, to the last digit, still have their differences.
    double const least = 1e-16;
    auto const solved = [&](double s2) -> std::optional<std::pair<VectorXd, MatrixXd>> {
        MatrixXd information = MatrixXd::Zero(count, count);
        VectorXd moment = VectorXd::Zero(count);
        add_information(days, std::max(s2, least), day_sd * day_sd, information, moment);
        Eigen::SelfAdjointEigenSolver<MatrixXd> const check(information);
        if (check.eigenvalues()[1] < 1e-9 * check.eigenvalues()[count - 1]) return std::nullopt;
        MatrixXd covariance = MatrixXd::Zero(count, count);
        covariance.bottomRightCorner(count - 1, count - 1) =
            MatrixXd(information.bottomRightCorner(count - 1, count - 1))
                .ldlt()
                .solve(MatrixXd::Identity(count - 1, count - 1));
        return std::pair(VectorXd(covariance * moment), covariance);
    };
    auto const at = solved(variance);
    if (!at) return std::nullopt;
    double const step = 1e-3;
    MatrixXd const slope = (solved(variance * (1.0 + step))->second - solved(variance * (1.0 - step))->second)
                           / (2.0 * step * std::max(variance, least));
    return Effects{at->first, at->second, slope, variance, dof};
}

struct Difference {
    double value, se, dof;
};
/// Degrees of freedom by Satterthwaite (1946, Biometrics Bull 2:110-114): only the part of the variance that scatter
/// makes is estimated.
Difference difference(Effects const& effects, std::size_t how, std::size_t than) {
    auto const i = static_cast<Index>(how), j = static_cast<Index>(than);
    auto const of = [&](MatrixXd const& m) { return m(i, i) + m(j, j) - 2.0 * m(i, j); };
    double const variance = of(effects.covariance), estimated = of(effects.slope) * effects.variance;
    double const ratio = estimated > 0.0 ? variance / estimated : 1.0;
    return {effects.values[i] - effects.values[j], std::sqrt(variance), effects.dof * ratio * ratio};
}

constexpr double percent(double ln) { return 100.0 * ln; }
/// A difference of logarithms as per cent of the time.
double as_percent(double ln) { return 100.0 * maths::expm1(ln); }

/// Where a mixture of Student's distributions reaches p.
double mixture_quantile(std::vector<Difference> const& parts, std::vector<double> const& weights, double p) {
    double low = parts[0].value, high = parts[0].value;
    for (Difference const& d : parts) {
        double const half = t_quantile(std::max(p, 1.0 - p) * 0.5 + 0.5, d.dof) * d.se;
        low = std::min(low, d.value - half);
        high = std::max(high, d.value + half);
    }
    for (int k = 0; k < 60; ++k) {
        double const x = 0.5 * (low + high);
        double below = 0.0;
        for (std::size_t m = 0; m < parts.size(); ++m)
            below += weights[m] * t_share_below((x - parts[m].value) / parts[m].se, parts[m].dof);
        (below < p ? low : high) = x;
    }
    return 0.5 * (low + high);
}

// --- conditions in order ----------------------------------------------------------------------------

double breaths_of(Condition const& how, Stroke stroke) {
    return how.snorkel() ? 0.0 : breaths_per_cycle(stroke, how.breathing);
}

/// The reference first, whoever breathes most often last.
std::vector<Condition> in_order(std::vector<Condition> list, Stroke stroke,
                                std::optional<Condition> const& reference) {
    std::stable_sort(list.begin(), list.end(), [&](Condition const& a, Condition const& b) {
        bool const first = reference && a == *reference, second = reference && b == *reference;
        if (first != second) return first;
        if (a.snorkel() != b.snorkel()) return a.snorkel();
        double const x = breaths_of(a, stroke), y = breaths_of(b, stroke);
        return x != y ? x < y
                      : a.aids.size() + (a.cue.empty() ? 0 : 1) < b.aids.size() + (b.cue.empty() ? 0 : 1);
    });
    return list;
}

std::string count_words(std::vector<int> const& counts) {
    std::string out;
    for (int const n : counts) out += (out.empty() ? "" : " + ") + std::to_string(n);
    return out;
}

} // namespace

std::string in_words(Condition const& how, Stroke stroke) {
    if (!how.cue.empty() || how.aids.size() > (how.snorkel() ? 1U : 0U)) return to_string(how);
    if (how.snorkel()) return "the snorkel";
    std::string const words = in_words(how.breathing, stroke), breath = "a breath ";
    return words.rfind(breath, 0) == 0 ? "breathing " + words.substr(breath.size()) : words;
}

double wrong_way(double se_percent, double breaths_more, bool against_snorkel,
                 Coefficients const& coefficients) {
    double const share = coefficients.value("trials.breath_share"),
                 spread = coefficients.sd("trials.breath_share");
    double const hidden = against_snorkel ? coefficients.value("trials.snorkel_share") : 0.0,
                 hidden_sd = against_snorkel ? coefficients.sd("trials.snorkel_share") : 0.0;
    double const sd = maths::hypot(se_percent / 100.0, hidden_sd);
    constexpr int points = 200; // equally likely prices of a breath
    double wrong = 0.0;
    for (int k = 0; k < points; ++k) {
        double const z = normal_quantile((k + 0.5) / points);
        double const gap = breaths_more * share * maths::exp(spread * z) - hidden;
        wrong += sd > 0.0 ? normal_share_below(-gap / sd) : gap < 0.0 ? 1.0 : 0.0;
    }
    return wrong / points;
}

Watch watch(std::vector<PoolTest> const& tests, std::optional<Condition> const& reference, double level,
            Coefficients const& coefficients) {
    if (tests.empty())
        throw InvalidInput("timed swims", "none", "two swims or more of each of two conditions");
    detail::require("level", level, 0.5, 0.999, Dimension::number, "");
    Stroke const stroke = tests.front().stroke;

    // What there is of each condition.
    std::vector<Condition> seen;
    std::vector<int> counts;
    std::vector<std::vector<TimedSwim>> swims_by_day;
    int left_out = 0, swims = 0;
    bool turns = false, unordered = false;
    for (PoolTest const& test : tests) {
        if (test.stroke != stroke)
            throw InvalidInput("stroke", fmt::format("{} and {}", to_string(stroke), to_string(test.stroke)),
                               "swims of one stroke at a time");
        turns = turns || test.turns;
        left_out += static_cast<int>(
            std::count_if(test.swims.begin(), test.swims.end(), [](auto const& s) { return s.left_out; }));
        swims_by_day.push_back(swims_of(test));
        std::vector<TimedSwim> const& day = swims_by_day.back();
        unordered = unordered || (!day.empty() && std::all_of(day.begin(), day.end(), [](auto const& s) {
                        return s.order == 0;
                    }));
        for (TimedSwim const& swim : day) {
            std::size_t const k = index_in(seen, swim.how);
            if (k == seen.size()) {
                seen.push_back(swim.how);
                counts.push_back(0);
            }
            ++counts[k];
        }
    }
    if (reference && !is_part_of(seen, *reference))
        throw InvalidInput("reference", to_string(*reference), "a condition that was swum");
    Watch out{};
    out.level = level;
    std::vector<Condition> conditions;
    for (std::size_t k = 0; k < seen.size(); ++k)
        if (counts[k] >= 2) conditions.push_back(seen[k]);
        else
            out.notes.push_back("Only one swim of " + in_words(seen[k], stroke)
                                + ": not compared. Two are the least, four a beginning.");
    if (seen.size() < 2)
        throw InvalidInput(
            "conditions", seen.empty() ? "no swims" : "only " + to_string(seen[0]),
            "swims of at least two conditions, as snorkel and every-2: with one there is nothing to compare");
    if (conditions.size() < 2)
        throw InvalidInput("swims of each condition", count_words(counts),
                           "two or more of at least two conditions; four of each are a beginning");
    conditions = in_order(std::move(conditions), stroke, reference);
    std::size_t const count = conditions.size();

    // Each day by itself: what is its level, its trend and its scatter.
    std::vector<Day> days;
    std::vector<PoolTestEvidence::Part> parts;
    std::vector<Regression> fits;
    std::vector<double> trends;
    for (std::size_t t = 0; t < tests.size(); ++t) {
        std::vector<TimedSwim>& of_day = swims_by_day[t];
        of_day.erase(std::remove_if(of_day.begin(), of_day.end(),
                                    [&](auto const& s) { return !is_part_of(conditions, s.how); }),
                     of_day.end());
        Day day = day_of(tests[t].date, of_day, conditions);
        std::vector<std::size_t> here = day.which;
        std::sort(here.begin(), here.end());
        here.erase(std::unique(here.begin(), here.end()), here.end());
        if (here.size() < 2) {
            if (!day.swims.empty())
                out.notes.push_back("One day has swims of one condition only: they say nothing of a gap.");
            continue;
        }
        while (day.degree > 0 && day.swims.size() < 1 + static_cast<std::size_t>(day.degree) + here.size())
            --day.degree;
        auto columns = level_and_trend(day.at, day.degree);
        std::vector<double> const y = logs_of(day);
        parts.push_back(part_of(columns, day.which, y, count, none_left_out));
        for (std::size_t k = 1; k < here.size(); ++k) {
            columns.emplace_back();
            for (std::size_t const which : day.which) columns.back().push_back(which == here[k] ? 1.0 : 0.0);
        }
        fits.push_back(regression(columns, y));
        if (day.degree > 0) trends.push_back(as_percent(2.0 * fits.back().coefficients[1]));
        swims += static_cast<int>(day.swims.size());
        out.trend_degree = std::max(out.trend_degree, day.degree);
        days.push_back(std::move(day));
    }
    out.swims = swims;
    std::vector<Date> dates;
    for (Day const& day : days)
        if (std::find(dates.begin(), dates.end(), day.date) == dates.end()) dates.push_back(day.date);
    out.days = static_cast<int>(dates.size());
    double const day_sd = days.size() > 1 ? coefficients.value("trials.day_effort") : 0.0;
    auto const together = effects_of(parts, count, day_sd);
    if (!together)
        throw InvalidInput("swims of each condition", count_words(counts),
                           "more swims, each day two conditions or more in common with another: these leave "
                           "nothing to tell a gap from scatter");
    out.cv_percent = percent(std::sqrt(together->variance));
    if (!trends.empty()) {
        double sum = 0.0;
        for (double const t : trends) sum += t;
        out.trend_percent = sum / static_cast<double>(trends.size());
    }

    // Each swim against what the others say; with it left out, the same once more.
    struct Left {
        Effects effects;
        double odds;
    };
    std::vector<Left> alternatives;
    std::vector<FarOut> suspects;
    double all_odds = 1.0;
    double const chance = coefficients.value("trials.slip_chance"),
                 range = coefficients.value("trials.slip_range");
    constexpr int enough = 3; // degrees of freedom, to say of one swim that it is far out
    for (std::size_t d = 0; d < days.size() && together->dof >= enough; ++d)
        for (std::size_t i = 0; i < days[d].swims.size(); ++i) {
            double const free = 1.0 - fits[d].leverages[i], residual = fits[d].residuals[i];
            if (free < 1e-9) continue; // alone of its kind that day
            double const others = std::max((together->variance * together->dof - residual * residual / free)
                                               / (together->dof - 1),
                                           1e-16);
            double const scale = std::sqrt(others / free);
            double const expected = t_density(residual / free / scale, together->dof - 1) / scale;
            std::vector<PoolTestEvidence::Part> left = parts;
            left[d] = part_of(level_and_trend(days[d].at, days[d].degree), days[d].which, logs_of(days[d]),
                              count, i);
            auto const effects = effects_of(left, count, day_sd);
            if (!effects) continue;
            double const odds = chance / (1.0 - chance) / (2.0 * range) / expected;
            alternatives.push_back({*effects, odds});
            all_odds += odds;
            TimedSwim const& swim = days[d].swims[i];
            suspects.push_back({days[d].date, swim.order, swim.line, swim.how, swim.time,
                                as_percent(residual / free), odds});
        }
    for (FarOut& swim : suspects) {
        swim.chance /= all_odds;
        if (swim.chance > 0.5) out.far_out.push_back(swim);
    }

    // Stroke counts, where there are any, by the same fit.
    std::vector<PoolTestEvidence::Part> count_parts;
    for (Day const& day : days) {
        std::vector<double> at, y;
        std::vector<std::size_t> which;
        for (std::size_t i = 0; i < day.swims.size(); ++i)
            if (day.swims[i].strokes) {
                at.push_back(day.at[i]);
                which.push_back(day.which[i]);
                y.push_back(*day.swims[i].strokes);
            }
        if (y.size() >= 2)
            count_parts.push_back(part_of(level_and_trend(at, std::min(day.degree, degree_for(y.size()))),
                                          which, y, count, none_left_out));
    }
    auto const counted = effects_of(count_parts, count, 0.0);

    double const reach = 0.5 + 0.5 * level;
    for (std::size_t how = count; how-- > 1;)
        for (std::size_t than = 0; than < how; ++than) {
            Difference const d = difference(*together, how, than);
            double const half = t_quantile(reach, d.dof) * d.se;
            double const more = breaths_of(conditions[how], stroke) - breaths_of(conditions[than], stroke);
            double const another_day = days.size() > 1 ? 0.0 : coefficients.value("trials.day_effort");
            Gap gap{conditions[how],
                    conditions[than],
                    counts[index_in(seen, conditions[how])],
                    counts[index_in(seen, conditions[than])],
                    as_percent(d.value),
                    as_percent(d.value - half),
                    as_percent(d.value + half),
                    percent(d.se),
                    d.dof,
                    t_share_below(d.value / d.se, d.dof),
                    as_percent(half),
                    std::nullopt,
                    std::nullopt,
                    std::nullopt};
            if (more > 0.0)
                gap.wrong_way = wrong_way(percent(maths::hypot(d.se, another_day)), more,
                                          conditions[than].snorkel(), coefficients);
            if (!out.far_out.empty()) {
                std::vector<Difference> mixed{d};
                std::vector<double> weights{1.0 / all_odds};
                for (Left const& left : alternatives) {
                    mixed.push_back(difference(left.effects, how, than));
                    weights.push_back(left.odds / all_odds);
                }
                auto const at = [&](double p) { return as_percent(mixture_quantile(mixed, weights, p)); };
                gap.with_a_slip = Estimate{at(0.5), at(1.0 - reach), at(reach), level};
            }
            if (counted) {
                Difference const s = difference(*counted, how, than);
                double const wide = t_quantile(reach, s.dof) * s.se;
                gap.strokes_change = Estimate{s.value, s.value - wide, s.value + wide, level};
            }
            out.gaps.push_back(gap);
        }
    // The last condition against the first comes first.
    std::stable_partition(out.gaps.begin(), out.gaps.end(),
                          [&](Gap const& g) { return g.how == conditions.back(); });

    // In words: what there is too little of, and what makes a gap doubtful.
    Gap const& first = out.gap();
    constexpr int few = 4;
    std::string const each = fmt::format("{} + {} swims", first.swims_than, first.swims);
    if (std::min(first.swims, first.swims_than) < few) out.notes.push_back(each + ": too few for a gap.");
    if (first.wrong_way)
        out.notes.push_back(
            fmt::format("After {} the watch would point the wrong way for {} of 100 swimmers like her.", each,
                        std::lround(100.0 * *first.wrong_way)));
    if (!first.shown())
        out.notes.push_back(
            fmt::format("No gap shown. That does not say that there is none: with {} a gap below about {} % "
                        "of the time stays hidden half the time.",
                        each, format_number(first.smallest_percent, 2)));
    if (days.size() == 1)
        out.notes.push_back(fmt::format(
            "One day: effort and habit of that day, about {} % of the time, are in the gap. More days "
            "say more than more swims on one.",
            format_number(percent(coefficients.value("trials.day_effort")), 1)));
    for (FarOut const& swim : out.far_out)
        out.notes.push_back(fmt::format(
            "{} on {}, {}, is {} % {} than the others say: something may have gone wrong in it. It is "
            "used as it is; allowing for one such swim the gap is {} % ({} to {} %).",
            swim.order > 0 ? fmt::format("Swim {}", swim.order) : "A swim", to_string(swim.date),
            format_time(swim.time), format_number(std::abs(swim.percent), 2),
            swim.percent > 0.0 ? "slower" : "faster", format_number(first.with_a_slip->median, 2),
            format_number(first.with_a_slip->low, 2), format_number(first.with_a_slip->high, 2)));
    if (left_out > 0)
        out.notes.push_back(fmt::format("{} {} left out, as the file says.", left_out,
                                        left_out == 1 ? "swim is" : "swims are"));

    // From the design of pool tests: what a turn hides, what order cannot undo, what no breath costs.
    constexpr double huge_gap = 5.0, steep_trend = 3.0, wide_scatter = 2.0, poor_order = 1.5, poor_bias = 0.3;
    if (turns)
        out.cautions.push_back(
            "A turn lies in the timed part: turns with a snorkel are some 14 % slower, which is more than "
            "any breath costs. Time between flags or marks.");
    bool const snorkel =
        std::any_of(conditions.begin(), conditions.end(), [](Condition const& c) { return c.snorkel(); });
    if (snorkel && days.size() == 1)
        out.cautions.push_back("The snorkel was swum on one day only: if she was new to it, the gap is "
                               "between habits. Four easy "
                               "lengths before anything is timed, and a second day.");
    for (std::size_t d = 0; d < days.size(); ++d) {
        std::vector<int> order;
        for (std::size_t const which : days[d].which) order.push_back(static_cast<int>(which));
        auto const a = static_cast<int>(index_in(conditions, first.how)),
                   b = static_cast<int>(index_in(conditions, first.than));
        if (std::count(order.begin(), order.end(), a) == 0 || std::count(order.begin(), order.end(), b) == 0)
            continue;
        OrderQuality const quality = quality_of(order, a, b, std::max(days[d].degree, 1));
        if (quality.se_over_ideal > poor_order
            || (days[d].degree == 0 && std::abs(quality.bias) > poor_bias)) {
            out.cautions.push_back("The conditions were not mixed in order: a swimmer who tires or warms up "
                                   "looks like a gap. Swim "
                                   "A B B A, or A B B A B A A B.");
            break;
        }
    }
    if (unordered)
        out.cautions.push_back(
            "The order of the swims is not given: they are taken in the order of the file.");
    if (std::abs(first.percent) > huge_gap)
        out.cautions.push_back(fmt::format("A gap of {} % is more than any breath is known to cost: look for "
                                           "a turn in the timed part, another "
                                           "push-off, another effort.",
                                           format_number(std::abs(first.percent), 2)));
    if (out.trend_percent && std::abs(*out.trend_percent) > steep_trend)
        out.cautions.push_back(fmt::format(
            "She got {} % {} over the set: effort was drifting. More rest between swims, or fewer of them.",
            format_number(std::abs(*out.trend_percent), 2), *out.trend_percent > 0.0 ? "slower" : "faster"));
    if (out.cv_percent > wide_scatter)
        out.cautions.push_back(fmt::format(
            "Her swims scatter by {} %, twice the usual: such times tell little. The same push-off, the same "
            "effort, one person at the watch.",
            format_number(out.cv_percent, 2)));
    for (Condition const& how : conditions) {
        add_new(out.cautions, aid_cautions(how.aids));
        if (!how.snorkel()) add_new(out.cautions, breathing_cautions(stroke, how.breathing));
    }
    return out;
}

// --- likelihood -------------------------------------------------------------------------------------

PoolTestEvidence evidence_of(PoolTest const& test, Coefficients const& coefficients) {
    std::vector<TimedSwim> const swims = swims_of(test);
    PoolTestEvidence out{};
    for (TimedSwim const& swim : swims)
        if (!is_part_of(out.conditions, swim.how)) out.conditions.push_back(swim.how);
    if (out.conditions.size() < 2)
        throw InvalidInput(
            "conditions", swims.empty() ? "no swims" : "only " + to_string(out.conditions[0]),
            "swims of at least two conditions, as snorkel and every-2: with one there is nothing to compare");
    Day const day = day_of(test.date, swims, out.conditions);
    std::vector<double> const y = logs_of(day);
    auto const nuisance = level_and_trend(day.at, day.degree);
    out.all = part_of(nuisance, day.which, y, out.conditions.size(), none_left_out);
    if (swims.size() > nuisance.size() + 1) // else what is left of the others says nothing
        for (std::size_t i = 0; i < swims.size(); ++i)
            out.without_one.push_back(part_of(nuisance, day.which, y, out.conditions.size(), i));
    out.swims = static_cast<int>(swims.size());
    out.time = seconds(maths::exp(std::accumulate(y.begin(), y.end(), 0.0) / static_cast<double>(y.size())));
    out.day_sd = coefficients.value("trials.day_effort");
    out.slip_chance = coefficients.value("trials.slip_chance");
    out.ln_no_slip = maths::log1p(-out.slip_chance);
    out.slip_density = 0.5 / coefficients.value("trials.slip_range");
    return out;
}

double ln_likelihood(PoolTestEvidence const& evidence, double const* effects, double cv,
                     double watch_sd_relative) {
    std::vector<double const*> rows(evidence.conditions.size());
    std::iota(rows.begin(), rows.end(), effects);
    double out = 0.0;
    DrawsLikelihood(evidence, watch_sd_relative)(rows.data(), &cv, 1, &out);
    return out;
}

// --- order ------------------------------------------------------------------------------------------

std::vector<int> mirrored_order(int conditions, int each) {
    detail::require("conditions", conditions, 2, 6, Dimension::number, "");
    detail::require("swims of each condition", each, 1, 50, Dimension::number, "");
    std::vector<int> order;
    for (int block = 0; block < each; ++block)
        for (int k = 0; k < conditions; ++k) {
            int const place =
                block % 2 == 0 ? k : conditions - 1 - k; // every second block is the mirror of the first
            order.push_back((place + block / 2) % conditions);
        }
    return order;
}

OrderQuality quality_of(std::vector<int> const& order, int a, int b, int degree) {
    std::vector<double> at, ones(order.size(), 1.0);
    std::map<int, std::vector<double>> is;
    for (int const condition : order) is[condition];
    for (std::size_t i = 0; i < order.size(); ++i) {
        at.push_back(static_cast<double>(i));
        for (auto& [condition, column] : is) column.push_back(order[i] == condition ? 1.0 : 0.0);
    }
    if (is.count(a) == 0 || is.count(b) == 0 || a == b)
        throw InvalidInput("conditions", fmt::format("{} and {}", a, b), "two different ones of the order");
    // Variance of a contrast and its projection do not need y: information of the conditions once level and trend are off.
    auto const variance = [&](int power) {
        PoolTestEvidence::Part const part = [&] {
            std::vector<std::size_t> which;
            std::vector<int> names;
            for (auto const& [condition, column] : is) names.push_back(condition);
            for (int const condition : order)
                which.push_back(static_cast<std::size_t>(std::find(names.begin(), names.end(), condition)
                                                         - names.begin()));
            return part_of(level_and_trend(at, power), which, ones, is.size(), none_left_out);
        }();
        auto const count = static_cast<Index>(is.size());
        MatrixXd information = MatrixXd::Zero(count, count);
        VectorXd moment = VectorXd::Zero(count);
        add_information({part}, 1.0, 0.0, information, moment);
        // Any common level will do: pin it.
        information += MatrixXd::Ones(count, count);
        MatrixXd const covariance = information.inverse();
        auto const i = static_cast<Index>(std::distance(is.begin(), is.find(a))),
                   j = static_cast<Index>(std::distance(is.begin(), is.find(b)));
        return covariance(i, i) + covariance(j, j) - 2.0 * covariance(i, j);
    };
    auto const mean_place = [&](int condition) {
        double sum = 0.0, n = 0.0;
        for (std::size_t i = 0; i < order.size(); ++i)
            if (order[i] == condition) {
                sum += at[i];
                n += 1.0;
            }
        return sum / n;
    };
    return {std::sqrt(variance(degree) / variance(0)),
            (mean_place(b) - mean_place(a)) / (at.back() - at.front())};
}

TestPlan test_plan(int conditions, int each, Time swim, Coefficients const& coefficients) {
    constexpr int each_a_day = 4, most_days = 5;
    TestPlan plan{std::clamp((each + each_a_day - 1) / each_a_day, 1, most_days), {}, seconds(0.0), {}};
    int const pairs = (each + 1) / 2; // whole pairs of mirrored blocks on each day but the last
    for (int day = 0, before = 0; day < plan.days; ++day) {
        int const here = std::min(2 * (pairs * (day + 1) / plan.days), each) - before;
        before += here;
        plan.order.push_back(mirrored_order(conditions, here));
        // Every second day begins with another condition.
        for (int& k : plan.order.back()) k = (k + day) % conditions;
    }
    constexpr double whole = 30.0; // what a pace clock shows well
    plan.rest = seconds(
        std::max(whole, whole * std::round(coefficients.value("trials.rest") * swim.value() / whole)));
    plan.why = {
        "Mirrored blocks: a swimmer who tires or warms up steadily takes nothing from either condition.",
        fmt::format(
            "About {:.0f} s of rest, so that speed holds: a trend of more than 3 % over the set spoils it.",
            plan.rest.value())};
    if (plan.days > 1)
        plan.why.push_back(fmt::format("{} days: effort and habit differ from day to day, and only days "
                                       "average them. 4 + 4 swims on five days "
                                       "say as much as 20 + 20 on one.",
                                       plan.days));
    return plan;
}

} // namespace libdrag
