#include <libdrag/request_film.hpp>

#include <algorithm>

#include "request_read.hpp"

namespace libdrag::request {

using namespace reading;

namespace {

std::vector<double> numbers_of(std::string_view name, Given const& given, std::size_t count,
                               std::string_view example) {
    std::string const text = text_of(given);
    std::vector<std::string> const items = items_of(text);
    if (items.size() != count)
        throw InvalidInput(plain(name), shown(given),
                           std::string("pixels with commas between them, as ").append(example));
    std::vector<double> numbers;
    for (std::string const& item : items) numbers.push_back(parse<double>(plain(name), item));
    return numbers;
}
std::vector<SidePoint> points_of(Fields const& fields, std::string_view name) {
    std::vector<SidePoint> points;
    for (Given const& given : fields.all(name)) {
        auto const xy = numbers_of(name, given, 2, "412,310");
        points.push_back({xy[0], xy[1]});
    }
    return points;
}

/// Frames marked one by one, each a stroke of its own.
void add_frames(Fields const& fields, std::string const& prefix, SeenFrom side,
                std::optional<std::array<SidePoint, 2>> const& horizon, std::vector<SeenStroke>& strokes) {
    auto const shoulders = points_of(fields, prefix + "shoulder"), hips = points_of(fields, prefix + "hip"),
               ankles = points_of(fields, prefix + "ankle");
    if (shoulders.size() != hips.size() || (!ankles.empty() && ankles.size() != hips.size()))
        throw InvalidInput(
            plain(prefix + "shoulder") + ", " + plain(prefix + "hip"),
            std::to_string(shoulders.size()) + " and " + std::to_string(hips.size())
                + (ankles.empty() ? "" : " points, and " + std::to_string(ankles.size()) + " ankles"),
            "one of each for every frame");
    for (std::size_t i = 0; i < hips.size(); ++i) {
        Frame frame;
        frame.shoulder = shoulders[i];
        frame.hip = hips[i];
        if (!ankles.empty()) frame.ankle = ankles[i];
        frame.horizon = horizon;
        strokes.push_back({side, {frame}});
    }
}

double slip_of(Given const& given) {
    if (std::holds_alternative<InSi>(given)) return read<double>("slip", given);
    std::string text = text_of(given);
    if (text.size() > 2 && text.substr(text.size() - 2) == "px") text.resize(text.size() - 2);
    return parse<double>("slip", text);
}

SeenFrom side_of(std::string const& text) {
    SeenFrom const side = parse_seen_from(text);
    if (side != SeenFrom::toward && side != SeenFrom::away)
        throw InvalidInput(
            "side", printable(text),
            "toward or away, the breathing side or the other; both in a file, in its column side");
    return side;
}

/// What holds for all frames.
struct Camera {
    Film film{};
    SeenFrom side = SeenFrom::toward;
    std::optional<std::array<SidePoint, 2>> horizon{};
};
Camera camera_of(Fields const& fields) {
    Camera out;
    if (auto const text = text_of(fields, "stroke")) out.film.stroke = parse_stroke(*text);
    if (Given const* given = fields.find("slip")) out.film.slip_px = slip_of(*given);
    if (Given const* given = fields.find("cycle")) out.film.cycle = cycle_of(*given);
    out.film.above_water = fields.has("above_water");
    if (auto const text = text_of(fields, "side")) out.side = side_of(*text);
    if (auto const& held = fields.held().film) out.horizon = held->horizon;
    if (Given const* given = fields.find("horizon")) {
        auto const xy = numbers_of("horizon", *given, 4, "0,300,1280,304");
        out.horizon = std::array{SidePoint{xy[0], xy[1]}, SidePoint{xy[2], xy[3]}};
    }
    return out;
}
Film filmed(std::string const& path, Camera const& camera) {
    Film film = read_film(path, camera.film, camera.side);
    for (auto* strokes : {&film.breaths, &film.without})
        for (SeenStroke& s : *strokes)
            for (Frame& f : s.frames)
                if (!f.horizon) f.horizon = camera.horizon;
    return film;
}

/// A film of whom, still without frames.
FilmQuestion seen_of(Fields const& fields) {
    FilmQuestion out{{}, {}, {}, coefficients(fields)};
    if (auto const& held = fields.held().swim) {
        out.body = held->body;
        out.name = held->name;
        return out;
    }
    Swimmer const who = swimmer(fields);
    out.name = who.name;
    if (who.stature && who.mass) out.body = body(fields).second;
    else if (who.stature || who.mass)
        throw InvalidInput(who.stature ? "mass" : "height", "nothing",
                           "height and mass together, for a drop in centimetres");
    return out;
}

/// Those that a face has as values.
void add_frames(std::vector<GivenStroke> const& given, Camera const& camera,
                std::vector<SeenStroke>& strokes) {
    for (GivenStroke const& stroke : given) {
        strokes.push_back({stroke.side ? side_of(*stroke.side) : camera.side, stroke.frames});
        for (Frame& frame : strokes.back().frames)
            if (!frame.horizon) frame.horizon = camera.horizon;
    }
}

} // namespace

FilmQuestion film(Fields const& fields) {
    FilmQuestion out = seen_of(fields);
    Camera const camera = camera_of(fields);
    auto const& held = fields.held().film;
    bool const has_frames = held && !(held->breaths.empty() && held->without.empty());
    if (auto const path = text_of(fields, "file")) {
        if (has_frames) throw InvalidInput("file, frames", "both", "one of them");
        for (std::string_view const name :
             {"shoulder", "hip", "ankle", "without_shoulder", "without_hip", "without_ankle"})
            if (fields.has(name)) idle(fields, name, "beside a file of points");
        out.film = filmed(*path, camera);
    } else if (held) {
        if (!has_frames)
            throw InvalidInput("frames", "nothing",
                               "frames of a breath and of a stroke without one, or a file of points");
        out.film = camera.film;
        add_frames(held->breaths, camera, out.film.breaths);
        add_frames(held->without, camera, out.film.without);
    } else {
        out.film = camera.film;
        Missing missing;
        if (!fields.has("shoulder") && !fields.has("without_shoulder"))
            missing.add("shoulder", "its point in a frame", "412,310");
        if (!fields.has("hip") && !fields.has("without_hip")) missing.add("hip", "its point", "290,322");
        missing.refuse();
        add_frames(fields, "", camera.side, camera.horizon, out.film.breaths);
        add_frames(fields, "without_", camera.side, camera.horizon, out.film.without);
    }
    return out;
}

GlideRequest glide(Fields const& fields) {
    std::vector<Glide> const& glides = fields.held().glides;
    if (!fields.has("file") && !fields.has("points") && glides.empty())
        throw InvalidInput("points", "nothing", "times and distances, as 0s:0m,0.5s:1.1m, or a file of them");
    need(fields, "held", "points");
    need(fields, "depth", "points");
    GlideRequest out{swim(fields), {}};
    if (auto const path = text_of(fields, "file")) out.glides = read_glides(*path);
    for (Given const& given : fields.all("points")) {
        Glide glide;
        glide.points = parse_glide_points("points", text_of(given));
        glide.held = maybe<Angle>(fields, "held").value_or(radians(0.0));
        glide.depth = maybe<Length>(fields, "depth");
        out.glides.push_back(std::move(glide));
    }
    out.glides.insert(out.glides.end(), glides.begin(), glides.end());
    // A swim's depth is that of its drag; a glide's is its own.
    out.swim.depth = metres(0.0);
    return out;
}

LoadedRequest loaded(Fields const& fields) {
    Missing missing;
    bool const timed = fields.has("distance");
    std::string_view const example = timed ? "15.4s,15.5s" : "1.62m/s,1.61m/s";
    if (!fields.has("free"))
        missing.add("free", "speeds without the force, or times with a distance", example);
    if (!fields.has("loaded")) missing.add("loaded", "the same with the force", example);
    if (!fields.has("load") && !fields.has("tow"))
        missing.add("load", "the force against the swimmer, or tow for one that pulls along", "45N");
    missing.refuse();
    if (fields.has("load") && fields.has("tow")) throw InvalidInput("load, tow", "both", "one of them");
    need(fields, "by", "distance");
    Force force{};
    if (auto const pull = maybe<Force>(fields, "load")) force = *pull;
    if (auto const pull = maybe<Force>(fields, "tow")) force = -*pull;
    if (force.value() < 0.0 && fields.has("load"))
        throw InvalidInput("load", shown(*fields.find("load")),
                           "a force above 0; one that pulls along is a tow");

    LoadedRequest out;
    if (timed) {
        LoadedSwims swims;
        swims.load = force;
        swims.distance = read<Length>("distance", *fields.find("distance"));
        if (auto const by = text_of(fields, "by")) swims.by = parse_timed_by(*by);
        swims.free = list_of(fields, "free", read<Time>);
        swims.loaded = list_of(fields, "loaded", read<Time>);
        out = LoadedRequest::of(swims, coefficients(fields));
    } else {
        out.load = force;
        out.coefficients = coefficients(fields);
        out.free = list_of(fields, "free", read<Velocity>);
        out.loaded = list_of(fields, "loaded", read<Velocity>);
    }
    out.load_sd = maybe<Force>(fields, "load_sd");
    return out;
}

} // namespace libdrag::request
