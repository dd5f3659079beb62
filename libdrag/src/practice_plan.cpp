#include "practice_plan.hpp"

#include <array>
#include <numeric>

#include "random.hpp"

namespace libdrag {
namespace {

/// Every block of swims is a multiple of two mirrored rounds, so that a steady trend takes nothing from any way to swim.
constexpr int mirrored = 2;

/// Whole numbers by seed, the same on every machine.
class Lot {
public:
    explicit Lot(std::uint64_t seed) : seed_(seed) {}
    /// 0 to n - 1.
    std::size_t below(std::size_t n) {
        if (next_ % block_size == 0)
            random_bits(seed_, stream_of("practice.lot"), next_ / block_size, bits_.data());
        return bits_[next_++ % block_size] % n;
    }
    template <class T> void shuffle(std::vector<T>& items) {
        for (std::size_t k = items.size(); k > 1; --k) std::swap(items[k - 1], items[below(k)]);
    }

private:
    std::uint64_t seed_;
    std::size_t next_ = 0;
    std::array<std::uint32_t, block_size> bits_{};
};

constexpr std::string_view held = "level hips", exaggerated = "low hips";

/// Said to the swimmer: what happens to the water, the line or the goggle, never to the neck.
std::vector<std::string> cues_of(Stroke stroke) {
    switch (stroke) {
    case Stroke::crawl:
        return {"one goggle stays in the water", "push the water straight back",
                "the air is in the hollow behind the wave: breathe there", "leave a narrow wake",
                "slide forward along the line on the bottom"};
    case Stroke::fly:
        return {"breathe low over the water, forward", "follow the line on the bottom between breaths",
                "send the wave forward, not up", "throw the water back behind you"};
    case Stroke::breast:
        return {"slip under the wave you have made", "shoot along the line on the bottom",
                "breathe as the water carries you up", "send the water back, not down"};
    case Stroke::back:
        return {"the water line runs beside the goggles and stays there", "leave a narrow wake",
                "keep the suit's front at the surface", "slide under one line of the ceiling"};
    }
    return {};
}

/// One part that is still being sized.
struct Sized {
    PartOf what;
    Work work;
    int lengths;
    std::vector<Condition> ways;
    int each; ///< swims of each way
    int step = mirrored, most = 0;
    double send_off = 0.0, before = 0.0; ///< s
    [[nodiscard]] int swims() const { return each * static_cast<int>(ways.size()); }
    [[nodiscard]] double time() const { return before + swims() * send_off; }
    [[nodiscard]] int all_lengths() const { return swims() * lengths; }
};

double up_to_five(double s) { return 5.0 * std::ceil(s / 5.0 - 1e-9); }

/// Sizes the parts to the minutes.
class Sizes {
public:
    Sizes(PracticeRequest const& request, SlowSwim const& slow, Lot& lot)
        : request_(request), slow_(slow), ways_(ways_of(request)), budget_(60.0 * request.minutes) {
        // Of whole lengths: easy swims to 50 m, threshold to 100 m, race pace never turns.
        int const easy_most = most_lengths(50.0), threshold_most = most_lengths(100.0);
        easy_ = 1 + static_cast<int>(lot.below(static_cast<std::size_t>(easy_most)));
        threshold_ = 1 + static_cast<int>(lot.below(static_cast<std::size_t>(threshold_most)));
        if (!ways_.third.empty() && lot.below(2) == 0) third_ = ways_.third[lot.below(ways_.third.size())];
        tiring_ = 200.0 + 100.0 * static_cast<double>(lot.below(3));
        std::vector<Aid> const loads = loads_of(request);
        if (request.work == Work::loaded) {
            if (loads.empty())
                throw InvalidInput(
                    "work", "loaded",
                    "easy, threshold, race or tired, unless something at hand adds drag: shorts, "
                    "a drogue, a bowl, a parachute, a tether, or of adults in a pool of 25 m a belt");
            load_ = loads[lot.below(loads.size())];
        }
    }

