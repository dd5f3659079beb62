#pragma once
/// @file
/// Questions about a swimmer's record as named fields.

#include <optional>
#include <string_view>

#include <libdrag/measured.hpp>
#include <libdrag/request.hpp>

namespace libdrag::request {

/// The record in the file that a field names, of the swimmer that `name` names; films lie beside it.
Record record_in(Fields const& fields, std::string_view file, RecordDefaults const& defaults = {});

/// The word that leaves her record aside.
inline constexpr std::string_view no_record = "none";
/// With the record that the file of the field `swimmer` names, and the name there to find her by, where the fields name
/// none; without one for `none`. @param field `record`, or `file` where the question is about the record
Fields with_own_record(Fields const& fields, std::string_view field);

/// file (of a record), name; event, time, course, hip_drop, hip_drop_sd, breathe and what else `cost` reads of one race.
/// @throws InvalidInput for a record that cannot be read or says nothing of her stroke
MeasuredRequest measured(Fields const& fields);

/// Timed swims of one file, and the race they are priced in, if one is named.
struct TrialsQuestion {
    Record record;
    Stroke stroke;
    std::optional<MeasuredRequest> priced{};
};
/// file, name if it is about several; distance, by, stroke for what the file does not say; as `measured` with event and time
TrialsQuestion trials(Fields const& fields);

/// As `measured`, with record in place of file and without it if nothing is known; how (repeated), distance, by, swims,
/// days.
DesignRequest design(Fields const& fields);

// record, name beside another question: what it is about as her record has it, her drop and draws weighed by all that was
// seen. Without a record nothing changes.

/// What her record says, by which the races are from then on; nothing without a record.
/// @throws InvalidInput for races of several strokes
std::optional<Measured> measured_beside(Fields const& fields, std::vector<CostRequest>& races,
                                        Options const& options);
/// The options of it, watched as those given.
Options recorded(Fields const& fields, std::vector<CostRequest>& races, Options const& options);
Options recorded(Fields const& fields, CostRequest& race, Options const& options);
Options recorded(Fields const& fields, AidsRequest& request, Options const& options);
Options recorded(Fields const& fields, StrokeRequest& request, Options const& options);

} // namespace libdrag::request
