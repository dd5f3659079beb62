#include <libdrag/sources.hpp>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <set>
#include <string>

#include "close.hpp"
#include "tables.hpp"

namespace sources_test {

using namespace libdrag;

TEST_CASE("rows are unique, sorted, cited and sane") {
    std::set<std::string_view> known;
    for (auto const& reference : references) {
        CAPTURE(reference.key);
        CHECK(known.insert(reference.key).second);
        CHECK_FALSE(reference.text.empty());
    }
    std::set<std::string_view> keys;
    std::string_view previous;
    for (auto const& row : sources) {
        CAPTURE(row.key);
        CHECK(keys.insert(row.key).second);
        CHECK(previous < row.key);
        previous = row.key;
        CHECK(std::isfinite(row.value));
        CHECK(row.sd >= 0.0);
        CHECK_FALSE(row.unit.empty());
        CHECK_FALSE(row.validity.empty());
        CHECK(known.count(row.reference) == 1);
        CHECK_FALSE(citation(row).empty());
        // What we assume ourselves must not pass for a publication, and the other way round.
        CHECK((row.verified == Verified::assumption ? row.reference == "libdrag" : true));
    }
}

TEST_CASE("no row without a reader, no reference without a row") {
    std::string code;
    for (std::string const folder : {"/../src", "/../include/libdrag"})
        for (auto const& entry : std::filesystem::directory_iterator(LIBDRAG_DATA_DIR + folder)) {
            std::ifstream in(entry.path());
            std::string const text((std::istreambuf_iterator<char>(in)), std::istreambuf_iterator<char>());
            if (entry.path().filename() != "sources.hpp") code += text;
        }
    REQUIRE(code.size() > 10000);
    std::set<std::string_view> cited;
    for (auto const& row : sources) {
        CAPTURE(row.key);
        cited.insert(row.reference);
        // Keys are written whole, or put together from a prefix and an enumerator's word.
        std::string const key(row.key);
        std::size_t const last_dot = key.rfind('.');
        std::size_t const first_dot = key.rfind('.', last_dot - 1);
        bool const whole = code.find("\"" + key + "\"") != std::string::npos;
        bool const by_prefix = code.find("\"" + key.substr(0, last_dot + 1) + "\"") != std::string::npos;
        bool const by_both_ends = code.find("\"" + key.substr(0, first_dot + 1) + "\"") != std::string::npos
                                  && code.find("\"" + key.substr(last_dot) + "\"") != std::string::npos;
        CHECK((whole || by_prefix || by_both_ends));
    }
    for (auto const& row : tables::evidence) cited.insert(row.reference);
    for (auto const& reference : references) {
        CAPTURE(reference.key);
        CHECK(cited.count(reference.key) == 1);
    }
}

TEST_CASE("the table is read at compile time and at run time from the same row") {
    static_assert(published("friction.ittc57.numerator") == 0.075);
    CHECK(source(std::string("tilt.slope")).value == published("tilt.slope"));
    CHECK_THROWS_WITH_AS(source("tilt.slop"), doctest::Contains("tilt.slope"), UnknownKey);
}

} // namespace sources_test
