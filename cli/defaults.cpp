/// What a coach does not want to type each time: a JSON file of options.

#include "command.hpp"

#include <algorithm>
#include <cctype>
#include <cstdlib>
#include <filesystem>
#include <fstream>

#include <nlohmann/json.hpp>

namespace dragcalc {

using namespace libdrag;

namespace {

using Json = nlohmann::json;

std::filesystem::path place() {
    if (char const* const own = std::getenv("DRAGCALC_DEFAULTS")) return own;
    if (char const* const config = std::getenv("XDG_CONFIG_HOME"); config != nullptr && *config != '\0')
        return std::filesystem::path(config) / "dragcalc.json";
    char const* const home = std::getenv("HOME");
    return home == nullptr ? std::filesystem::path() : std::filesystem::path(home) / ".config/dragcalc.json";
}

[[noreturn]] void refuse(std::string const& what, std::string const& value, std::string const& allowed) {
    throw InvalidInput("defaults", printable(what) + (value.empty() ? "" : " " + printable(value)), allowed);
}

bool takes(Command const& command, std::string const& name) {
    for (Group const& group : command.groups)
        for (Option const& option : group.options)
            if (option.name == name) return true;
    return false;
}

std::string text_of(std::string const& name, Json const& value) {
    if (value.is_string()) return value.get<std::string>();
    if (value.is_number()) return value.dump();
    refuse(name, value.dump(), "a text or a number");
}

/// A record is looked for beside the file that names it.
std::string beside(std::filesystem::path const& file, std::string const& name) {
    std::filesystem::path const given(name);
    return given.is_absolute() ? name : (file.parent_path() / given).string();
}

void add(Fields& fields, Command const& command, std::filesystem::path const& file, std::string const& name,
         Json const& value) {
    if (name == "output") {
        std::string const form = text_of(name, value);
        if (form != "words" && form != "json" && form != "csv") refuse(name, form, "words, json or csv");
        if (form != "words" && takes(command, form) && !fields.has("json") && !fields.has("csv"))
            fields.flag(form);
        return;
    }
    bool const known = std::any_of(commands().begin(), commands().end(),
                                   [&](Command const& any) { return takes(any, name); });
    if (!known) refuse(name, "", "options by their names, \"output\" and \"units\"");
    if (name == "record") { // of a swimmer who is named; where a command is about a record it is that
        std::string const record = beside(file, text_of(name, value));
        if (takes(command, "record") && fields.has("name") && !fields.has("record"))
            fields.add("record", record);
        bool const of_record = takes(command, "file") && takes(command, "name") && command.name != "trials";
        if (of_record && !fields.has("file")) fields.add("file", record);
        return;
    }
    if (!takes(command, name) || fields.has(name)) return;
    if (value.is_boolean()) {
        if (value.get<bool>()) fields.flag(name);
    } else fields.add(name, text_of(name, value));
}

} // namespace

void add_defaults(Fields& fields, Command const& command) {
    std::filesystem::path const file = place();
    std::error_code error;
    if (file.empty() || !std::filesystem::exists(file, error)) {
        if (std::getenv("DRAGCALC_DEFAULTS") != nullptr) refuse(file.string(), "", "an existing file");
        return;
    }
    std::ifstream in(file);
    Json const given = Json::parse(in, nullptr, false);
    if (!given.is_object())
        refuse(file.string(), "", "a JSON object, as {\"course\": \"scm\", \"units\": {\"height\": \"cm\"}}");
    for (auto const& [name, value] : given.items()) {
        if (name != "units") {
            add(fields, command, file, name, value);
            continue;
        }
        if (!value.is_object()) refuse(name, value.dump(), "a unit for each option, as {\"height\": \"cm\"}");
        for (auto const& [option, unit] : value.items()) {
            if (!unit.is_string()) refuse(option, unit.dump(), "a unit, as \"cm\"");
            request::Given const* const number = fields.find(option);
            auto const* const text = number != nullptr ? std::get_if<std::string>(number) : nullptr;
            bool const bare = text != nullptr && !text->empty()
                              && std::all_of(text->begin(), text->end(), [](unsigned char c) {
                                     return std::isdigit(c) != 0 || c == '.';
                                 });
            if (bare) fields.set(option, *text + unit.get<std::string>());
        }
    }
}

} // namespace dragcalc
