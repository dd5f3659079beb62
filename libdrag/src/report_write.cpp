/// JSON, CSV and cells of tables, all from the description of a result.

#include <cmath>
#include <type_traits>

#include "report_text.hpp"

namespace libdrag::report {
namespace {

Json json_of(Value const& value) {
    return std::visit(
        [](auto const& x) -> Json {
            using T = std::decay_t<decltype(x)>;
            if constexpr (std::is_same_v<T, std::monostate>) return nullptr;
            else if constexpr (std::is_same_v<T, std::optional<Estimate>>) {
                if (!x) return nullptr;
                return {{"median", x->median}, {"low", x->low}, {"high", x->high}, {"level", x->level}};
            } else if constexpr (std::is_same_v<T, Because>) {
                Json list = Json::array();
                for (Contribution const& part : x.ranked)
                    list.push_back({{"input", part.input}, {"share", part.share}});
                return list;
            } else if constexpr (std::is_same_v<T, Description>) return report::json_of(x);
            else if constexpr (std::is_same_v<T, std::vector<Description>>) {
                Json list = Json::array();
                for (Description const& row : x) list.push_back(report::json_of(row));
                return list;
            } else if constexpr (std::is_same_v<T, Uncertain>) return {x.value, x.sd};
            else return x;
        },
        value);
}

/// The object that a path leads into, and the last name of the path.
std::pair<Json*, std::string> place(Json& root, std::string_view path) {
    Json* at = &root;
    for (std::size_t dot; (dot = path.find('.')) != std::string_view::npos; path.remove_prefix(dot + 1))
        at = &(*at)[std::string(path.substr(0, dot))];
    return {at, std::string(path)};
}

std::string stem_of(Field const& field) {
    return field.name.substr(0, field.name.size() - (field.unit.empty() ? 0 : field.unit.size() + 1));
}

std::string cell(double x) { return fmt::format("{}", x); }

/// Columns of a field: those of an interval and of a value with its SD are three and two.
void add_columns(Field const& field, std::vector<std::string>& names, std::vector<std::string>& values) {
    auto const also = [&](std::string_view word, std::string value) {
        names.push_back(named(stem_of(field), word, field.unit));
        values.push_back(std::move(value));
    };
    names.push_back(field.name);
    std::visit(
        [&](auto const& x) {
            using T = std::decay_t<decltype(x)>;
            if constexpr (std::is_same_v<T, std::optional<Estimate>>) {
                values.push_back(x ? cell(x->median) : "");
                also("low", x ? cell(x->low) : "");
                also("high", x ? cell(x->high) : "");
            } else if constexpr (std::is_same_v<T, Uncertain>) {
                values.push_back(cell(x.value));
                also("sd", cell(x.sd));
            } else if constexpr (std::is_same_v<T, double>) values.push_back(cell(x));
            else if constexpr (std::is_same_v<T, bool> || std::is_same_v<T, std::int64_t>)
                values.push_back(fmt::format("{}", x));
            else if constexpr (std::is_same_v<T, std::string>) values.push_back(report::cell(x));
            else if constexpr (std::is_same_v<T, std::vector<std::string>>)
                values.push_back(report::cell(joined(x)));
            else values.push_back(report::cell(field.words));
        },
        field.value);
}

} // namespace

Json json_of(Description const& record) {
    Json json = Json::object();
    for (Field const& field : record) {
        if ((field.faces & face::json) == 0) continue;
        auto const [into, name] = place(json, field.json.empty() ? field.name : field.json);
        if (auto const* pair = std::get_if<Uncertain>(&field.value)) {
            (*into)[name] = pair->value;
            (*into)[named(stem_of(field), "sd", field.unit)] = pair->sd;
        } else if (name.empty()) { // an interval whose ends stand among others
            Estimate const& e = *std::get<std::optional<Estimate>>(field.value);
            (*into)[named("median", {}, field.unit)] = e.median;
            (*into)[named("low", {}, field.unit)] = e.low;
            (*into)[named("high", {}, field.unit)] = e.high;
        } else (*into)[name] = json_of(field.value);
    }
    return json;
}

std::string write_json(Description const& answer, Description const& identity) {
    Json json = json_of(answer);
    json.update(json_of(identity));
    return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n"; // a name's bad bytes are repaired
}

std::string write_csv(std::vector<Description> const& rows, std::vector<Description const*> const& rest) {
    std::string out;
    for (Description const& row : rows) {
        std::vector<std::string> names, values;
        auto const add = [&](Description const& record) {
            for (Field const& field : record)
                if ((field.faces & face::csv) != 0) add_columns(field, names, values);
        };
        add(row);
        for (Description const* shared : rest) add(*shared);
        if (out.empty()) out = joined(names, ",") + "\n";
        out += joined(values, ",") + "\n";
    }
    return out;
}

Description joined(Description first, Description const& then) {
    first.insert(first.end(), then.begin(), then.end());
    return first;
}

std::string shown(Field const& field) {
    if (!field.words.empty()) return field.words;
    auto const rounded = [&](double x) { return field.unit == "s" ? in_seconds(x) : number(x); };
    if (auto const* x = std::get_if<double>(&field.value)) return rounded(*x);
    if (auto const* e = std::get_if<std::optional<Estimate>>(&field.value)) return rounded((*e)->median);
    return std::get<std::string>(field.value);
}

std::string shown_range(Field const& field) {
    Estimate const& e = *std::get<std::optional<Estimate>>(field.value);
    auto const rounded = [&](double x) { return field.unit == "s" ? in_seconds(x) : number(x); };
    return rounded(e.low) + " to " + rounded(e.high);
}

std::vector<std::vector<std::string>>
cells(std::vector<Description> const& rows,
      std::vector<std::pair<std::string_view, std::string>> const& columns) {
    constexpr std::string_view range = ".range";
    std::vector<std::vector<std::string>> out(1);
    for (auto const& column : columns) out.front().push_back(column.second);
    for (Description const& row : rows) {
        std::vector<std::string>& line = out.emplace_back();
        for (auto const& column : columns) {
            std::size_t const dot = column.first.find('.');
            Field const& field = at(row, column.first.substr(0, dot));
            line.push_back(dot != std::string_view::npos && column.first.substr(dot) == range
                               ? shown_range(field)
                               : shown(field));
        }
    }
    return out;
}

} // namespace libdrag::report
