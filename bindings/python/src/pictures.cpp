/// What is looked at: pictures of bodies and results, cards, and a squad as one table.

#include <libdrag/chart_of.hpp>
#include <libdrag/request_card.hpp>
#include <libdrag/request_drawing.hpp>

#include "questions.hpp"

namespace libdrag_python {
namespace {

std::string drawing_of(SwimHandle const& handle, py::dict const& call, py::object const& posture,
                       Options const& options) {
    Fields const fields = fields_of(call);
    drawing::Scene scene = request::scene(fields, handle.swim);
    if (!posture.is_none()) scene.joints = posture_of(py::cast<py::tuple>(posture));
    return unlocked(options,
                    [&](Options const& watched) { return request::view_of(fields, scene, watched); });
}

void write_card(Drawn& page, Drawn& picture, py::bytes const& path, bool overwrite) {
    Fields fields;
    fields.add("out", std::string(path));
    if (overwrite) fields.flag("force");
    request::CardFile const file = *request::card_file(fields);
    request::write(file.page ? page.text() : picture.text(), file);
}

// --- a squad ----------------------------------------------------------------------------------------

/// A column by its name in the package's spelling, "hip_drop_deg", as a sheet has it: "hip drop (deg)".
std::string title_of(std::string const& name) {
    Unit const& u = unit_in(name);
    std::size_t const ending = std::strlen(u.ending);
    if (ending == 0) return in_words(name);
    return in_words(name.substr(0, name.size() - ending)) + " (" + u.text + ")";
}
/// What a sheet would hold; a float to its last bit.
std::string cell_of(py::handle value) {
    if (value.is_none()) return {};
    if (py::isinstance<py::str>(value)) return text_of(value, "cell", "text");
    bool const real = PyFloat_Check(value.ptr());
    return reading("cell", value, "a number or text", [&] {
        return std::string(real ? py::repr(py::float_(PyFloat_AS_DOUBLE(value.ptr()))) : py::str(value));
    });
}

/// The table of answers as CSV, and its notes.
py::tuple squad_of(std::string const& question, std::vector<std::string> titles, py::list const& rows,
                   py::dict const& call, Options const& options) {
    for (std::string& title : titles) title = title_of(title);
    std::vector<std::vector<std::string>> cells;
    for (py::handle const row : rows) {
        std::vector<std::string>& line = cells.emplace_back();
        for (py::handle const value : row) line.push_back(cell_of(value));
    }
    Fields fields = fields_of(call);
    request::Held run;
    run.options = options;
    fields.hold(run);
    request::Squad const squad = request::squad(sheet_of("the data frame", titles, std::move(cells)), fields);
    Answer const told = unlocked(options, [&](Options const& watched) {
        return answer(question, squad, fields, report::Form::csv, [&](double) { (*watched.poll)(); });
    });
    return py::make_tuple(told.text, squad.notes);
}

} // namespace

void define_pictures(py::module_& m) {
    py::class_<Drawn, std::shared_ptr<Drawn>>(m, "Drawn")
        .def(py::init<std::string>(), "text"_a)
        .def("text", &Drawn::text)
        .def("__eq__", [](Drawn const&, Drawn const&) { return true; }) // what it is of is compared beside it
        .def("__reduce__", [](py::object const& self) {
            std::string const& text = py::cast<Drawn&>(self).text();
            return py::make_tuple(py::type::of(self), py::make_tuple(text));
        });
    m.def(
        "write_picture",
        [](std::string const& svg, py::bytes const& path, bool overwrite) {
            write_picture(svg, std::string(path), overwrite);
        },
        "svg"_a, "path"_a, "overwrite"_a);
    m.def(
        "doubts_picture",
        [](std::vector<std::pair<std::string, double>> const& ranked, std::string const& of) {
            Because because{{}, 1.0};
            for (auto const& [name, share] : ranked) {
                because.ranked.push_back({name, share});
                because.in_combination = std::max(0.0, because.in_combination - share);
            }
            return svg_of(chart_of(because, of));
        },
        "ranked"_a, "of"_a);
    m.def("drawing", &drawing_of, "swim"_a, "call"_a, "posture"_a, "options"_a);
    m.def("write_card", &write_card, "page"_a, "picture"_a, "path"_a, "overwrite"_a);
    m.def("squad", &squad_of, "question"_a, "titles"_a, "rows"_a, "call"_a, "options"_a);
}

} // namespace libdrag_python
