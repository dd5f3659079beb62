#pragma once
/// @file
/// The evidence table: published measurements beside what this library predicts for the same conditions,
/// with 95 % intervals. Rows that a coefficient was set with are marked as calibration; all others are
/// predictions and stay in whether they hit or miss. `libdrag/data/evidence.csv` holds the measurements.

#include <optional>
#include <string>
#include <vector>

#include <libdrag/swim.hpp>
#include <libdrag/uncertainty.hpp>

namespace libdrag {

enum class Role { calibration, prediction };

struct EvidenceRow {
    std::string id;
    Role role;
    std::string quantity, unit;
    double measured;
    std::optional<double> sd; ///< between the swimmers of the sample
    std::optional<int> n;
    Estimate predicted; ///< of the mean of such a sample
    bool inside;        ///< measured within the interval
    std::string source; ///< full citation
    std::string verified;
    std::string note;
};

struct Evidence {
    std::vector<EvidenceRow> rows;
    double coverage;          ///< share of the prediction rows that are inside
    double half_width_median; ///< of the prediction rows, half the interval over the prediction
    int predictions, calibrations;
};

/// A few thousand draws are enough for the ends of intervals that are printed with three digits.
inline Options const evidence_options{4000};

/// All rows. Each is predicted by the same functions that answer everything else, for the mean of a sample
/// as large as the study's (of usual size where it does not say), and of what the study could resolve where it
/// says so.
Evidence evidence(Options const& options = evidence_options, Coefficients const& coefficients = {});

} // namespace libdrag
