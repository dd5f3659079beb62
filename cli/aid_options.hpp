#pragma once
/// Aids and body composition as options, for the subcommands that take them.

#include <libdrag/aids.hpp>

#include "command.hpp"

namespace dragcalc {

/// --snorkel, --belt, --belt-at, --shorts, --drogue, --bowl, --parachute, --tether, --buoy, --buoy-at,
/// --sleeve, --sleeve-at.
struct AidOptions {
    bool snorkel = false, shorts = false;
    Text belt, belt_at, shorts_area, drogue, bowl, parachute, tether, buoy, buoy_at, sleeve, sleeve_at;

    void add(CLI::App& app);
    [[nodiscard]] std::vector<libdrag::Aid> aids() const;
};

/// --lungs, --fat, --age.
struct CompositionOptions {
    Text lungs, fat, age;

    void add(CLI::App& app);
    [[nodiscard]] libdrag::Composition composition() const;
};

void add_aids(CLI::App& app);
void add_balance(CLI::App& app);

} // namespace dragcalc
