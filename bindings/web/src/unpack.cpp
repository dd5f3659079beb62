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
    Byte const* in_;
    uint32_t range_ = 0xffffffff, code_ = 0;
};
using Chance = Bits::Chance;

/// Every probability, in one piece; all begin even. As packed: 4 bits of the letter before are a literal's context, no bits
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
    Chance literal[16][0x300], match[12], again[12], other[12], second[12], third[12], one[12];
    Chance slot[4][64], special[128], low[16];
    Length fresh, repeated;
};
Model model;

/// What ../split_code.mjs takes apart, in its order.
struct Streams {
    Byte const *operation, *place, *local, *call, *offset, *number, *wide;
};

Byte* out;

void copy(Byte const*& from, int count) {
    while (count-- > 0) *out++ = *from++;
}
/// A number of any length, as WebAssembly has them.
unsigned copy_number(Byte const*& from) {
    unsigned value = 0;
    for (int shift = 0;; shift += 7) {
        Byte const byte = *out++ = *from++;
        value |= (byte & 127U) << shift;
        if (byte < 128) return value;
    }
}
void copy_memory_place(Streams& in) {
    copy_number(in.operation);
    copy_number(in.offset);
}

/// The body of a function, to its last end.
void join_function(Streams& in) {
    for (unsigned kinds = copy_number(in.place); kinds > 0; --kinds) {
        copy_number(in.place);
        copy(in.place, 1);
    }
    for (int depth = 1; depth > 0;) {
        unsigned const operation = *out++ = *in.operation++;
        if (operation >= 0x28 && operation <= 0x3e) copy_memory_place(in);
        else switch (operation) {
            case 0x02: // block, loop, if, try
            case 0x03:
            case 0x04:
            case 0x06: ++depth; [[fallthrough]];
            case 0x07: // catch, throw, globals, size of the memory
            case 0x08:
            case 0x23:
            case 0x24:
            case 0x3f:
            case 0x40: copy_number(in.operation); break;
            case 0x0b: --depth; break;
            case 0x18: --depth; [[fallthrough]]; // delegate, rethrow, branches
            case 0x09:
            case 0x0c:
            case 0x0d: copy_number(in.place); break;
            case 0x0e:
                for (unsigned places = copy_number(in.place) + 1; places > 0; --places) copy_number(in.place);
                break;
            case 0x10: copy_number(in.call); break;
            case 0x11:
                copy_number(in.place);
                copy_number(in.place);
                break;
            case 0x20: // locals
            case 0x21:
            case 0x22: copy_number(in.local); break;
            case 0x41:
            case 0x42: copy_number(in.number); break;
            case 0x43: copy(in.wide, 4); break;
            case 0x44: copy(in.wide, 8); break;
            case 0xfc: { // memory
                unsigned const which = copy_number(in.operation);
                if (which >= 8) copy(in.operation, which == 9 || which == 11 ? 1 : 2);
                break;
            }
            case 0xfd: { // vectors
                unsigned const which = copy_number(in.operation);
                bool const of_lane = which >= 84 && which <= 91;
                if (which <= 11 || of_lane || which == 92 || which == 93) copy_memory_place(in);
                if (which == 12 || which == 13) copy(in.wide, 16);
                if (of_lane || (which >= 21 && which <= 34)) copy(in.operation, 1);
                break;
            }
            default: break;
            }
    }
}

} // namespace

extern "C" {

/// What xz packs as --format=lzma with lc=4, lp=0, pb=0, without its header of 13 bytes. @param size of what it was
void unpack(Byte const* packed, Byte* const begin, size_t size) {
    Chance* const chances = reinterpret_cast<Chance*>(&model);
    for (size_t i = 0; i < sizeof model / sizeof *chances; ++i) chances[i] = Bits::even;
    Bits bits(packed);
    Byte* to = begin;
    Byte* const end = begin + size;
    unsigned state = 0, distance[4] = {1, 1, 1, 1};
    while (to != end) {
        if (bits.bit(model.match[state]) == 0) {
            Chance* const literal = model.literal[to == begin ? 0 : to[-1] >> 4];
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
        unsigned length = 1;
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
        for (; length > 0 && to != end; --length, ++to) *to = to[-static_cast<ptrdiff_t>(distance[0])];
    }
}

/// The functions of a module, one after the other. @param streams seven that follow each other @param sizes theirs
/// @returns the end of what was written
Byte* join(Byte const* streams, uint32_t const* sizes, int functions, Byte* begin) {
    Byte const* at[7];
    for (int i = 0; i < 7; ++i) {
        at[i] = streams;
        streams += sizes[i];
    }
    Streams in{at[0], at[1], at[2], at[3], at[4], at[5], at[6]};
    out = begin;
    for (; functions > 0; --functions) {
        // A size before each, which is known behind it.
        Byte* const place = out;
        constexpr int most = 4;
        Byte* const body = out += most;
        join_function(in);
        Byte* const end = out;
        out = place;
        for (size_t rest = static_cast<size_t>(end - body);; rest >>= 7) {
            *out++ = static_cast<Byte>((rest & 127) | (rest > 127 ? 128 : 0));
            if (rest < 128) break;
        }
        for (Byte const* from = body; from != end;) *out++ = *from++;
    }
    return out;
}
}
