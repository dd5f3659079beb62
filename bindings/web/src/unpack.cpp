/// Unpacks the page: LZMA, then the functions of the library from the streams that ../split_code.mjs made of them. A module of
/// its own, of some kilobytes, without a library of C.

#include <stddef.h>
#include <stdint.h>

namespace {

using Byte = unsigned char;

/// The arithmetic decoder of LZMA: bits by their adaptive probabilities, in 2^-11.
class Bits {
public:
    using Chance = uint16_t;
    static constexpr Chance even = 1024;

    Bits() = default;
    explicit Bits(Byte const* in) : in_(in + 1) { // the first byte is always 0
        for (int i = 0; i < 4; ++i) code_ = code_ << 8 | *in_++;
    }
    unsigned bit(Chance& chance) {
        uint32_t const bound = (range_ >> 11) * chance;
        unsigned const one = code_ >= bound;
        if (one != 0) {
            code_ -= bound;
            range_ -= bound;
            chance = static_cast<Chance>(chance - (chance >> 5));
        } else {
            range_ = bound;
            chance = static_cast<Chance>(chance + ((2048 - chance) >> 5));
        }
        fill();
        return one;
    }
    /// Without a model, the highest first.
    unsigned plain(int count) {
        unsigned out = 0;
        for (; count > 0; --count) {
            range_ >>= 1;
            unsigned const one = code_ >= range_;
            if (one != 0) code_ -= range_;
            out = 2 * out + one;
            fill();
        }
        return out;
    }
    unsigned tree(Chance* chances, int count) {
        unsigned at = 1;
        for (int i = 0; i < count; ++i) at = 2 * at + bit(chances[at]);
        return at - (1U << count);
    }
    /// The lowest first.
    unsigned reversed(Chance* chances, int count) {
        unsigned at = 1, out = 0;
        for (int i = 0; i < count; ++i) {
            unsigned const one = bit(chances[at]);
            at = 2 * at + one;
            out |= one << i;
        }
        return out;
    }

private:
    void fill() {
        if (range_ >> 24 != 0) return;
        range_ <<= 8;
        code_ = code_ << 8 | *in_++;
    }
    Byte const* in_ = nullptr;
    uint32_t range_ = 0xffffffff, code_ = 0;
};
using Chance = Bits::Chance;

/// Every probability, in one piece; all begin even. As packed: 2 bits of the letter before are a literal's context, no bits
/// of the position.
struct Model {
    struct Length {
        Chance longer[2], low[8], middle[8], high[256];

        unsigned read(Bits& bits) {
            if (bits.bit(longer[0]) == 0) return 2 + bits.tree(low, 3);
            if (bits.bit(longer[1]) == 0) return 10 + bits.tree(middle, 3);
            return 18 + bits.tree(high, 8);
        }
    };
    Chance literal[4][0x300], match[12], again[12], other[12], second[12], third[12], one[12];
    Chance slot[4][64], special[128], low[16];
    Length fresh, repeated;
};
Model model;

struct Unpacking {
    Bits bits;
    Byte *begin, *to;
    unsigned state, distance[4], length; ///< length: of a match that is not yet copied
};
Unpacking unpacking;

/// What ../split_code.mjs takes apart, in its order.
enum Kind { wide, longer, number, added, offset, call, local, shape, operation, kinds };
struct Streams {
    Byte const* at[kinds];
    Byte* out;

    Byte byte(Kind kind) { return *out++ = *at[kind]++; }
    void bytes(Kind kind, int count) {
        while (count-- > 0) byte(kind);
    }
    /// A number of any length, as WebAssembly has them; of those with a sign only the bytes count.
    unsigned value(Kind kind) {
        unsigned result = 0;
        for (int shift = 0;; shift += 7) {
            Byte const one = byte(kind);
            result |= (one & 127U) << shift;
            if (one < 128) return result;
        }
    }
    void write(unsigned result) {
        for (; result > 127; result >>= 7) *out++ = static_cast<Byte>(result | 128);
        *out++ = static_cast<Byte>(result);
    }
    void memory_place() {
        value(operation);
        value(offset);
    }
};

/// Locals of a function, the latest used first: a number is a place among them.
struct Locals {
    uint16_t latest[1 << 16];
    unsigned known;

