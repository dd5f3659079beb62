#pragma once
/// @file
/// Results in words, JSON and CSV. What a coach reads, what another tool parses and what a spreadsheet
/// opens come from here, whichever face asks; the faces only choose which.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include <libdrag/cost.hpp>
#include <libdrag/cycle.hpp>
#include <libdrag/evidence.hpp>
#include <libdrag/sources.hpp>
#include <libdrag/swim.hpp>
#include <libdrag/swimmer.hpp>

namespace libdrag::report {

enum class Form { words, json, csv };

/// Seconds of a cost, to hundredths where they matter, else two digits: it is never better known than that.
std::string in_seconds(double s);

/// One event in full, several as one table. @throws InvalidInput for an empty list.
std::string costs(std::vector<Cost> const& results, Form form);

/// The ladder of a what-if: one row per drop.
std::string ladder(Cost const& given, std::vector<Cost> const& rungs, Form form);

/// What a wanted gain takes.
std::string wanted(Cost const& given, Inverse const& inverse, Form form);

/// Which hip drop two times imply.
std::string implied(CostRequest const& request, Time without, ImpliedDrop const& result, Form form);

std::string drag(DragEstimate const& estimate, Form form);

std::string stroke(StrokeEstimate const& estimate, Form form);

std::string evidence(Evidence const& evidence, Form form);

std::string body(Swimmer const& swimmer, Body const& body, Form form);

/// All rows, or one by its key. @throws UnknownKey with the nearest keys.
std::string sources(std::optional<std::string> const& key, Form form);

} // namespace libdrag::report
