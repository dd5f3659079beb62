#include <libdrag/report_practice.hpp>

#include "report_text.hpp"
#include "svg.hpp"

namespace libdrag::report {
namespace {

/// "1:05", "0:40".
std::string clock(Time t) {
    auto const s = static_cast<int>(std::lround(t.value()));
    return fmt::format("{}:{:02}", s / 60, s % 60);
}
/// As one reads it off the watch: "15.1", "1:20.4".
std::string watch_time(Time t) {
    double const s = std::round(10.0 * t.value()) / 10.0, minutes = std::floor(s / 60.0);
    return minutes > 0.0 ? fmt::format("{:.0f}:{:04.1f}", minutes, s - 60.0 * minutes)
                         : fmt::format("{:.1f}", s);
}
std::string hundredths(Time t) {
    double const s = std::round(100.0 * t.value()) / 100.0;
    return fmt::format("{:.2f}", s == 0.0 ? 0.0 : s);
}
std::string range(Interval<Time> const& e, std::string (*words)(Time)) {
    return words(e.low) + " to " + words(e.high);
}

std::string capital(std::string_view text) {
    std::string out(text);
    out.front() = static_cast<char>(out.front() - 'a' + 'A');
    return out;
}

/// The way to swim by its letter and what is worn with it; by its words where it has none.
std::string line_words(PracticeLine const& line, Practice const& p) {
    std::string const letter = letter_of(p, line.how);
    if (letter.empty()) return way_words(line.how, p.stroke);
    std::string worn;
    for (Aid const& aid : line.how.aids)
        if (!std::holds_alternative<Snorkel>(aid)) worn += " with " + in_words(aid);
    return letter + worn;
}

/// "A B B A", "A, all four".
std::string order_words(PracticePart const& part, Practice const& p) {
    std::string worn;
    if (part.what == PartOf::loaded) {
        std::string const first = line_words(part.lines.front(), p);
        worn = ", each" + first.substr(1);
    }
    if (part.lines.size() == 1) return line_words(part.lines.front(), p);
    std::string out;
    for (int const k : part.order)
        out += (out.empty() ? "" : " ") + letter_of(p, part.lines[static_cast<std::size_t>(k)].how);
    return out + worn;
}

/// "4 x 25 m on 1:05, race pace"
std::string swims_words(PracticePart const& part, Practice const& p) {
    std::size_t const n = part.order.size();
    return fmt::format("{}{} on {}, {}", n > 1 ? fmt::format("{} x ", n) : "",
                       distance_words(p.request.pool, part.lengths), clock(part.send_off),
                       in_words(part.work));
}

std::string film_words(PracticePart const& part, Stroke stroke) {
    std::string out;
    for (auto const& [swim, side] : part.film)
        out += fmt::format("{}no. {} from {}", out.empty() ? "" : ", ", swim,
                           stroke == Stroke::crawl
                               ? (side == SeenFrom::toward ? "her breathing side" : "the other side")
                               : (side == SeenFrom::toward ? "her left" : "her right"));
    return out;
}

std::string rule_numbers(PracticePart const& part) {
    std::string out;
    for (int const rule : part.rules) out += (out.empty() ? "" : ", ") + std::to_string(rule);
    return out;
}
std::string rules_words(PracticePart const& part) {
    return (part.rules.size() == 1 ? "rule " : "rules ") + rule_numbers(part);
}

/// Targets of parts that are swum alike stand once.
std::vector<PracticePart const*> different_targets(Practice const& p) {
    std::vector<PracticePart const*> out;
    auto const alike = [](PracticePart const& a, PracticePart const& b) {
        return a.lengths == b.lengths && a.work == b.work && a.lines.size() <= b.lines.size()
               && std::equal(a.lines.begin(), a.lines.end(), b.lines.begin(),
                             [](PracticeLine const& x, PracticeLine const& y) { return x.how == y.how; });
    };
    for (PracticePart const& part : p.parts) {
        if (!part.lines.front().target) continue;
        auto const found =
            std::find_if(out.begin(), out.end(), [&](auto const* known) { return alike(*known, part); });
        bool const covered =
            std::any_of(out.begin(), out.end(), [&](auto const* k) { return alike(part, *k); });
        if (covered) continue;
        if (found != out.end()) *found = &part;
        else out.push_back(&part);
    }
    return out;
}

/// The first column of a part's targets, and what is known of each line.
std::vector<std::vector<std::string>> table_of(PracticePart const& part, Practice const& p) {
    bool const gaps =
        std::any_of(part.lines.begin(), part.lines.end(), [](auto const& l) { return l.gap.has_value(); });
    std::vector<std::vector<std::string>> rows{
        {fmt::format("{}, {}", distance_words(p.request.pool, part.lengths), in_words(part.work)),
         "one swim, s", fmt::format("{:.3g} % range", 100.0 * part.lines.front().target->level)}};
    if (gaps) {
        rows.front().push_back("slower, s");
        rows.front().push_back(fmt::format("{:.3g} % range", 100.0 * p.options.level));
    }
    for (PracticeLine const& line : part.lines) {
        std::vector<std::string> row{line_words(line, p), watch_time(line.target->median),
                                     range(*line.target, &watch_time)};
        if (gaps) {
            row.push_back(line.gap ? hundredths(line.gap->median) : "");
            row.push_back(line.gap ? range(*line.gap, &hundredths) : "");
        }
        rows.push_back(std::move(row));
    }
    return rows;
}

std::string strokes_words(PracticePart const& part, Practice const& p) {
    std::string const count = "count hers in the A of the first test, and hold that in every swim";
    if (!part.strokes) return count;
    bool const arms = p.stroke == Stroke::crawl || p.stroke == Stroke::back;
    std::string const unit = arms ? "arm strokes" : "cycles";
    Estimate const& s = *part.strokes;
    std::string const of = fmt::format(" in {} at race pace", distance_words(p.request.pool, part.lengths));
    if (part.strokes_counted) return fmt::format("hold {:.0f} {}{}, as she has swum A", s.median, unit, of);
    return fmt::format("about {:.0f} {} ({:.0f} to {:.0f}){} by usual stroke rates; {}", s.median, unit,
                       s.low, s.high, of, count);
}

std::string title(Practice const& p) {
    std::string const& name = p.request.race.swim.name;
    return fmt::format("{}{} min in a pool of {}, for the {} in {}; {}{}",
                       name.empty() ? "" : printable(name) + ": ", p.request.minutes,
                       distance_words(p.request.pool, 1), to_string(p.request.race.event),
                       format_time(p.request.race.time), p.request.work == Work::easy ? "" : "up to ",
                       in_words(p.request.work));
}

std::string ways_words(Practice const& p) {
    std::string out;
    for (Condition const& how : p.ways)
        out += (out.empty() ? "" : "; ") + letter_of(p, how) + " " + way_words(how, p.stroke);
    return out;
}

std::string sum_words(Practice const& p) {
    int lengths = 0;
    for (PracticePart const& part : p.parts) lengths += part.lengths * static_cast<int>(part.order.size());
    return fmt::format("{}, {} lengths, {}, with {:g} s to talk before each part; {} left for other swimming",
                       distance_words(p.request.pool, lengths), lengths, clock(p.time),
                       published("practice.talk"), p.left.value() > 0.0 ? clock(p.left) : "nothing");
}

PracticePart const& test_of(Practice const& p) { return p.parts[1]; }

} // namespace

std::string practice(Practice const& p, Style const& style) {
    Description const answer = describe(p), who = identity(p.request.race, p.options);
    if (style.form == Form::json) return write_json(answer, who);
    if (style.form == Form::csv) {
        Description const shared{field("notes", p.notes), field("cautions", p.cautions)};
        return write_csv(swims_of(p), {&shared, &who});
    }
    Page page(style);
    page.line(title(p) + ":");
    page.line();
    page.paragraph("Ways", ways_words(p));
    int part_number = 0;
    for (PracticePart const& part : p.parts) {
        page.paragraph(fmt::format("{} {}", ++part_number, capital(in_words(part.what))),
                       swims_words(part, p) + ": " + order_words(part, p));
        if (!part.cue.empty())
            page.paragraph("", (part.lines.front().how.cue.empty() ? "cue: " : "cue for A: ") + part.cue);
        if (!part.film.empty()) page.paragraph("", "film " + film_words(part, p.stroke));
        if (!part.rules.empty()) page.paragraph("", rules_words(part));
    }
    page.paragraph("In all", sum_words(p));
    for (PracticePart const* part : different_targets(p)) {
        page.line();
        page.table(table_of(*part, p));
    }
    page.line();
    page.paragraph("Strokes", strokes_words(test_of(p), p));
    page.paragraph("Step up", p.step_up);
    page.paragraph("Step back", p.step_back);
    for (std::string const& line : p.log) page.paragraph(&line == &p.log.front() ? "Record" : "", line);
    page.remarks(p.notes, p.cautions);
    for (PracticeRule const& rule : p.rules)
        page.paragraph(fmt::format("Rule {}", rule.number), rule.rule + " " + rule.reason);
    add(page, who, assumptions(p.request.race.swim));
    return page.text();
}

std::string practice_page(Practice const& p) {
    auto const tag = [](std::string_view name, std::string_view text, std::string_view attributes = "") {
        return fmt::format("<{}{}>{}</{}>\n", name, attributes, svg::escaped(text), name);
    };
    std::string out =
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n"
        "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n"
        + tag("title", title(p))
        + "<style>\n"
          "body { font: 11pt/1.35 sans-serif; color: #000; background: #fff; max-width: 19cm; margin: "
          "1em auto; padding: 0 0.5em; }\n"
          "h1 { font-size: 1.2em; }\nh2 { font-size: 1.05em; margin: 1em 0 0.3em; }\n"
          "table { border-collapse: collapse; width: 100%; }\n"
          "th, td { border: 1px solid #000; padding: 0.15em 0.4em; text-align: left; vertical-align: "
          "top; }\n"
          "table + table { margin-top: 0.6em; }\ntd:first-child, td.blank { white-space: nowrap; }\n.small { "
          "font-size: 0.85em; }\n"
          "tr, h2 { break-inside: avoid; break-after: auto; }\n@page { margin: 10mm; }\n"
          "@media print { body { font-size: 9pt; max-width: none; margin: 0; padding: 0; } }\n" // one sheet
          "</style>\n</head>\n<body>\n"
        + tag("h1", title(p)) + tag("p", ways_words(p) + ".");
    auto const head = [&](std::vector<std::string> const& cells) {
        out += "<table>\n<tr>";
        for (std::string const& cell : cells) out += "<th>" + svg::escaped(cell) + "</th>";
        out += "</tr>\n";
    };
    auto const row = [&](std::vector<std::string> const& cells) {
        out += "<tr>";
        for (std::string const& cell : cells) out += "<td>" + svg::escaped(cell) + "</td>";
        out += "</tr>\n";
    };
    out += tag("h2", "Swims");
    head({"", "swims", "order", "cue and film", "rules"});
    int part_number = 0;
    for (PracticePart const& part : p.parts) {
        std::string say = part.cue;
        if (!part.film.empty()) say += (say.empty() ? "Film " : ". Film ") + film_words(part, p.stroke);
        row({fmt::format("{} {}", ++part_number, in_words(part.what)), swims_words(part, p),
             order_words(part, p), say, rule_numbers(part)});
    }
    out += "</table>\n" + tag("p", sum_words(p) + ".");
    out += tag("h2", "Times");
    for (PracticePart const* part : different_targets(p)) {
        auto const rows = table_of(*part, p);
        head(rows.front());
        for (std::size_t i = 1; i < rows.size(); ++i) row(rows[i]);
        out += "</table>\n";
    }
    out += tag("p", "Strokes: " + strokes_words(test_of(p), p) + ".");
    out += tag("h2", "The two tests, to write on");
    head({"swim", "way", "first test: time", "strokes", "last test: time", "strokes"});
    for (std::size_t i = 0; i < test_of(p).order.size(); ++i) {
        out += fmt::format(
            "<tr><td>{}</td><td>{}</td>", i + 1,
            svg::escaped(letter_of(p, test_of(p).lines[static_cast<std::size_t>(test_of(p).order[i])].how)));
        for (int blank = 0; blank < 4; ++blank) out += "<td class=\"blank\"></td>";
        out += "</tr>\n";
    }
    out += "</table>\n" + tag("h2", "Next time") + tag("p", "Step up: " + p.step_up + ".")
           + tag("p", "Step back: " + p.step_back + ".");
    out += tag("h2", "Cautions") + "<ul>\n";
    for (std::string const& caution : p.cautions) out += tag("li", caution);
    out += "</ul>\n" + tag("h2", "Notes") + "<ul class=\"small\">\n";
    for (std::string const& note : p.notes) out += tag("li", note);
    out += "</ul>\n" + tag("h2", "Why") + "<ol class=\"small\">\n";
    for (PracticeRule const& rule : p.rules)
        out += tag("li", rule.rule + " " + rule.reason, fmt::format(" value=\"{}\"", rule.number));
    out += "</ol>\n";
    out += tag("p", "For the record:", " class=\"small\"");
    for (std::string const& line : p.log) out += tag("p", line, " class=\"small\"");
    std::vector<std::string> made;
    for (Field const& field : identity(p.request.race, p.options))
        if (!field.words.empty()) made.push_back(field.words);
    return out + tag("p", joined(made, ", "), " class=\"small\"") + "</body>\n</html>\n";
}

} // namespace libdrag::report
