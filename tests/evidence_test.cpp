#include <libdrag/evidence.hpp>

#include <set>

#include "close.hpp"

using namespace libdrag;

TEST_CASE("the evidence table is complete, honest and narrow enough to mean something") {
    Evidence const table = evidence();
    std::set<std::string> ids;
    int inside = 0, predictions = 0;
    for (EvidenceRow const& row : table.rows) {
        CAPTURE(row.id);
        CHECK(ids.insert(row.id).second);
        CHECK_FALSE(row.source.empty());
        CHECK((row.verified == "read" || row.verified == "derived" || row.verified == "memory"));
        CHECK(row.predicted.low <= row.predicted.median);
        CHECK(row.predicted.median <= row.predicted.high);
        CHECK(row.inside == (row.measured >= row.predicted.low && row.measured <= row.predicted.high));
        // A row that misses says why.
        if (row.role == Role::prediction && !row.inside) CHECK_FALSE(row.note.empty());
        if (row.role != Role::prediction) continue;
        ++predictions;
        inside += row.inside ? 1 : 0;
    }
    CHECK(table.rows.size() >= 45);
    CHECK(table.predictions >= 30);
    CHECK(predictions == table.predictions);
    CHECK_CLOSE(table.coverage, static_cast<double>(inside) / predictions, 1e-12);
    // Reported as it falls; these bounds only catch a model that has come apart.
    CHECK(table.coverage > 0.75);
    CHECK(table.half_width_median < 0.45);
}

TEST_CASE("a replaced coefficient moves the predictions that rest on it") {
    Coefficients c;
    c.replace("resistance.passive.cd", 0.9, 0.076);
    Evidence const usual = evidence({500}), heavier = evidence({500}, c);
    REQUIRE(usual.rows.size() == heavier.rows.size());
    for (std::size_t i = 0; i < usual.rows.size(); ++i)
        if (usual.rows[i].quantity == "passive_N")
            CHECK(heavier.rows[i].predicted.median > 1.5 * usual.rows[i].predicted.median);
}
