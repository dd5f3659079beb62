#pragma once
/// @file
/// A file as one text. Private to the library.

#include <cstdint>
#include <cstdio>
#include <filesystem>
#include <memory>
#include <string>
#include <string_view>
#include <system_error>

#include <unistd.h>

#include <libdrag/error.hpp>
#include <libdrag/quantity.hpp>

namespace libdrag {

/// As C has it: streams would bring their locales into the page, a thirtieth of it.
struct CloseFile {
    void operator()(std::FILE* file) const { std::fclose(file); }
};
using OpenFile = std::unique_ptr<std::FILE, CloseFile>;
inline OpenFile open_file(std::string const& path, char const* how) {
    return OpenFile(std::fopen(path.c_str(), how));
}

/// A path for a message; of a long one the file's own name, for it is the end that tells.
inline std::string shown_path(std::string const& path) {
    constexpr std::size_t longest = 40;
    if (path.empty()) return "nothing";
    return printable(path.size() > longest ? std::filesystem::path(path).filename().string() : path);
}

/// What a file calls `name`, from where the file itself is called `path`.
inline std::string beside(std::string const& path, std::string const& name) {
    return (std::filesystem::path(path).parent_path() / name).string();
}
/// What a file called `path` should call the one that is called `name` here.
inline std::string seen_from(std::string const& path, std::string const& name) {
    namespace fs = std::filesystem;
    std::error_code error;
    // From the root, for what does not exist yet has no other place.
    fs::path const folder = fs::absolute(path, error).parent_path();
    fs::path const there = fs::proximate(fs::absolute(name, error), folder, error);
    return error || fs::path(name).is_absolute() ? name : there.string();
}

/// @param field what the file is, for messages @param example of what it holds
/// @throws InvalidInput for a file that is missing, empty, no file or of more than so many megabytes
inline std::string text_of_file(std::string_view field, std::string const& path, std::uintmax_t megabytes,
                                std::string_view example) {
    std::uintmax_t const largest = megabytes * 1'000'000;
    std::string const limit = "up to " + std::to_string(megabytes) + " MB";
    std::error_code error;
    if (!std::filesystem::is_regular_file(path, error))
        throw InvalidInput(field, shown_path(path), "an existing file");
    std::uintmax_t const size = std::filesystem::file_size(path, error);
    if (error || size > largest)
        throw InvalidInput(field, shown_path(path) + " of " + std::to_string(size) + " bytes", limit);
    OpenFile const in = open_file(path, "rb");
    if (!in) throw InvalidInput(field, shown_path(path), "a file that can be read");
    // What the system calls a file may say size 0 and still have no end.
    std::string text;
    constexpr std::size_t piece = 1'000'000;
    for (std::size_t got = piece; got == piece && text.size() <= largest;) {
        std::size_t const before = text.size();
        text.resize(before + piece);
        got = std::fread(text.data() + before, 1, piece, in.get());
        text.resize(before + got);
    }
    if (std::ferror(in.get()) != 0) throw InvalidInput(field, shown_path(path), "a file that can be read");
    if (text.size() > largest) throw InvalidInput(field, shown_path(path), limit);
    if (text.empty()) throw InvalidInput(field, shown_path(path) + ", which is empty", example);
    return text;
}

/// Whole or not at all: written beside its place, then moved there.
/// @param field the option that names the file
/// @throws InvalidInput for a folder or device, a file that exists unless it may be replaced, a place that cannot be
/// written to
inline void write_text_file(std::string const& field, std::string const& path, bool overwrite,
                            std::string_view text) {
    std::error_code error;
    auto const status = std::filesystem::status(path, error);
    bool const exists = std::filesystem::exists(status);
    if (path.empty() || (exists && !std::filesystem::is_regular_file(status)))
        throw InvalidInput(field, shown_path(path), "the name of a file, not of a folder or a device");
    if (exists && !overwrite)
        throw InvalidInput(field, shown_path(path) + ", which exists",
                           "a new file, or --force to replace it");
    std::string const beside = path + "." + std::to_string(::getpid()) + ".new";
    OpenFile out = open_file(beside, "wb");
    bool const written = out && std::fwrite(text.data(), 1, text.size(), out.get()) == text.size()
                         && std::fflush(out.get()) == 0;
    out.reset();
    if (written) std::filesystem::rename(beside, path, error);
    if (!written || error) {
        std::error_code ignored;
        std::filesystem::remove(beside, ignored);
        throw InvalidInput(field, shown_path(path), "a place that can be written to");
    }
}

} // namespace libdrag
