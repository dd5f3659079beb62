#pragma once
/// @file
/// Doubles as text and back. Private to the library. Writing is fmt's, correctly rounded and without a locale; reading is
/// std::from_chars where the standard library has it for double (libc++ 14 does not).

#include <charconv>
#include <cmath>
#include <cstdlib>
#include <string>
#include <system_error>

#include <fmt/format.h>

namespace libdrag {

/// As printf's %e, %f and %g with `digits` after the point, for %g of all.
inline std::string scientific(double value, int digits) { return fmt::format("{:.{}e}", value, digits); }
inline std::string fixed(double value, int digits) { return fmt::format("{:.{}f}", value, digits); }
inline std::string general(double value, int digits) { return fmt::format("{:.{}g}", value, digits); }

/// What std::from_chars does with a plain decimal number, by strtod, whose decimal point is the C locale's: for platforms
/// whose programs have no other.
inline std::from_chars_result read_by_strtod(char const* first, char const* last, double& value) {
    char const* at = first;
    bool any = false, zero = true;
    auto const digits = [&] {
        for (; at != last && *at >= '0' && *at <= '9'; ++at) {
            any = true;
            zero = zero && *at == '0';
        }
    };
    if (at != last && *at == '-') ++at;
    digits();
    if (at != last && *at == '.') {
        ++at;
        digits();
    }
    if (!any) return {first, std::errc::invalid_argument};
    if (at != last && (*at == 'e' || *at == 'E')) {
        char const* power = at + 1;
        if (power != last && (*power == '-' || *power == '+')) ++power;
        char const* const from = power;
        while (power != last && *power >= '0' && *power <= '9') ++power;
        if (power != from) at = power;
    }
    double const read = std::strtod(std::string(first, at).c_str(), nullptr);
    if (std::isinf(read) || (read == 0.0 && !zero)) return {at, std::errc::result_out_of_range};
    value = read;
    return {at, std::errc{}};
}

inline std::from_chars_result read_number(char const* first, char const* last, double& value) {
#if defined(__cpp_lib_to_chars)
    return std::from_chars(first, last, value);
#else
    return read_by_strtod(first, last, value);
#endif
}

} // namespace libdrag