    [[nodiscard]] std::vector<Sized> fitted() {
        std::vector<Sized> parts = least();
        if (time_of(parts) > budget_) { // the shortest swims, and two ways
            easy_ = threshold_ = 1;
            third_.reset();
            tiring_ = 200.0;
            parts = least();
        }
        if (double const needed = time_of(parts); needed > budget_)
            throw InvalidInput("minutes", std::to_string(request_.minutes),
                               "at least " + std::to_string(static_cast<int>(std::ceil(needed / 60.0)))
                                   + " for work up to " + std::string(in_words(request_.work))
                                   + " in this pool: two tests of four swims stand about it");
        grow(parts);
        return parts;
    }

private:
    [[nodiscard]] int most_lengths(double m) const {
        return std::max(1, static_cast<int>(m / request_.pool.value() + 1e-9));
    }
    [[nodiscard]] static double time_of(std::vector<Sized> const& parts) {
        return std::accumulate(parts.begin(), parts.end(), 0.0,
                               [](double sum, Sized const& part) { return sum + part.time(); });
    }
    [[nodiscard]] int lengths_at(Work work) const {
        return work == Work::easy ? easy_ : work == Work::threshold ? threshold_ : 1;
    }
    [[nodiscard]] Sized part(PartOf what, Work work, std::vector<Condition> ways, int each, int lengths,
                             double before = published("practice.talk")) const {
        Sized out{what, work, lengths, std::move(ways), each};
        double slowest = 0.0;
        for (Condition const& how : out.ways) slowest = std::max(slowest, slow_(how, work, lengths));
        double rest = published("practice.rest.threshold");
        switch (work) {
        case Work::easy: rest = published("practice.rest.easy"); break;
        case Work::threshold: break;
        case Work::race:
        case Work::loaded: rest = slowest * published("practice.rest.race"); break;
        case Work::tired: rest = slowest * published("practice.rest.tired"); break;
        }
        out.send_off = up_to_five(slowest + rest);
        out.before = before;
        return out;
    }
    [[nodiscard]] std::vector<Condition> two() const { return {ways_.without, ways_.with}; }
    [[nodiscard]] std::vector<Condition> all() const {
        std::vector<Condition> out = two();
        if (third_) out.push_back(*third_);
        return out;
    }
    [[nodiscard]] Sized test() const { return part(PartOf::test, Work::race, two(), mirrored, 1); }
    [[nodiscard]] Sized block(PartOf what, Work work, std::vector<Condition> ways) const {
        Sized out = part(what, work, std::move(ways), mirrored, lengths_at(work));
        out.most = what == PartOf::loaded || out.ways.size() > 2 ? 4 : 6; // a dozen swims are enough
        return out;
    }
    [[nodiscard]] Sized by_lot() const {
        // Children keep an order that they know.
        Work const work = std::min(request_.work, Work::race);
        return block(is_child(request_) ? PartOf::mixed : PartOf::by_lot, work, all());
    }

    [[nodiscard]] std::vector<Sized> least() const {
        Work const work = request_.work;
        Condition const first = ways_.without.snorkel() ? ways_.without : ways_.with;
        std::vector<Sized> out{part(PartOf::used_to_it, Work::easy, {first}, 4, 1, 0.0), test()};
        Work const opening = work <= Work::threshold ? Work::easy : Work::threshold;
        out.push_back(part(PartOf::opening, opening, two(), 2, lengths_at(opening)));
        out.back().step = 1;
        out.back().most = 4;
        out.push_back(block(PartOf::mixed, std::min(work, Work::race), all()));
        if (work == Work::tired) {
            // There and back, in a pool of yards as many as in one of metres.
            constexpr double a_yard_is_less = 0.25;
            int const rounds = static_cast<int>(tiring_ / (2.0 * request_.pool.value()) + a_yard_is_less);
            out.push_back(part(PartOf::tiring, Work::threshold, {ways_.with}, 1, 2 * rounds));
            out.push_back(block(PartOf::tired, Work::tired, two()));
            out.back().before = 0.0; // tired is what she should be
            out.back().most = 4;
        } else if (work == Work::loaded) {
            std::vector<Condition> ways = two();
            for (Condition& how : ways) how.aids.push_back(*load_);
            out.push_back(block(PartOf::loaded, Work::loaded, std::move(ways)));
        }
        out.push_back(test());
        return out;
    }

