#pragma once
/// @file
/// Is it closing? Hip drops seen over weeks, or gaps by the watch, to a change, the chance that there is one at all, and
/// the chance that it is worth anything in a race. Film to follow, time to know what it is worth.
///
/// Up to five sessions a straight line through them, each weighed with how well it was read and how much a session's
/// drop wobbles about that of her weeks. From six on a local level with a drift (Harvey 1989, Forecasting, Structural
/// Time Series Models and the Kalman Filter, 3.1; smoothing as in Rauch, Tung, Striebel 1965, AIAA J 3:1445-1450),
/// which follows a step and does not mind gaps between dates.

#include <optional>
#include <string>
#include <vector>

#include <libdrag/coefficients.hpp>
#include <libdrag/cost.hpp>
#include <libdrag/measurement.hpp>
#include <libdrag/trials.hpp>
#include <libdrag/units.hpp>

namespace libdrag {

/// What one day showed: a drop, or how much slower breathing was by the watch, or both.
struct Session {
    Date date;
    std::optional<WithSd<Angle>> drop{}; ///< its SD is of the reading alone
    std::optional<Uncertain> gap{};      ///< share of the time, with its standard error
};
/// Sessions of one stroke, of the condition seen most often, several readings of a day as one. A reading without an SD
/// has that of a film (less with more breaths) or of the eye. Where the sides of the films differ, the roll of the body
/// is no longer the same in all and counts as an error.
/// @param body for drops in centimetres
/// @param notes gets what was left aside
std::vector<Session> sessions_of(std::vector<Measurement> const& measurements, Stroke stroke,
                                 std::optional<Body> const& body, std::vector<std::string>& notes,
                                 Coefficients const& coefficients = {});

/// What a degree is worth in her race.
struct Worth {
    Time race;
    std::vector<double> seconds_per_degree; ///< draws of it, equally likely
};
/// Draws spread as the interval of a price is: log-normal on either side of its median.
Worth worth_of(Time race, Interval<Time> const& per_degree);

struct Progress {
    int sessions, weeks; ///< weeks from the first to the last, to the nearest
    bool by_film;        ///< else by the watch
    bool straight;       ///< a line; else level and drift
    /// By film; below 0: the hips drop less.
    std::optional<Interval<Angle>> per_week, change;
    /// By the watch, per cent of the time.
    std::optional<Estimate> gap_per_week, gap_change;
    double closing;                            ///< chance that there is less of it now than at first
    std::optional<Interval<Time>> change_time; ///< of the race, by the change; below 0: faster
    std::optional<double> worthwhile; ///< chance that the race is faster by the smallest worthwhile time
    std::optional<Time> smallest_worthwhile;
    struct Level {
        Date date;
        double value, sd; ///< degrees, or per cent of the time
    };
    std::vector<Level> levels; ///< where she stood on each day, after all of them
    std::string doubt;         ///< what makes the change uncertain, the largest first
    std::vector<std::string> notes, cautions;
};

/// A verdict needs this chance.
inline constexpr double settled = 0.95;

/// @throws InvalidInput for fewer than two days, one day only, SDs that are not above 0, drops beyond 45 deg
Progress progress(std::vector<Session> sessions, std::optional<Worth> const& worth = std::nullopt,
                  double level = 0.95, Coefficients const& coefficients = {});

/// What a face asks.
struct ProgressRequest {
    std::string swimmer;
    std::vector<Session> sessions;
    std::optional<CostRequest> race{}; ///< in which the change is priced, with a drop as they were
    Coefficients coefficients{};
    std::vector<std::string> notes{};
};
/// The same with a degree priced in her race, and all notes and cautions.
Progress progress(ProgressRequest const& request, Options const& options = {});

/// "Closing: ...", "Not closing: ...", "Not settled: ...", one sentence to read aloud.
std::string verdict(Progress const& progress);

} // namespace libdrag
