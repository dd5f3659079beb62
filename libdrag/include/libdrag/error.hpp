#pragma once
/// @file
/// The two things libdrag throws. Pure formulas are total (NaN in, NaN out); factories, parsers and
/// checked entry points reject what cannot be, always with the name, the value and what is allowed.

#include <stdexcept>
#include <string>
#include <string_view>

namespace libdrag {

/// An input that cannot be: wrong unit, not finite, outside what is physically possible.
/// `what()` is one line: "hip drop: got 95 deg; allowed: 0 deg to 45 deg".
class InvalidInput : public std::invalid_argument {
public:
    /// @param field in plain words; several joined by ", "
    InvalidInput(std::string_view field, std::string_view value, std::string_view allowed)
        : std::invalid_argument(std::string(field) + ": got " + std::string(value)
                                + "; allowed: " + std::string(allowed)),
          field_(machine_name(field)),
          value_(value),
          allowed_(allowed) {}

    /// The machine name: "hip_drop".
    [[nodiscard]] std::string const& field() const noexcept { return field_; }
    [[nodiscard]] std::string const& value() const noexcept { return value_; }
    [[nodiscard]] std::string const& allowed() const noexcept { return allowed_; }

private:
    static std::string machine_name(std::string_view words) {
        std::string name;
        for (char const c : words) name += c == ' ' && !name.empty() && name.back() != ',' ? '_' : c;
        return name;
    }
    std::string field_, value_, allowed_;
};

/// A key that no table has (a source, a dimension, an event). `what()` names the nearest ones.
class UnknownKey : public std::out_of_range {
public:
    UnknownKey(std::string_view kind, std::string_view key, std::string_view nearest)
        : std::out_of_range(
            "unknown " + std::string(kind) + " '" + std::string(key) + "'"
            + (nearest.empty() ? std::string{} : "; did you mean " + std::string(nearest) + "?")),
          kind_(kind),
          key_(key) {}

    [[nodiscard]] std::string const& kind() const noexcept { return kind_; }
    [[nodiscard]] std::string const& key() const noexcept { return key_; }

private:
    std::string kind_, key_;
};

} // namespace libdrag