    [[nodiscard]] bool fits(std::vector<Sized> const& parts) const {
        int loaded = 0, whole = 0;
        for (Sized const& p : parts) {
            whole += p.all_lengths();
            if (p.what == PartOf::loaded) loaded += p.all_lengths();
        }
        return time_of(parts) <= budget_ && loaded <= published("practice.load_share") * whole;
    }
    /// With one more part before the one at `at`, if there is time.
    bool insert(std::vector<Sized>& parts, std::vector<Sized>::iterator at, Sized more) const {
        std::vector<Sized> longer(parts.begin(), at);
        longer.push_back(std::move(more));
        longer.insert(longer.end(), at, parts.end());
        if (!fits(longer)) return false;
        parts = std::move(longer);
        return true;
    }
    static auto first_of(std::vector<Sized>& parts, std::initializer_list<PartOf> which) {
        return std::find_if(parts.begin(), parts.end(), [&](Sized const& p) {
            return std::find(which.begin(), which.end(), p.what) != which.end();
        });
    }
    void add_low_hips(std::vector<Sized>& parts) const {
        // Before the third block; no child, and nobody who wears weight today.
        bool const weight = load_ && std::holds_alternative<Belt>(*load_);
        auto const third = first_of(parts, {PartOf::by_lot, PartOf::tiring, PartOf::loaded});
        if (is_child(request_) || weight || third == parts.end()) return;
        Condition low = ways_.with;
        low.cue = exaggerated;
        insert(parts, third, part(PartOf::low_hips, Work::easy, {low}, 1, 1));
    }
    bool add_by_lot(std::vector<Sized>& parts) const {
        if (request_.work == Work::tired) return false;
        auto const at = first_of(parts, {PartOf::loaded});
        return insert(parts, at == parts.end() ? parts.end() - 1 : at, by_lot());
    }
    void grow_blocks(std::vector<Sized>& parts) const {
        for (bool grown = true; grown;) {
            grown = false;
            for (Sized& p : parts) {
                if (p.each + p.step > p.most) continue;
                p.each += p.step;
                if (fits(parts)) grown = true;
                else p.each -= p.step;
            }
        }
    }
    void grow(std::vector<Sized>& parts) const {
        add_by_lot(parts);
        add_low_hips(parts);
        grow_blocks(parts);
        // Of race pace there is enough by then.
        if (request_.work <= Work::threshold && add_by_lot(parts)) grow_blocks(parts);
    }

