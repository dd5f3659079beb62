#include "append.hpp"

#include <cerrno>
#include <cstdio>
#include <filesystem>
#include <string>
#include <utility>

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <libdrag/error.hpp>

#include "text_file.hpp"

namespace libdrag {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t largest_bytes = 25'000'000;
constexpr std::string_view field = "record";

/// A descriptor that is closed on every way out.
class File {
public:
    File(std::string const& path, int flags) : id_(::open(path.c_str(), flags | O_CLOEXEC, 0666)) {}
    ~File() {
        if (id_ >= 0) ::close(id_);
    }
    File(File const&) = delete;
    File& operator=(File const&) = delete;
    [[nodiscard]] int id() const { return id_; }
    [[nodiscard]] bool is_open() const { return id_ >= 0; }

private:
    int id_;
};

[[noreturn]] void refuse(std::string const& path, std::string_view allowed) {
    throw InvalidInput(field, shown_path(path), allowed);
}
[[noreturn]] void refuse_writing(std::string const& path) {
    switch (errno) {
    case ENOSPC:
    case EDQUOT:
    case EFBIG: refuse(path, "a place with room left: nothing was written");
    default: refuse(path, "a place that can be written to: nothing was written");
    }
}

/// Where LibreOffice says that it has the file open.
fs::path held_open(fs::path const& path) {
    return path.parent_path() / (".~lock." + path.filename().string() + "#");
}
void refuse_if_held(std::string const& path, std::string_view allowed) {
    std::error_code error;
    if (fs::exists(held_open(path), error)) refuse(path, allowed);
}

/// Waits for the others, but not for one that never ends.
void take_lock(File const& lock, std::string const& path) {
    constexpr int longest_ms = 20'000, pause_ms = 5;
    for (int waited = 0; ::flock(lock.id(), LOCK_EX | LOCK_NB) != 0; waited += pause_ms) {
        if ((errno != EWOULDBLOCK && errno != EINTR) || waited >= longest_ms)
            refuse(path, "a file that nobody else is writing to");
        ::usleep(pause_ms * 1000);
    }
}

bool all_written(WriteBytes const& write, int file, std::string_view text) {
    ssize_t const done = write(file, text.data(), text.size());
    if (done == static_cast<ssize_t>(text.size())) return true;
    if (done >= 0) errno = ENOSPC; // a part alone: the disk is full
    return false;
}

/// A name in a folder is on the disk only when the folder is.
void sync_folder(std::string const& path) {
    std::string const folder = fs::path(path).parent_path().string();
    File const file(folder.empty() ? "." : folder, O_RDONLY | O_DIRECTORY);
    if (file.is_open()) ::fsync(file.id());
}

/// The whole text under a name, there at once or not at all. False if the name is taken and must not be.
bool write_file(std::string const& path, std::string_view text, bool replace, WriteBytes const& write) {
    std::string const beside = path + "." + std::to_string(::getpid()) + ".new";
    File const file(beside, O_WRONLY | O_CREAT | O_TRUNC);
    bool done = file.is_open() && all_written(write, file.id(), text) && ::fsync(file.id()) == 0;
    bool taken = false;
    if (done) {
        // Not every file system has links.
        bool const linked = !replace && ::link(beside.c_str(), path.c_str()) == 0;
        taken = !replace && !linked && errno == EEXIST;
        done = linked || taken || std::rename(beside.c_str(), path.c_str()) == 0;
    }
    int const reason = errno;
    ::unlink(beside.c_str());
    errno = reason;
    if (!done) refuse_writing(path);
    if (!taken) sync_folder(path);
    return !taken;
}

std::string text_of(File const& file, std::string const& path) {
    std::string text;
    for (char piece[65536];;) {
        ssize_t const got = ::pread(file.id(), piece, sizeof piece, static_cast<off_t>(text.size()));
        if (got < 0) refuse(path, "a file that can be read");
        if (got == 0) return text;
        text.append(piece, static_cast<std::size_t>(got));
        if (text.size() > largest_bytes) refuse(path, "up to 25 MB");
    }
}

/// Takes what was cut off away from the end, keeping it and the file as it was.
void cut_off(std::string const& path, File const& file, std::string const& text, std::size_t whole,
             WriteBytes const& write) {
    write_file(path + ".before-repair", text, true, write);
    std::string const beside = path + ".cut-off";
    File const pieces(beside, O_WRONLY | O_CREAT | O_APPEND);
    if (!pieces.is_open() || !all_written(write, pieces.id(), text.substr(whole) + "\n")
        || ::fsync(pieces.id()) != 0)
        refuse_writing(beside);
    sync_folder(path);
    if (::ftruncate(file.id(), static_cast<off_t>(whole)) != 0 || ::fsync(file.id()) != 0)
        refuse_writing(path);
}

bool ends_line(std::string_view text) {
    return !text.empty() && (text.back() == '\n' || text.back() == '\r');
}
/// Puts lines behind the text of a file. Whether they are in the file that has the name now.
class Extension {
public:
    Extension(std::string path, std::function<bool(std::string_view)> const& whole,
              std::function<std::string(std::string_view)> const& more, WriteBytes const& write)
        : path_(std::move(path)), whole_(whole), more_(more), write_(write) {}

    Extended done{};

