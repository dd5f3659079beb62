#pragma once
/// @file
/// What a person asks, as named fields, becomes a typed request. A face turns its arguments, keywords or form
/// into fields and holds no rule of its own: which fields go together, what each may be, what stands for one
/// that is missing, and the sentences about all this are here.
///
/// Fields have machine names (`hip_drop`); an error speaks of them in plain words ("hip drop") and carries
/// the machine name.

#include <array>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

#include <libdrag/aids.hpp>
#include <libdrag/compare.hpp>
#include <libdrag/cost.hpp>
#include <libdrag/cycle.hpp>
#include <libdrag/film.hpp>
#include <libdrag/glide.hpp>
#include <libdrag/quantity.hpp>
#include <libdrag/swimmer.hpp>
#include <libdrag/trials.hpp>

namespace libdrag::request {

/// A number that a face has read already, in its dimension's base unit.
struct InSi {
    double value;
    Dimension dimension;
};
using Given = std::variant<std::string, InSi>;

/// What is worn, and what the swimmer is made of.
struct Worn {
    std::vector<Aid> aids{};
    Composition composition{};
};

/// Frames of a stroke, whose side is the film's unless given.
struct GivenStroke {
    std::optional<std::string> side{};
    std::vector<Frame> frames{};
};
struct GivenFilm {
    std::vector<GivenStroke> breaths, without;
    std::optional<std::array<SidePoint, 2>> horizon{};
};

/// What a face has as values and not as texts.
struct Held {
    std::optional<Swim> swim{};                   ///< stands for all that fields say of one
    Worn worn{};                                  ///< before what they name
    Coefficients coefficients{};                  ///< of a question without a swim
    std::optional<GivenFilm> film{};              ///< frames, or a film whose points are in a file
    std::vector<Glide> glides{};                  ///< beside theirs
    std::optional<std::vector<PoolTest>> tests{}; ///< and not a file of them
    std::function<Hull const&()> hull{};          ///< of the swim, made when it is called
    std::optional<Options> options{};             ///< where they name none
};

/// The fields of one request, by name.
class Fields {
public:
    /// One more value of a field; a flag has none.
    void add(std::string_view name, Given value);
    void flag(std::string_view name);
    /// This value in place of all there are.
    void set(std::string_view name, Given value);
    void erase(std::string_view name);

    [[nodiscard]] bool has(std::string_view name) const;
    /// Its value, if any. @throws InvalidInput for several
    [[nodiscard]] Given const* find(std::string_view name) const;
    [[nodiscard]] std::vector<Given> const& all(std::string_view name) const;
    /// One that nobody has asked for.
    [[nodiscard]] std::optional<std::string> unread() const;
    /// To a face without a list of its own: `settle` then refuses what nobody has asked for.
    void refuse_unread() { refuses_unread_ = true; }
    /// All that the question reads has been read. @throws InvalidInput for a field that it does not read
    void settle(std::string_view question) const;
    /// What a changed copy of these fields has read counts as read here.
    void read_as(Fields const& copy) const;

    void hold(Held values);
    [[nodiscard]] Held const& held() const;

private:
    struct Values {
        std::vector<Given> given;
        mutable bool read = false;
    };
    std::map<std::string, Values, std::less<>> values_;
    std::shared_ptr<Held const> held_;
    bool refuses_unread_ = false;
};

// Each reads its own fields, named in the comment, and throws InvalidInput or UnknownKey.

/// draws, seed, level, threads
Options options(Fields const& fields, Options const& usual = {});
/// set: `key=value`, `key=value+-sd`
Coefficients coefficients(Fields const& fields);
/// water, temperature
Water water(Fields const& fields);
/// swimmer (a file), sex, height, mass, dim, incline, k: what stands beside the file wins over it.
Swimmer swimmer(Fields const& fields);
/// The swimmer and the body; name and record as well. @throws InvalidInput listing what is missing
std::pair<Swimmer, Body> body(Fields const& fields);
/// swimmer's, water's, set's; stroke, method, tilt_model, waves, depth, posture and its joints
Swim swim(Fields const& fields);

/// snorkel, belt, belt_at, shorts, shorts_area, drogue, bowl, parachute, tether, buoy, buoy_at, sleeve,
/// sleeve_at; lungs, fat, age
Worn worn(Fields const& fields);
/// With the swimmer's age. @throws InvalidInput for two ages
Composition of_age(Composition composition, Swim const& swim);
/// lungs, fat, age
Composition composition(Fields const& fields);

// The questions.

/// Races, and what is asked of the only one beside its cost; at most one of the three.
struct CostQuestion {
    std::vector<CostRequest> races;
    std::vector<std::variant<Angle, Length>> what_if{};
    std::optional<Time> want{}, time_without{};
};
/// event, time, course, all_events, hip_drop, hip_drop_sd, head_lift, breathe, when, given, splits,
/// start_underwater, turn_underwater, within_stroke, what_if, want, time_without. Where the drop is an angle
/// the body hardly matters, and an average one is assumed if none is given.
/// @param needs_drop a fault at the breath must be given, unless time_without or a record is
CostQuestion cost(Fields const& fields, bool needs_drop = true);
/// More than this many what-ifs are no table to read.
inline constexpr std::size_t most_what_ifs = 200;

/// As `cost` of one race, the drop not needed; steady_drop, leg_angle, instead (repeated)
CompareRequest compare(Fields const& fields);

struct DragQuestion {
    Swim swim; ///< with what is worn
    Velocity speed;
    Population population;
};
/// swim's, worn's; speed, head_lift, for
DragQuestion drag(Fields const& fields);

/// swim's, worn's; speed, cycle, hip_drop, head_lift, breathe, effort, for
StrokeRequest stroke(Fields const& fields);

/// swim's, worn's; speed, hip_drop, head_lift, breathe, want. No aids named: the usual ones, each alone.
AidsRequest aids(Fields const& fields);

struct BalanceQuestion {
    Swim swim;
    Composition composition;
    std::vector<Load> loads;
    std::optional<std::variant<Angle, Length>> head_lift;
    Breathing breathing;
};
/// swim's, worn's; head_lift, breathe
BalanceQuestion balance(Fields const& fields);

/// save, force: where to write the swimmer, and whether over an existing file.
struct Save {
    std::string path;
    bool overwrite;
};
std::optional<Save> save(Fields const& fields);
/// plot, force: where to write the picture of an answer.
std::optional<Save> plot(Fields const& fields);

} // namespace libdrag::request
