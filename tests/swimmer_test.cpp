#include <libdrag/swimmer.hpp>

#include <filesystem>
#include <fstream>
#include <string>

#include "close.hpp"

namespace swimmer_test {

using namespace libdrag;
using namespace libdrag::literals;

TEST_CASE("a swimmer survives the file") {
    Swimmer swimmer;
    swimmer.name = "Demo \"quoted\" é";
    swimmer.sex = Sex::female;
    swimmer.stature = 1.72_m;
    swimmer.mass = 63.4_kg;
    swimmer.dimensions["chest_girth"] = 0.905_m;
    swimmer.incline = degrees(9.5);
    swimmer.k = SpeedSpecificDrag::from_value(28.25);
    swimmer.record = "her tests.csv";
    Swimmer const back = parse_swimmer("memory", to_json(swimmer));
    CHECK(back.name == swimmer.name);
    CHECK(back.sex == swimmer.sex);
    CHECK_CLOSE(back.stature->value(), 1.72, 1e-12);
    CHECK_CLOSE(back.mass->value(), 63.4, 1e-12);
    CHECK_CLOSE(back.dimensions.at("chest_girth").value(), 0.905, 1e-12);
    CHECK_CLOSE(in_degrees(*back.incline), 9.5, 1e-12);
    CHECK_CLOSE(back.k->value(), 28.25, 1e-12);
    CHECK(back.record == swimmer.record);
    CHECK(back.body().dimension("chest_girth").measured);
}

TEST_CASE("broken files say where and what") {
    auto const refused = [](std::string const& text, char const* word) {
        CAPTURE(text);
        CHECK_THROWS_WITH(parse_swimmer("x.json", text), doctest::Contains(word));
    };
    refused("{\n  \"sex\": f\n}", "line 2");
    refused("{\"sex\": \"f\"", "column");
    refused("[1, 2]", "object");
    refused("{\"height\": \"172cm\"}", "unknown key in x.json 'height'");
    refused("{\"statur\": \"172cm\"}", "stature");
    refused("{\"stature\": 172}", "unit in quotes");
    refused("{\"stature\": \"63kg\"}", "stature in x.json");
    refused("{\"dimensions\": [1]}", "object");
    refused("{\"sex\": \"x\"}", "unknown sex");
    CHECK_THROWS_WITH((void)parse_swimmer("x.json", "{}").body(), doctest::Contains("height"));
    CHECK_THROWS_AS(
        (void)parse_swimmer("x.json", R"({"stature":"172cm","mass":"63kg","dimensions":{"nose":"6cm"}})")
            .body(),
        UnknownKey);
}

TEST_CASE("where her record is, her file says from its own folder") {
    auto const folder = std::filesystem::temp_directory_path() / "libdrag_swimmer_record_test";
    std::filesystem::remove_all(folder);
    std::filesystem::create_directories(folder / "girls");
    auto const file = (folder / "girls" / "demo.json").string();
    Swimmer swimmer;
    auto const written_and_read = [&](std::filesystem::path const& record) {
        swimmer.record = record.string();
        write_swimmer(swimmer, file, true);
        std::ifstream in(file);
        return std::pair(parse_swimmer("x", std::string(std::istreambuf_iterator<char>(in), {})).record,
                         std::filesystem::path(read_swimmer(file).record).lexically_normal());
    };
    auto const squad = folder / "squad.csv";
    // From one place to another both are as they are; one that is named from the root stays so.
    CHECK(written_and_read(squad) == std::pair(squad.string(), squad));
    auto const here = std::filesystem::current_path();
    std::filesystem::current_path(folder);
    CHECK(written_and_read("squad.csv") == std::pair(std::string("../squad.csv"), squad));
    std::filesystem::current_path(here);
    swimmer.record.clear();
    write_swimmer(swimmer, file, true);
    CHECK(read_swimmer(file).record.empty());
    std::filesystem::remove_all(folder);
}

TEST_CASE("an existing file is never lost") {
    auto const folder = std::filesystem::temp_directory_path() / "libdrag_swimmer_test";
    std::filesystem::create_directories(folder);
    std::string const path = (folder / "demo.json").string();
    std::filesystem::remove(path);
    Swimmer swimmer;
    swimmer.stature = 1.72_m;
    swimmer.mass = 63.0_kg;
    write_swimmer(swimmer, path, false);
    CHECK_CLOSE(read_swimmer(path).mass->value(), 63.0, 1e-12);
    swimmer.mass = 64.0_kg;
    CHECK_THROWS_AS(write_swimmer(swimmer, path, false), InvalidInput);
    CHECK_CLOSE(read_swimmer(path).mass->value(), 63.0, 1e-12);
    write_swimmer(swimmer, path, true);
    CHECK_CLOSE(read_swimmer(path).mass->value(), 64.0, 1e-12);
    CHECK_THROWS_AS(write_swimmer(swimmer, (folder / "no" / "such" / "place.json").string(), true),
                    InvalidInput);
    // Nothing is left beside it.
    CHECK(std::distance(std::filesystem::directory_iterator(folder), std::filesystem::directory_iterator{})
          == 1);
    CHECK_THROWS_AS(read_swimmer((folder / "absent.json").string()), InvalidInput);
    CHECK_THROWS_AS(read_swimmer(folder.string()), InvalidInput);
    std::ofstream((folder / "empty.json").string()).flush();
    CHECK_THROWS_WITH(read_swimmer((folder / "empty.json").string()), doctest::Contains("empty"));
    std::filesystem::remove_all(folder);
}

} // namespace swimmer_test
