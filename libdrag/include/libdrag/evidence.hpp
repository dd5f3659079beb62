#pragma once
/// @file
/// The evidence table: published measurements beside what this library predicts for the same conditions from all
/// *other* studies. `libdrag/data/evidence.csv` holds the measurements, `fit_posterior` weighs the coefficients with
/// all of them; every row stays in whether it hits or misses.

#include <optional>
#include <string>
#include <vector>

#include <libdrag/posterior.hpp>
#include <libdrag/swim.hpp>
#include <libdrag/uncertainty.hpp>

namespace libdrag {

struct EvidenceRow {
    std::string id;
    std::string study; ///< rows of one data set share it
    std::string kind;  ///< swimmer, mannequin, computed, regression
    std::string skill; ///< trained, untrained
    std::string quantity, unit;
    double measured;
    std::optional<double> sd; ///< between the swimmers of the sample
    std::optional<int> n;
    Estimate predicted; ///< of the mean of such a sample in another study, without this row's own study
    Estimate if_known;  ///< the same with exact coefficients: how far samples and studies differ
    bool inside;        ///< measured within the interval
    std::string source; ///< full citation
    std::string verified;
    std::string note;
};

/// What one more study of twenty swimmers would be worth: share of the variance it is expected to take.
struct Narrowing {
    std::string measurement; ///< in words
    double price;            ///< of ln of what a hip drop costs in the standard race
    double drag;             ///< of ln of a crawl swimmer's active drag
};

struct Evidence {
    std::vector<EvidenceRow> rows;
    double coverage;                 ///< share of the rows that are inside
    double coverage_50, coverage_80; ///< inside the intervals of 50 and 80 %
    double half_width_median;        ///< half the interval over the prediction
    double half_width_known;         ///< that with exact coefficients: samples and studies differ
    double log_score;                ///< sum of ln of the predictive densities, on the scale of each quantity
    int studies;
    std::array<double, tilt_laws> law_weights; ///< of the tilt models, given all rows
    std::vector<Narrowing> narrowing;          ///< most for the price first
};

/// All rows, each predicted by the same functions that answer everything else. No random numbers: only the level of
/// the options counts. A replaced coefficient is what its user says: the rows do not move it.
Evidence evidence(Options const& options = {}, Coefficients const& coefficients = {});

/// What all rows say about the coefficients: what `posterior` holds, computed.
Posterior fit_posterior(Coefficients const& coefficients = {});
/// The text of `libdrag/data/posterior.csv`.
std::string to_csv(Posterior const& posterior);

} // namespace libdrag
