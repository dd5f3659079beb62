#pragma once
/// @file
/// Whole lines at the end of a file that others append to as well. Private to the library.

#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include <sys/types.h>

#include <libdrag/record.hpp>

namespace libdrag {

/// write(2); a test may die in it.
using WriteBytes = std::function<ssize_t(int file, char const* bytes, std::size_t count)>;

/// Of the first line; a new line if there is none.
std::string_view line_end_of(std::string_view text);

struct Extended {
    bool created;
    std::vector<std::string> notes; ///< of a repair
};
/// Under a lock on `PATH.lock` (the file itself may be replaced by whoever edits it), what `more` makes of the present
/// text goes behind it in one write and to the disk. Without a file, or with an empty one, the text is empty and what is
/// made becomes the whole file at once.
/// @param whole whether a last line without an end may stand as it is; otherwise it is moved away
/// @throws InvalidInput, and whatever `more` throws, with nothing written
Extended extend_file(std::string const& name, std::function<bool(std::string_view text)> const& whole,
                     std::function<std::string(std::string_view text)> const& more,
                     WriteBytes const& write = {});

/// Under the same lock, what `change` makes of the text takes the place of the file, at once.
/// @return the name under which the file as it was is kept
/// @throws InvalidInput, and whatever `change` throws, with nothing changed
std::string rewrite_file(std::string const& name,
                         std::function<std::string(std::string_view text)> const& change,
                         WriteBytes const& write = {});

/// `append` with another way to write.
Appended append_by(WriteBytes const& write, std::string const& path, std::string const& name,
                   std::vector<Seen> const& seen);
Appended correct_by(WriteBytes const& write, std::string const& path, std::size_t row,
                    std::vector<Correction> const& corrections);
Appended correct_by(WriteBytes const& write, std::string const& path, std::size_t row,
                    Corrections const& corrections);

} // namespace libdrag
