/// The library for a page: requests and answers are JSON, files are in memory. What a function returns is valid until it
/// is called again.

#include <cstddef>
#include <cstdio>
#include <string>
#include <string_view>

#include <libdrag/answer.hpp>
#include <libdrag/quantity.hpp>
#include <libdrag/report.hpp>

#include "text_file.hpp"

extern "C" {

/// See libdrag/answer.hpp.
char const* answer(char const* json, std::size_t size) {
    static std::string text;
    text = libdrag::answer(std::string_view(json, size));
    return text.c_str();
}

/// Numbers as words have them: seconds of a cost, degrees.
char const* in_seconds(double seconds) {
    static std::string text;
    text = libdrag::report::in_seconds(seconds);
    return text.c_str();
}
char const* in_degrees(double degrees) {
    static std::string text;
    text = libdrag::format_fixed(degrees, 1);
    return text.c_str();
}

/// A file that requests may name.
void write_file(char const* name, char const* bytes, std::size_t size) {
    if (libdrag::OpenFile const out = libdrag::open_file(name, "wb")) std::fwrite(bytes, 1, size, out.get());
}

/// Its text, as `log` left it; empty if there is none.
char const* read_file(char const* name) {
    static std::string text;
    text.clear();
    if (libdrag::OpenFile const in = libdrag::open_file(name, "rb")) {
        char piece[4096];
        while (std::size_t const got = std::fread(piece, 1, sizeof piece, in.get())) text.append(piece, got);
    }
    return text.c_str();
}

void remove_file(char const* name) { std::remove(name); }
}
