#include <libdrag/report_film.hpp>

#include "describe_field.hpp"

namespace libdrag::report {
namespace {

Description interval(GlideRatio const& r) {
    return {field("held", r.held), field("seen", std::optional(r.seen)),
            field("expected", std::optional(r.expected)), field("tail", r.tail)};
}

} // namespace

Description describe(FilmEstimate const& e) {
    return {field("stroke", std::string(to_string(e.film.stroke))),
            field("side", std::string(to_string(e.side))),
            field("breaths", std::int64_t{e.breaths}),
            field("without", std::int64_t{e.without}),
            field("incline", e.incline),
            field("breath_incline", e.breath_incline),
            field("hip_drop", e.drop),
            field("hip_depth", e.depth),
            field("legs", e.legs),
            field("pulse_width", e.pulse_width),
            field("lag", e.lag),
            in(face::tree, field("because", e.because)),
            in(face::tree, field("in_combination", e.because.in_combination)),
            in(face::tree, field("notes", e.notes)),
            field("cautions", e.cautions)};
}

Description describe(GlideEstimate const& e) {
    std::vector<Description> fits, held, ratios;
    for (GlideFit const& f : e.fits)
        fits.push_back(
            {field("held", f.glide.held), field("points", static_cast<std::int64_t>(f.glide.points.size())),
             field("speed", f.speed), field("stopping", f.stopping), field("residual", f.residual)});
    for (HeldGlides const& h : e.held)
        held.push_back({field("held", h.held), field("glides", std::int64_t{h.glides}), field("k", h.k),
                        field("drag_area", h.drag_area)});
    for (GlideRatio const& r : e.ratios) ratios.push_back(interval(r));
    return {in(face::tree, field("k", e.held.front().k)),
            in(face::tree, field("drag_area", e.held.front().drag_area)),
            in(face::tree, field("held", std::move(held))),
            in(face::tree, field("ratios", std::move(ratios))),
            in(face::tree, field("fits", std::move(fits))),
            in(face::tree, field("because", e.because)),
            in(face::tree, field("in_combination", e.because.in_combination)),
            in(face::tree, field("notes", e.notes)),
            field("cautions", e.cautions)};
}

Description describe(LoadedEstimate const& e) {
    return {field("load", e.request.load),
            field("free", e.free),
            field("loaded", e.loaded),
            field("k", e.k),
            field("drag", e.drag),
            field("equal_power_k", e.equal_power),
            field("equal_thrust_k", e.equal_thrust),
            field("magnified", e.magnified),
            in(face::tree, field("because", e.because)),
            in(face::tree, field("in_combination", e.because.in_combination)),
            in(face::tree, field("notes", e.notes)),
            field("cautions", e.cautions)};
}

} // namespace libdrag::report
