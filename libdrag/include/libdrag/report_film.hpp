#pragma once
/// @file
/// What a camera, a watch and a known force measured, in words, JSON and CSV, beside `report.hpp`.

#include <string>
#include <string_view>

#include <libdrag/describe.hpp>
#include <libdrag/film.hpp>
#include <libdrag/glide.hpp>
#include <libdrag/loaded.hpp>
#include <libdrag/report.hpp>

namespace libdrag::report {

Description describe(FilmEstimate const& estimate);
Description describe(GlideEstimate const& estimate);
Description describe(LoadedEstimate const& estimate);

/// @param name the swimmer's, if known
std::string angle(FilmEstimate const& estimate, Coefficients const& coefficients, std::string_view name,
                  Style const& style);
std::string glide(GlideEstimate const& estimate, Style const& style);
std::string loaded(LoadedEstimate const& estimate, Style const& style);

} // namespace libdrag::report