    PracticeRequest const& request_;
    SlowSwim const& slow_;
    Ways ways_;
    double budget_, tiring_ = 0.0;
    int easy_ = 1, threshold_ = 1;
    std::optional<Condition> third_{};
    std::optional<Aid> load_{};
};

std::vector<int> order_of(Sized const& part, Lot& lot) {
    int const ways = static_cast<int>(part.ways.size());
    std::vector<int> order;
    switch (part.what) {
    case PartOf::mixed:
    case PartOf::test:
    case PartOf::loaded: return mirrored_order(ways, part.each);
    case PartOf::by_lot:
    case PartOf::tired:
        for (int pair = 0; pair < part.each / mirrored; ++pair) {
            std::vector<int> round(part.ways.size());
            std::iota(round.begin(), round.end(), 0);
            lot.shuffle(round);
            order.insert(order.end(), round.begin(), round.end());
            order.insert(order.end(), round.rbegin(), round.rend());
        }
        return order;
    default:
        for (int way = 0; way < ways; ++way)
            order.insert(order.end(), static_cast<std::size_t>(part.each), way);
        return order;
    }
}

/// Beside the last, which shapes all.
std::vector<int> rules_of(PartOf what) {
    switch (what) {
    case PartOf::used_to_it: return {};
    case PartOf::test: return {1, 5, 9};
    case PartOf::opening: return {2, 3, 4, 5, 6};
    case PartOf::mixed:
    case PartOf::by_lot: return {1, 2, 3, 4, 5, 6};
    case PartOf::low_hips: return {7};
    case PartOf::tiring: return {4};
    case PartOf::tired: return {1, 3, 4, 5, 6};
    case PartOf::loaded: return {1, 3, 4, 5, 6, 8};
    }
    return {};
}

/// Every second swim with the fault, from both sides in turn.
void add_film(std::vector<PracticePart>& parts) {
    int with_fault = 0;
    SeenFrom side = SeenFrom::toward;
    for (PracticePart& part : parts) {
        int swim = 0;
        bool const filmed =
            part.what != PartOf::used_to_it && part.what != PartOf::low_hips && part.what != PartOf::tiring;
        for (int const k : part.order) {
            ++swim;
            Condition const& how = part.lines[static_cast<std::size_t>(k)].how;
            if (!filmed || how.snorkel() || how.cue == held) continue;
            if (++with_fault % 2 != 0) continue;
            part.film.emplace_back(swim, side);
            side = side == SeenFrom::toward ? SeenFrom::away : SeenFrom::toward;
        }
    }
}

} // namespace

bool is_child(PracticeRequest const& request) {
    Swim const& swim = request.race.swim;
    return swim.body.is_child(request.composition.age_years ? request.composition.age_years : swim.age_years);
}

bool is_low_hips(Condition const& how) { return how.cue == exaggerated; }

Ways ways_of(PracticeRequest const& request) {
    Stroke const stroke = request.race.event.stroke;
    bool const tube = ends_breath(request.aids) && stroke != Stroke::back;
    // The rarest last: none rarer than every fourth, none rare for a child, in breaststroke every one.
    std::vector<Breathing> patterns{usual_breathing(stroke)};
    if (stroke == Stroke::crawl) patterns = {{2}, {3}, {4}};
    if (stroke == Stroke::fly) patterns = {{1}, {2}};
    if (is_child(request))
        while (breathes_rarely(stroke, patterns.back()) && patterns.size() > 1) patterns.pop_back();
    auto const has = [&](Breathing b) {
        return std::find(patterns.begin(), patterns.end(), b) != patterns.end();
    };
    Breathing with = breathing_of(request.race.breathing, stroke).front();
    if (!has(with) || (!tube && with == patterns.back())) with = usual_breathing(stroke);
    Ways out;
    out.with.breathing = with;
    if (tube) {
        out.without.aids = {Snorkel{}};
    } else {
        out.without.breathing = patterns.back();
        if (patterns.back() == with) out.without.cue = held;
    }
    for (Breathing const b : patterns)
        if (!(b == with) && (tube || !(b == out.without.breathing))) out.third.push_back(Condition{b});
    return out;
}

std::vector<Aid> loads_of(PracticeRequest const& request) {
    constexpr double standing_depth_m = 25.5; // longer pools are deep
    std::vector<Aid> out;
    for (Aid const& aid : request.aids) {
        bool const belt = std::holds_alternative<Belt>(aid);
        bool const adds = belt || std::holds_alternative<DragShorts>(aid)
                          || std::holds_alternative<Drogue>(aid) || std::holds_alternative<Tether>(aid);
        if (!adds || (belt && (is_child(request) || request.pool.value() > standing_depth_m))) continue;
        out.push_back(aid);
    }
    return out;
}

std::vector<PracticePart> plan_of(PracticeRequest const& request, SlowSwim const& slow, std::uint64_t seed) {
    Lot lot(seed);
    std::vector<std::string> cues = cues_of(request.race.event.stroke);
    lot.shuffle(cues);
    std::size_t next_cue = 0;
    std::vector<PracticePart> parts;
    // Where the cue is what the two ways differ by, it stays the same.
    bool const by_cue = ways_of(request).without.cue == held;
    for (Sized const& sized : Sizes(request, slow, lot).fitted()) {
        PracticePart part{sized.what, sized.work, sized.lengths, {}, order_of(sized, lot)};
        for (Condition const& how : sized.ways) part.lines.push_back({how, sized.each});
        part.send_off = seconds(sized.send_off);
        part.before = seconds(sized.before);
        part.rules = rules_of(sized.what);
        bool const alone = sized.ways.size() == 1;
        if (by_cue && !alone) part.cue = cues.front();
        else if (!alone && sized.what != PartOf::test) part.cue = cues[next_cue++ % cues.size()];
        parts.push_back(std::move(part));
    }
    add_film(parts);
    return parts;
}

} // namespace libdrag
