#include <libdrag/request_card.hpp>

#include <libdrag/record.hpp>
#include <libdrag/request_measured.hpp>

#include "names.hpp"
#include "request_read.hpp"
#include "svg.hpp"
#include "text_file.hpp"

namespace libdrag::request {
using namespace reading;
namespace {

/// Her days in the record, where there are two or more and all of them by film or all by the watch.
std::optional<ProgressRequest> sessions_in(Record const& record, CostRequest const& race) {
    ProgressRequest out{race.swim.name, {}, race, race.swim.coefficients, {}};
    out.sessions =
        sessions_of(record.measurements, race.event.stroke, race.swim.body, out.notes, out.coefficients);
    auto const days = [&](auto const& seen) {
        return std::count_if(out.sessions.begin(), out.sessions.end(), seen);
    };
    if (std::max(days([](Session const& s) { return s.drop.has_value(); }),
                 days([](Session const& s) { return s.gap.has_value(); }))
        < 2)
        return std::nullopt;
    return out;
}

bool ends_in(std::string_view text, std::string_view end) {
    return text.size() > end.size() && text.substr(text.size() - end.size()) == end;
}

} // namespace

CardQuestion card(Fields const& fields) {
    for (std::string_view const name : {"what_if", "want", "time_without"})
        if (fields.has(name)) idle(fields, name, "on a card");
    CardQuestion out{{cost(fields).races}, options(fields)};
    auto const date = text_of(fields, "date");
    out.card.date = date ? parse_date("date", *date) : today();
    out.card.measured = measured_beside(fields, out.card.races, out.options);
    if (out.card.measured)
        out.card.progress = sessions_in(out.card.measured->request.record, out.card.measured->race);
    return out;
}

std::optional<CardFile> card_file(Fields const& fields) {
    need(fields, "force", "out");
    auto const path = text_of(fields, "out");
    if (!path) return std::nullopt;
    bool const page = ends_in(*path, ".html");
    if (!page && !ends_in(*path, ".svg"))
        throw InvalidInput("out", shown_path(*path),
                           "a file that ends in .html, or .svg for the picture alone");
    return CardFile{*path, page, fields.has("force")};
}

void write(Card const& card, CardFile const& file) {
    write(file.page ? page_of(card) : picture_of(card), file);
}
void write(std::string const& text, CardFile const& file) {
    write_text_file("out", file.path, file.overwrite, text);
}

std::string card_folder(Fields const& fields) {
    auto const path = text_of(fields, "out");
    std::error_code error;
    if (!path || path->empty())
        throw InvalidInput("out", "nothing", "a folder for the cards of a squad, as cards");
    std::filesystem::create_directories(*path, error);
    if (!std::filesystem::is_directory(*path, error))
        throw InvalidInput("out", shown_path(*path), "a folder for the cards of a squad, as cards");
    return *path;
}

std::string card_name(SquadRow const& row) {
    std::string name = std::to_string(row.number) + "-";
    for (char const c : lower_case(row.name)) {
        if ((c >= 'a' && c <= 'z') || (c >= '0' && c <= '9')) name += c;
        else if (name.back() != '-') name += '-';
    }
    if (name.back() == '-') name.pop_back();
    return name + ".html";
}

void write_index(std::string const& folder, std::vector<CardLink> const& cards, bool overwrite) {
    std::string list;
    for (CardLink const& card : cards)
        list += "<li><a href=\"" + svg::escaped(card.file) + "\">"
                + svg::escaped(card.name.empty() ? card.file : card.name) + "</a>, "
                + svg::escaped(card.event) + "<br>" + svg::escaped(card.sentence) + "</li>\n";
    write_text_file(
        "out", folder + "/index.html", overwrite,
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
        "<meta name=\"viewport\" content=\"width=device-width\">\n<title>Swimmers' cards</title>\n"
        "<style>body{font:1.1rem/1.4 system-ui,'DejaVu Sans',sans-serif;max-width:40rem;margin:1rem auto;"
        "padding:0 1rem}li{margin:.8rem 0}:root{color-scheme:light dark}</style>\n</head>\n"
        "<body>\n<h1>Swimmers' cards</h1>\n<ul>\n"
            + list + "</ul>\n</body>\n</html>\n");
}

} // namespace libdrag::request