    unsigned take(unsigned place) {
        for (; known <= place; ++known) latest[known] = static_cast<uint16_t>(known);
        uint16_t const taken = latest[place];
        for (; place > 0; --place) latest[place] = latest[place - 1];
        return latest[0] = taken;
    }
};
Locals locals;

/// The body of a function, to its last end.
void join_function(Streams& in) {
    locals.known = 0;
    for (unsigned groups = in.value(shape); groups > 0; --groups) {
        in.value(shape);
        in.byte(shape);
    }
    for (int depth = 1; depth > 0;) {
        unsigned const what = in.byte(operation);
        if (what >= 0x28 && what <= 0x3e) in.memory_place();
        else switch (what) {
            case 0x02: // block, loop, if, try
            case 0x03:
            case 0x04:
            case 0x06:
                ++depth;
                in.value(operation);
                break;
            case 0x18: // delegate
                --depth;
                in.value(operation);
                break;
            case 0x07: // catch, throw, rethrow, branches, globals, size of the memory
            case 0x08:
            case 0x09:
            case 0x0c:
            case 0x0d:
            case 0x23:
            case 0x24:
            case 0x3f:
            case 0x40: in.value(operation); break;
            case 0x0b: --depth; break;
            case 0x0e: // a branch of many
                for (unsigned places = in.value(shape) + 1; places > 0; --places) in.value(shape);
                break;
            case 0x10: in.value(call); break;
            case 0x11: // a call of what an address says
                in.value(shape);
                in.value(shape);
                break;
            case 0x20: // locals
            case 0x21:
            case 0x22: {
                Byte* const begin = in.out;
                unsigned const place = in.value(local);
                in.out = begin;
                in.write(locals.take(place));
                break;
            }
            case 0x41: in.value(*in.at[operation] == 0x6a ? added : number); break;
            case 0x42: in.value(longer); break;
            case 0x43: in.bytes(wide, 4); break;
            case 0x44: in.bytes(wide, 8); break;
            case 0xfc: { // memory
                unsigned const which = in.value(operation);
                if (which >= 8) in.bytes(operation, which == 9 || which == 11 ? 1 : 2);
                break;
            }
            case 0xfd: { // vectors
                unsigned const which = in.value(operation);
                bool const of_lane = which >= 84 && which <= 91;
                if (which <= 11 || of_lane || which == 92 || which == 93) in.memory_place();
                if (which == 12 || which == 13) in.bytes(wide, 16);
                if (of_lane || (which >= 21 && which <= 34)) in.byte(operation);
                break;
            }
            default: break;
            }
    }
}

} // namespace

extern "C" {

/// Begins with what xz packs as --format=lzma with lc=2, lp=0, pb=0, without its header of 13 bytes.
void begin_unpacking(Byte const* packed, Byte* to) {
    Chance* const chances = reinterpret_cast<Chance*>(&model);
    for (size_t i = 0; i < sizeof model / sizeof *chances; ++i) chances[i] = Bits::even;
    unpacking = {Bits(packed), to, to, 0, {1, 1, 1, 1}, 0};
}

/// Goes on to an end, as far as it was packed.
void unpack_to(Byte const* end) {
    auto& [bits, begin, to, state, distance, length] = unpacking;
    for (;;) {
        for (; length > 0 && to != end; --length, ++to) *to = to[-static_cast<ptrdiff_t>(distance[0])];
        if (to == end) return;
        if (bits.bit(model.match[state]) == 0) {
            Chance* const literal = model.literal[to == begin ? 0 : to[-1] >> 6];
            unsigned letter = 1;
            if (state >= 7) // after a match the letter is not the one that would have gone on with it
                for (unsigned expected = to[-static_cast<ptrdiff_t>(distance[0])]; letter < 0x100;) {
                    expected <<= 1;
                    unsigned const would = expected & 0x100;
                    unsigned const one = bits.bit(literal[0x100 + would + letter]);
                    letter = 2 * letter + one;
                    if (one != would >> 8) break;
                }
            while (letter < 0x100) letter = 2 * letter + bits.bit(literal[letter]);
            *to++ = static_cast<Byte>(letter);
            state = state < 4 ? 0 : state < 10 ? state - 3 : state - 6;
            continue;
        }
        length = 1;
        if (bits.bit(model.again[state]) == 0) {
            for (int i = 3; i > 0; --i) distance[i] = distance[i - 1];
            length = model.fresh.read(bits);
            unsigned const slot = bits.tree(model.slot[length < 6 ? length - 2 : 3], 6);
            unsigned far = slot;
            if (slot >= 4) {
                int const more = static_cast<int>(slot >> 1) - 1;
                far = (2 | (slot & 1)) << more;
                if (slot < 14) far += bits.reversed(model.special + (far - slot), more);
                else {
                    far += bits.plain(more - 4) << 4;
                    far += bits.reversed(model.low, 4);
                }
            }
            distance[0] = far + 1;
            state = state < 7 ? 7 : 10;
        } else {
            int which = 0;
            bool single = false;
            if (bits.bit(model.other[state]) == 0) single = bits.bit(model.one[state]) == 0;
            else if (bits.bit(model.second[state]) == 0) which = 1;
            else which = bits.bit(model.third[state]) == 0 ? 2 : 3;
            unsigned const chosen = distance[which];
            for (; which > 0; --which) distance[which] = distance[which - 1];
            distance[0] = chosen;
            if (!single) length = model.repeated.read(bits);
            state = single ? (state < 7 ? 9 : 11) : (state < 7 ? 8 : 11);
        }
    }
}

/// The functions of a module, one after the other. @param streams that follow each other @param sizes theirs
/// @returns the end of what was written
Byte* join(Byte const* streams, uint32_t const* sizes, int functions, Byte* begin) {
    Streams in; // whole below: an initialiser would call a library of C
    for (int i = 0; i < kinds; ++i) {
        in.at[i] = streams;
        streams += sizes[i];
    }
    in.out = begin;
    for (; functions > 0; --functions) {
        // A size before each, which is known behind it.
        Byte* const place = in.out;
        constexpr int most = 4;
        Byte* const body = in.out += most;
        join_function(in);
        Byte* const end = in.out;
        in.out = place;
        in.write(static_cast<unsigned>(end - body));
        for (Byte const* from = body; from != end;) *in.out++ = *from++;
    }
    return in.out;
}
}
