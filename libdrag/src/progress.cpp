#include <libdrag/progress.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

#include <Eigen/Dense>
#include <fmt/format.h>

#include <libdrag/quantity.hpp>
#include <libdrag/regression.hpp>

#include "maths.hpp"

namespace libdrag {

namespace {

using Vector3 = Eigen::Vector3d;
using Matrix3 = Eigen::Matrix3d;

/// A day's value, in degrees or per cent, at so many weeks from the first.
struct SeenDay {
    double week, value, variance;
};

/// What may be: a mixture of normals.
struct Normal {
    double weight, mean, sd;
};
using Normals = std::vector<Normal>;

double share_below(Normals const& mixture, double x) {
    double below = 0.0;
    for (Normal const& part : mixture) below += part.weight * normal_share_below((x - part.mean) / part.sd);
    return below;
}

/// Where a share p of something increasing in x lies below, starting from an interval that surely holds it.
template <class Share> double quantile_of(Share const& share, double low, double high, double p) {
    for (int k = 0; k < 60; ++k) {
        double const x = 0.5 * (low + high);
        (share(x) < p ? low : high) = x;
    }
    return 0.5 * (low + high);
}

std::pair<double, double> reach_of(Normals const& mixture) {
    constexpr double far = 9.0; // standard deviations
    double low = mixture[0].mean, high = low;
    for (Normal const& part : mixture) {
        low = std::min(low, part.mean - far * part.sd);
        high = std::max(high, part.mean + far * part.sd);
    }
    return {low, high};
}

template <class Share> Estimate interval_of_share(Share const& share, double low, double high, double level) {
    auto const at = [&](double p) { return quantile_of(share, low, high, p); };
    return {at(0.5), at(0.5 - 0.5 * level), at(0.5 + 0.5 * level), level};
}

struct Path {
    Normals change; ///< from the first day to the last
    std::vector<Progress::Level> levels;
    double largest_step = 0.0; ///< of a day against all before it, in standard deviations
    std::size_t step_at = 0;
};

/// Weighted least squares with known variances.
Path line_through(std::vector<SeenDay> const& seen) {
    double weight = 0.0, week = 0.0, value = 0.0;
    for (SeenDay const& s : seen) {
        weight += 1.0 / s.variance;
        week += s.week / s.variance;
        value += s.value / s.variance;
    }
    week /= weight;
    value /= weight;
    double squares = 0.0, product = 0.0;
    for (SeenDay const& s : seen) {
        squares += (s.week - week) * (s.week - week) / s.variance;
        product += (s.week - week) * (s.value - value) / s.variance;
    }
    double const slope = product / squares, weeks = seen.back().week - seen.front().week;
    Path path{{{1.0, slope * weeks, weeks / std::sqrt(squares)}}, {}};
    for (SeenDay const& s : seen)
        path.levels.push_back({{},
                               value + slope * (s.week - week),
                               std::sqrt(1.0 / weight + (s.week - week) * (s.week - week) / squares)});
    return path;
}

struct Smoothed {
    double ln_likelihood;
    Path path;
};

/// Level, drift and the first day's level; the walk's variance grows with the weeks. The first day is flat prior: its
/// level is what was seen.
Smoothed smoothed_over(std::vector<SeenDay> const& seen, double drift_sd, double walk) {
    std::size_t const n = seen.size();
    std::vector<Vector3> mean(n), ahead(n);
    std::vector<Matrix3> spread(n), spread_ahead(n), step(n, Matrix3::Identity());
    mean[0] = Vector3(seen[0].value, 0.0, seen[0].value);
    double const first = seen[0].variance;
    spread[0] << first, 0.0, first, 0.0, drift_sd * drift_sd, 0.0, first, 0.0, first;
    Smoothed out{0.0, {}};
    for (std::size_t i = 1; i < n; ++i) {
        double const weeks = seen[i].week - seen[i - 1].week;
        step[i](0, 1) = weeks;
        ahead[i] = step[i] * mean[i - 1];
        spread_ahead[i] = step[i] * spread[i - 1] * step[i].transpose();
        spread_ahead[i](0, 0) += walk * walk * weeks;
        double const surprise = seen[i].value - ahead[i][0],
                     variance = spread_ahead[i](0, 0) + seen[i].variance;
        Vector3 const gain = spread_ahead[i].col(0) / variance;
        mean[i] = ahead[i] + gain * surprise;
        spread[i] = spread_ahead[i] - gain * gain.transpose() * variance;
        out.ln_likelihood -= 0.5 * (maths::log(variance) + surprise * surprise / variance);
        if (i > 1 && std::abs(surprise) / std::sqrt(variance) > out.path.largest_step) {
            out.path.largest_step = std::abs(surprise) / std::sqrt(variance);
            out.path.step_at = i;
        }
    }
    Vector3 const contrast(1.0, 0.0, -1.0);
    out.path.change = {{1.0, contrast.dot(mean[n - 1]), std::sqrt(contrast.dot(spread[n - 1] * contrast))}};
    std::vector<Progress::Level>& levels = out.path.levels;
    levels.resize(n);
    levels[n - 1] = {{}, mean[n - 1][0], std::sqrt(spread[n - 1](0, 0))};
    for (std::size_t i = n - 1; i-- > 0;) {
        Matrix3 const gain = spread[i] * step[i + 1].transpose() * spread_ahead[i + 1].inverse();
        mean[i] += gain * (mean[i + 1] - ahead[i + 1]);
        spread[i] += gain * (spread[i + 1] - spread_ahead[i + 1]) * gain.transpose();
        levels[i] = {{}, mean[i][0], std::sqrt(spread[i](0, 0))};
    }
    return out;
}

/// How unsteady she is the sessions decide, among a few.
Path level_and_drift(std::vector<SeenDay> const& seen, Coefficients const& coefficients) {
    constexpr int walks = 6;
    double walk = coefficients.value("progress.walk"), most = -1e300;
    std::vector<Smoothed> all;
    for (int k = 0; k < walks; ++k, walk *= 2.0) {
        all.push_back(smoothed_over(seen, coefficients.value("progress.drift"), walk));
        most = std::max(most, all.back().ln_likelihood);
    }
    double sum = 0.0;
    for (Smoothed const& one : all) sum += maths::exp(one.ln_likelihood - most);
    Path path{{}, std::vector<Progress::Level>(seen.size(), Progress::Level{})};
    for (Smoothed const& one : all) {
        double const weight = maths::exp(one.ln_likelihood - most) / sum;
        path.change.push_back(one.path.change.front());
        path.change.back().weight = weight;
        for (std::size_t i = 0; i < seen.size(); ++i) {
            Progress::Level const& level = one.path.levels[i];
            path.levels[i].value += weight * level.value;
            path.levels[i].sd += weight * (level.sd * level.sd + level.value * level.value);
        }
    }
    // A step is what surprises a steady swimmer's model.
    path.largest_step = all.front().path.largest_step;
    path.step_at = all.front().path.step_at;
    for (Progress::Level& level : path.levels)
        level.sd = std::sqrt(std::max(level.sd - level.value * level.value, 0.0));
    return path;
}

constexpr std::size_t state_space_from = 6;

bool is_positive(double x) { return x > 0.0 && std::isfinite(x); }

} // namespace

std::vector<Session> sessions_of(std::vector<Measurement> const& measurements, Stroke stroke,
                                 std::optional<Body> const& body, std::vector<std::string>& notes,
                                 Coefficients const& coefficients) {
    std::map<std::string, int> often;
    std::vector<SeenFrom> seen_from;
    for (Measurement const& measurement : measurements)
        if (auto const* seen = std::get_if<SeenDrop>(&measurement); seen != nullptr && seen->stroke == stroke)
            ++often[to_string(seen->how)];
    auto const usual = std::max_element(often.begin(), often.end(),
                                        [](auto const& a, auto const& b) { return a.second < b.second; });
    for (Measurement const& measurement : measurements)
        if (auto const* seen = std::get_if<SeenDrop>(&measurement);
            seen != nullptr && seen->stroke == stroke && to_string(seen->how) == usual->first
            && seen->from != SeenFrom::deck
            && std::find(seen_from.begin(), seen_from.end(), seen->from) == seen_from.end())
            seen_from.push_back(seen->from);
    if (often.size() > 1)
        notes.push_back("Drops of " + usual->first + " are compared, those of other patterns left aside.");
    if (seen_from.size() > 1)
        notes.push_back("The films are not all from the same side: the roll of the body, which reads as "
                        "drop, counts as an error. "
                        "Film from the same side every time, or from both.");

    std::vector<Session> sessions;
    for (Measurement const& measurement : measurements) {
        if (auto const* seen = std::get_if<SeenDrop>(&measurement);
            seen != nullptr && seen->stroke == stroke) {
            if (to_string(seen->how) != usual->first) continue;
            auto const angle = [&](std::variant<Angle, Length> const& given, std::string_view field) {
                if (auto const* plain = std::get_if<Angle>(&given)) return *plain;
                if (!body)
                    throw InvalidInput(std::string(field), format(std::get<Length>(given), "cm"),
                                       "an angle where the swimmer's height and mass are not given");
                return hip_drop_angle(given, *body);
            };
            Angle sd;
            if (seen->sd) sd = angle(*seen->sd, "drop sd");
            else if (seen->from == SeenFrom::deck) sd = degrees(coefficients.value("progress.by_eye"));
            else
                sd = degrees(coefficients.value("breath.measured_drop.sd")
                             / std::sqrt(std::max(seen->breaths, 1)));
            if (seen_from.size() > 1 && (seen->from == SeenFrom::toward || seen->from == SeenFrom::away))
                sd = radians(maths::hypot(sd.value(), degrees(coefficients.value("progress.roll")).value()));
            sessions.push_back({seen->date, WithSd<Angle>{angle(seen->drop, "drop"), sd}, std::nullopt});
        } else if (auto const* test = std::get_if<PoolTest>(&measurement);
                   test != nullptr && test->stroke == stroke) {
            try {
                Watch const seen_by_watch = watch({*test}, std::nullopt, 0.95, coefficients);
                sessions.push_back({test->date, std::nullopt,
                                    Uncertain{maths::log1p(seen_by_watch.gap().percent / 100.0),
                                              seen_by_watch.gap().se_percent / 100.0}});
            } catch (InvalidInput const& error) {
                notes.push_back("The swims of " + to_string(test->date)
                                + " say nothing of a gap: " + error.what());
            }
        }
    }
    return sessions;
}

Worth worth_of(Time race, Interval<Time> const& per_degree) {
    constexpr int points = 200;
    double const reach = normal_quantile(0.5 + 0.5 * per_degree.level), middle = per_degree.median.value();
    Worth worth{race, {}};
    for (int k = 0; k < points; ++k) {
        double const z = normal_quantile((k + 0.5) / points);
        double const end = z < 0.0 ? per_degree.low.value() : per_degree.high.value();
        worth.seconds_per_degree.push_back(
            middle > 0.0 && end > 0.0 ? middle * maths::pow(end / middle, std::abs(z) / reach) : 0.0);
    }
    return worth;
}

Progress progress(std::vector<Session> sessions, std::optional<Worth> const& worth, double level,
                  Coefficients const& coefficients) {
    detail::require("level", level, 0.5, 0.999, Dimension::number, "");
    Progress out{};
    std::stable_sort(sessions.begin(), sessions.end(),
                     [](Session const& a, Session const& b) { return a.date < b.date; });
    auto const days_with = [&](auto const& has) {
        int days = 0;
        Date last{};
        for (Session const& s : sessions)
            if (has(s) && (days == 0 || s.date != last)) {
                ++days;
                last = s.date;
            }
        return days;
    };
    int const filmed = days_with([](Session const&s) { return s.drop.has_value(); }),
              timed = days_with([](Session const&s) { return s.gap.has_value(); });
    if (std::max(filmed, timed) < 2)
        throw InvalidInput(
            "sessions", filmed + timed == 0 ? "none" : fmt::format("{} with a drop, {} timed", filmed, timed),
            "drops of two days or more, or timed swims of two: one day has nothing to close from");
    out.by_film = filmed >= 2;

    // One value a day: readings of a day are weighed together, its wobble is common to them.
    double const wobble =
        out.by_film ? coefficients.value("progress.wobble") : 100.0 * coefficients.value("trials.day_effort");
    std::vector<SeenDay> seen;
    std::vector<Date> dates;
    double precision = 0.0;
    for (Session const& s : sessions) {
        if (out.by_film ? !s.drop : !s.gap) continue;
        double const value = out.by_film ? in_degrees(s.drop->value) : 100.0 * s.gap->value;
        double const sd = out.by_film ? in_degrees(s.drop->sd) : 100.0 * s.gap->sd;
        if (!is_positive(sd))
            throw InvalidInput(out.by_film ? "drop sd" : "se of the gap",
                               format_number(sd, 3) + " on " + to_string(s.date), "above 0");
        if (out.by_film)
            detail::require("hip drop", s.drop->value.value(), degrees(-45.0).value(), degrees(45.0).value(),
                            Dimension::angle, "deg");
        else detail::require("gap", s.gap->value, -1.0, 1.0, Dimension::number, "");
        if (dates.empty() || dates.back() != s.date) {
            dates.push_back(s.date);
            seen.push_back({days_between(dates.front(), s.date) / 7.0, 0.0, 0.0});
            precision = 0.0;
        }
        SeenDay& day = seen.back();
        double const weight = 1.0 / (sd * sd);
        day.value = (day.value * precision + value * weight) / (precision + weight);
        precision += weight;
        day.variance = 1.0 / precision + wobble * wobble;
    }
    out.sessions = static_cast<int>(seen.size());
    double const weeks = seen.back().week;
    out.weeks = static_cast<int>(std::lround(weeks));
    // What a week may bring is known for drops alone; gaps by the watch are too rough to follow otherwise than by a line.
    out.straight = seen.size() < state_space_from || !out.by_film;

    Path path = out.straight ? line_through(seen) : level_and_drift(seen, coefficients);
    for (std::size_t i = 0; i < dates.size(); ++i) path.levels[i].date = dates[i];
    out.levels = path.levels;
    auto const [low, high] = reach_of(path.change);
    auto const below = [&](double x) { return share_below(path.change, x); };
    Estimate const change = interval_of_share(below, low, high, level);
    Estimate const per_week{change.median / weeks, change.low / weeks, change.high / weeks, level};
    out.closing = below(0.0);
    if (out.by_film) {
        out.change = degrees(change);
        out.per_week = degrees(per_week);
    } else {
        out.gap_change = change;
        out.gap_per_week = per_week;
    }

    if (worth) {
        double const race = worth->race.value();
        if (!is_positive(race) || worth->seconds_per_degree.empty())
            throw InvalidInput("time", format_number(race, 3) + " s", "above 0 s, with a price for a degree");
        std::vector<double> each{race / 100.0};
        if (out.by_film) {
            // Up to 200 equally likely prices.
            each = worth->seconds_per_degree;
            std::sort(each.begin(), each.end());
            constexpr std::size_t most = 200;
            if (each.size() > most) {
                std::vector<double> fewer;
                for (std::size_t k = 0; k < most; ++k)
                    fewer.push_back(each[(2 * k + 1) * each.size() / (2 * most)]);
                each = fewer;
            }
        }
        auto const faster_than = [&](double x) { // share of changes below x seconds
            double sum = 0.0;
            for (double const price : each) sum += price > 0.0 ? below(x / price) : x >= 0.0 ? 1.0 : 0.0;
            return sum / static_cast<double>(each.size());
        };
        double const dearest = std::max(*std::max_element(each.begin(), each.end()), 1e-12);
        out.change_time = interval_of<Time>(interval_of_share(faster_than, std::min(low, -1e-9) * dearest,
                                                              std::max(high, 1e-9) * dearest, level));
        out.smallest_worthwhile = coefficients.value("progress.worthwhile") * worth->race;
        out.worthwhile = faster_than(-out.smallest_worthwhile->value());
    }

    double reading = 0.0;
    for (SeenDay const& s : seen)
        reading += (s.variance - wobble * wobble) / static_cast<double>(seen.size());
    reading = std::sqrt(reading);
    std::string const unit = out.by_film ? "deg" : "% of the time";
    std::string const read =
                          fmt::format("{} ({} {} a session)",
                                      out.by_film ? "how the films were read" : "the watch and her scatter",
                                      format_number(reading, 2), unit),
                      differs = fmt::format("how her days differ ({} {})", format_number(wobble, 2), unit);
    out.doubt = reading > wobble ? read + ", then " + differs : differs + ", then " + read;

    constexpr double a_step = 3.0;
    if (out.straight && out.by_film)
        out.notes.push_back(fmt::format(
            "{} sessions: a straight line through them. From six on steps and gaps are followed as well.",
            out.sessions));
    if (path.largest_step > a_step)
        out.notes.push_back(fmt::format("Between {} and {} the drop changed at once: another camera, another "
                                        "swimmer's day, or a real step? The next session tells.",
                                        to_string(dates[path.step_at - 1]), to_string(dates[path.step_at])));
    if (out.by_film && timed > 0)
        out.notes.push_back("Followed by film alone: timed swims add nothing to whether it closes. They say "
                            "what it is worth.");
    if (!worth && out.by_film)
        out.notes.push_back(
            "Film to follow, time to know what it is worth: with an event and a time the change is priced.");
    if (!out.by_film)
        out.cautions.push_back(
            "Followed by timed swims alone, which hardly ever show a gap closing: of 100 seasons of 12 weeks "
            "with one that closes by a quarter of a degree a week, 7. Film the drop.");
    return out;
}

Progress progress(ProgressRequest const& request, Options const& options) {
    std::optional<Worth> worth;
    std::vector<std::string> cautions;
    if (request.race) {
        CostRequest race = *request.race;
        race.doubts = false;
        Cost const price = cost(race, options);
        worth = worth_of(race.time, price.per_degree);
        cautions = price.cautions;
    }
    Progress out = progress(request.sessions, worth, options.level, request.coefficients);
    out.notes.insert(out.notes.begin(), request.notes.begin(), request.notes.end());
    if (request.race && out.by_film) out.doubt += "; in seconds also what a degree is worth";
    out.cautions.insert(out.cautions.end(), cautions.begin(), cautions.end());
    return out;
}

std::string verdict(Progress const& p) {
    auto const range = [&](auto const& interval, auto const& number) {
        return fmt::format("{} ({:.3g} % range {} to {})", number(interval.median), 100.0 * interval.level,
                           number(interval.low), number(interval.high));
    };
    // Closing is less of it: said as a positive number.
    auto const of = [&](Estimate const& change, std::string_view unit) {
        Estimate const less{-change.median, -change.high, -change.low, change.level};
        return range(less, [](double x) { return format_number(std::abs(x) < 5e-3 ? 0.0 : x, 2); }) + " "
               + std::string(unit);
    };
    std::string const what =
        p.by_film ? of(in_degrees(*p.change), "deg less") : of(*p.gap_change, "% of the time less");
    std::string const over = fmt::format("{} in {} {}", what, p.weeks, p.weeks == 1 ? "week" : "weeks");
    std::string const thing = p.by_film ? "drop" : "gap";
    auto const of_100 = [](double chance) { return std::clamp(std::lround(100.0 * chance), 1L, 99L); };
    if (p.closing >= settled)
        return fmt::format("Closing: the {} is smaller, {}; chance {} of 100.", thing, over,
                           of_100(p.closing));
    if (p.closing <= 1.0 - settled)
        return fmt::format("Growing: the {} is larger, {}; chance {} of 100.", thing, over,
                           of_100(1.0 - p.closing));
    return fmt::format(
        "Not settled: {}; chance that it closes {} of 100. Go on filming before the work is changed.", over,
        of_100(p.closing));
}

} // namespace libdrag
