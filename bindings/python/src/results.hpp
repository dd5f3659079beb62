#pragma once
/// The description of a result as Python's objects: a dictionary of its fields.

#include <libdrag/describe.hpp>

#include "elements.hpp"

namespace libdrag_python {

using report::describe;
using report::Description;

py::dict object_of(Description record);

inline py::object object_of(Estimate const& e) {
    return py::module_::import("libdrag._draws").attr("Estimate")(e.median, e.low, e.high, e.level);
}
inline py::tuple object_of(Uncertain const& u) { return py::make_tuple(u.value, u.sd); }
inline py::tuple object_of(Because const& because) {
    py::object const line = py::module_::import("libdrag._draws").attr("Contribution");
    py::list out;
    for (Contribution const& part : because.ranked) out.append(line(part.input, part.share));
    return out;
}
inline py::object object_of(report::Value value) {
    return std::visit(
        [](auto& x) -> py::object {
            using T = std::decay_t<decltype(x)>;
            if constexpr (std::is_same_v<T, std::monostate>) return py::none();
            else if constexpr (std::is_same_v<T, std::optional<Estimate>>)
                return x ? object_of(*x) : py::object(py::none());
            else if constexpr (std::is_same_v<
                                   T,
                                   Uncertain> || std::is_same_v<T, Because> || std::is_same_v<T, Description>)
                return object_of(std::move(x));
            else if constexpr (std::is_same_v<T, std::vector<double>>) return handed_over(std::move(x));
            else if constexpr (std::is_same_v<T, std::vector<Description>>) {
                py::list rows;
                for (Description& row : x) rows.append(object_of(std::move(row)));
                return py::tuple(rows);
            } else return py::cast(x);
        },
        value);
}
inline py::dict object_of(Description record) {
    py::dict out;
    for (report::Field& field : record)
        if ((field.faces & report::face::object) != 0)
            out[py::str(field.name)] = object_of(std::move(field.value));
    return out;
}

} // namespace libdrag_python
