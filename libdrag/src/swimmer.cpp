#include <libdrag/swimmer.hpp>

#include <algorithm>
#include <array>
#include <map>
#include <set>

#include <nlohmann/json.hpp>

#include <libdrag/quantity.hpp>

#include "exact.hpp"
#include "names.hpp"
#include "text_file.hpp"

namespace libdrag {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::array<Named<Sex>, 9> sexes{{{"f", Sex::female},
                                           {"m", Sex::male},
                                           {"average", Sex::average},
                                           {"female", Sex::female},
                                           {"male", Sex::male},
                                           {"woman", Sex::female},
                                           {"man", Sex::male},
                                           {"w", Sex::female},
                                           {"any", Sex::average}}};

std::vector<std::string_view> const swimmer_keys{"name",       "sex",     "stature", "mass",
                                                 "dimensions", "incline", "k",       "record"};

constexpr std::uintmax_t largest_megabytes = 1;
constexpr int deepest_nesting = 8;
constexpr char const* example = "{\"stature\": \"172cm\", \"mass\": \"63kg\"}";

std::string_view text_of(std::string const& field, Json const& value) {
    if (!value.is_string())
        throw InvalidInput(field, printable(value.dump()), "a text with its unit in quotes, as \"172cm\"");
    return value.get_ref<std::string const&>();
}

/// Line and column of the last character the parser took; its own count is already past a line's end.
std::string place_in(std::string_view text, std::size_t taken) {
    std::string_view const before = text.substr(0, std::min(taken, text.size()));
    std::string_view const upto = before.substr(0, before.empty() ? 0 : before.size() - 1);
    auto const line = 1 + std::count(upto.begin(), upto.end(), '\n');
    std::size_t const start = upto.rfind('\n') == std::string_view::npos ? 0 : upto.rfind('\n') + 1;
    return "a syntax error in line " + std::to_string(line) + ", column "
           + std::to_string(upto.size() - start + 1);
}

/// Refuses while parsing what the finished JSON no longer shows (a key given twice), and nesting that no
/// swimmer needs.
class Guard {
public:
    explicit Guard(std::string file) : file_(std::move(file)) {}

    bool operator()(int depth, Json::parse_event_t event, Json const& parsed) {
        if (depth > deepest_nesting)
            throw InvalidInput("swimmer file " + file_,
                               "values nested more than " + std::to_string(deepest_nesting) + " deep",
                               std::string("one JSON object, as ") + example);
        if (event == Json::parse_event_t::object_start) keys_[depth + 1].clear();
        if (event == Json::parse_event_t::key && !keys_[depth].insert(parsed.get<std::string>()).second)
            throw InvalidInput(printable(parsed.get<std::string>()) + " in " + file_, "two values", "one");
        return true;
    }

private:
    std::string file_;
    std::map<int, std::set<std::string>> keys_;
};

} // namespace

std::string_view to_string(Sex sex) { return name_of(sexes, sex); }
Sex parse_sex(std::string_view text) { return parse_name("sex", sexes, text); }

Body Swimmer::body() const {
    if (!stature) throw InvalidInput("height", "nothing", "the swimmer's stature, as 172cm or 5ft8in");
    if (!mass) throw InvalidInput("mass", "nothing", "the swimmer's mass, as 63kg or 139lb");
    return Body::estimate({sex, *stature, *mass, dimensions});
}

Swimmer parse_swimmer(std::string_view origin, std::string_view text) {
    std::string const file = printable(origin);
    Json json;
    try {
        json = Json::parse(text, Guard(file));
    } catch (Json::parse_error const& error) {
        throw InvalidInput("swimmer file " + file, place_in(text, error.byte),
                           std::string("JSON there, as in ") + example);
    } catch (Json::out_of_range const&) {
        throw InvalidInput("swimmer file " + file, "a number too large",
                           std::string("texts with their units, as in ") + example);
    }
    if (!json.is_object())
        throw InvalidInput("swimmer file " + file, printable(json.dump()), "one JSON object {...}");
    Swimmer swimmer;
    for (auto const& [key, value] : json.items()) {
        std::string const field = key + " in " + file;
        if (key == "name" || key == "record") {
            if (!value.is_string()) throw InvalidInput(field, printable(value.dump()), "a text");
            (key == "name" ? swimmer.name : swimmer.record) = value.get<std::string>();
        } else if (key == "sex") swimmer.sex = parse_sex(text_of(field, value));
        else if (key == "stature") swimmer.stature = parse<Length>(field, text_of(field, value));
        else if (key == "mass") swimmer.mass = parse<Mass>(field, text_of(field, value));
        else if (key == "incline") swimmer.incline = parse<Angle>(field, text_of(field, value));
        else if (key == "k") swimmer.k = parse<SpeedSpecificDrag>(field, text_of(field, value));
        else if (key == "dimensions") {
            if (!value.is_object())
                throw InvalidInput(field, printable(value.dump()),
                                   "an object {\"chest_girth\": \"90cm\", ...}");
            for (auto const& [name, dimension] : value.items()) {
                std::string const which = printable(name) + " in " + file;
                swimmer.dimensions[name] = parse<Length>(which, text_of(which, dimension));
            }
        } else {
            std::string const near = nearest(key, swimmer_keys);
            throw UnknownKey("key in " + file, printable(key),
                             near.empty() ? "one of name, sex, stature, mass, dimensions, incline, k, record"
                                          : near);
        }
    }
    return swimmer;
}

Swimmer read_swimmer(std::string const& path) {
    Swimmer out = parse_swimmer(shown_path(path), text_of_file("swimmer file", path, largest_megabytes,
                                                               std::string("JSON, as in ") + example));
    if (!out.record.empty()) out.record = beside(path, out.record);
    return out;
}

std::string to_json(Swimmer const& swimmer) {
    Json json;
    if (!swimmer.name.empty()) json["name"] = swimmer.name;
    json["sex"] = to_string(swimmer.sex);
    if (swimmer.stature) json["stature"] = exact(*swimmer.stature, "cm", "m");
    if (swimmer.mass) json["mass"] = exact(*swimmer.mass, "kg", "kg");
    for (auto const& [name, value] : swimmer.dimensions) json["dimensions"][name] = exact(value, "cm", "m");
    if (swimmer.incline) json["incline"] = exact(*swimmer.incline, "deg", "rad");
    if (swimmer.k) json["k"] = exact(*swimmer.k, "kg/m", "kg/m");
    if (!swimmer.record.empty()) json["record"] = swimmer.record;
    return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

void write_swimmer(Swimmer const& swimmer, std::string const& path, bool overwrite) {
    Swimmer from_there = swimmer;
    if (!swimmer.record.empty()) from_there.record = seen_from(path, swimmer.record);
    write_text_file("save", path, overwrite, to_json(from_there));
}

} // namespace libdrag
