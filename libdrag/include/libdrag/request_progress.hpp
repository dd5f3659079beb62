#pragma once
/// @file
/// Whether it is closing, from named fields.

#include <libdrag/progress.hpp>
#include <libdrag/request.hpp>

namespace libdrag::request {

/// file (the record), name; stroke (else the event's, else crawl), set; with event and time what the change is worth,
/// then course, swimmer's and water's as for a cost. The drop that is priced is the mean of those seen.
ProgressRequest progress(Fields const& fields);

} // namespace libdrag::request