    bool create() {
        std::error_code error;
        bool const replace = fs::exists(path_, error); // it is empty
        done.created = write_file(path_, more_({}), replace, write_);
        return done.created;
    }

    bool extend() {
        File const file(path_, O_RDWR | O_APPEND);
        if (!file.is_open()) refuse_writing(path_);
        std::string text = text_of(file, path_);
        // Who replaced the file had seen them.
        if (!added_.empty() && text.find(added_) != std::string::npos) return true;
        std::string_view begin; // ends a line that has no end
        std::size_t whole = text.size();
        if (!ends_line(text)) {
            if (whole_(text)) begin = line_end_of(text);
            else whole = text.find_last_of("\r\n") + 1;
        } else if (text.back() == '\r' && line_end_of(text) == "\r\n") begin = "\n"; // cut between the two
        added_ = more_(std::string_view(text).substr(0, whole));
        if (whole < text.size()) {
            cut_off(path_, file, text, whole, write_);
            done.notes.push_back("A row that was cut off, as by a flat battery, was moved to "
                                 + shown_path(path_) + ".cut-off; the file as it was is " + shown_path(path_)
                                 + ".before-repair.");
            text.resize(whole);
        } else if (!begin.empty() && begin.size() == line_end_of(text).size())
            done.notes.emplace_back("The last row had no line end. It was kept: look whether it is whole.");
        if (!all_written(write_, file.id(), std::string(begin) + added_) || ::fsync(file.id()) != 0) {
            int const reason = errno;
            // Nobody else appends meanwhile.
            bool const undone = ::ftruncate(file.id(), static_cast<off_t>(text.size())) == 0;
            errno = reason;
            if (!undone) refuse(path_, "a place that can be written to: look at its last row");
            refuse_writing(path_);
        }
        struct stat opened {};
        struct stat named {};
        return ::fstat(file.id(), &opened) == 0 && ::stat(path_.c_str(), &named) == 0
               && opened.st_ino == named.st_ino && opened.st_dev == named.st_dev;
    }

private:
    std::string path_, added_;
    std::function<bool(std::string_view)> const& whole_;
    std::function<std::string(std::string_view)> const& more_;
    WriteBytes const& write_;
};

} // namespace

std::string_view line_end_of(std::string_view text) {
    std::size_t const at = text.find_first_of("\r\n");
    return at == std::string_view::npos || text[at] == '\n' ? "\n"
           : text.substr(at, 2) == "\r\n"                   ? "\r\n"
                                                            : "\r";
}

namespace {

constexpr std::string_view close_it = "a file that no spreadsheet has open: close it there first";
/// Whoever opened it meanwhile may have read it before, and would save it without the new row.
constexpr std::string_view just_opened =
    "a file that no spreadsheet opens at the same moment: look at its last row";
constexpr int most_tries = 100;

/// A record that nobody else of ours writes to. One file, one lock, whichever name it is called by.
class Locked {
public:
    explicit Locked(std::string const& name)
        : path(real_path(name)), lock_((refuse_if_held(path, close_it), path + ".lock"), O_RDONLY | O_CREAT) {
        if (!lock_.is_open()) refuse_writing(path);
        take_lock(lock_, path);
    }
    std::string const path;

private:
    static std::string real_path(std::string const& name) {
        std::error_code error;
        auto const status = fs::status(name, error);
        if (name.empty() || (fs::exists(status) && !fs::is_regular_file(status)))
            refuse(name, "the name of a file, not of a folder or a device");
        std::string const path = fs::weakly_canonical(name, error).string();
        return error ? name : path;
    }

    File lock_;
};

} // namespace

Extended extend_file(std::string const& name, std::function<bool(std::string_view)> const& whole,
                     std::function<std::string(std::string_view)> const& more, WriteBytes const& given) {
    Locked const locked(name);
    std::string const& path = locked.path;
    WriteBytes const write = given ? given : WriteBytes(::write);
    Extension extension(path, whole, more, write);
    for (int tries = 0; tries < most_tries; ++tries) {
        refuse_if_held(path, close_it);
        std::error_code error;
        bool const there = fs::exists(path, error) && fs::file_size(path, error) > 0;
        bool const done = there ? extension.extend() : extension.create();
        refuse_if_held(path, just_opened);
        if (done) return extension.done;
    }
    refuse(path, "a file that nobody else replaces");
}

std::string rewrite_file(std::string const& name, std::function<std::string(std::string_view)> const& change,
                         WriteBytes const& given) {
    Locked const locked(name);
    std::string const& path = locked.path;
    WriteBytes const write = given ? given : WriteBytes(::write);
    File const file(path, O_RDONLY);
    if (!file.is_open()) refuse(path, "an existing file");
    std::string const text = text_of(file, path), changed = change(text);
    std::string kept;
    std::error_code error;
    for (int number = 1;; ++number) {
        if (number > most_tries) refuse(path, "fewer than 100 files kept beside it: move the old ones away");
        kept = path + "." + std::to_string(number);
        if (!fs::exists(kept, error) && write_file(kept, text, false, write)) break;
    }
    refuse_if_held(path, close_it);
    write_file(path, changed, true, write);
    refuse_if_held(path, just_opened);
    return kept;
}

} // namespace libdrag
