#pragma once
/// @file
/// One function for each alternative of a variant. Private to the library.

namespace libdrag {

template <class... Fs> struct Overloaded : Fs... { using Fs::operator()...; };
template <class... Fs> Overloaded(Fs...) -> Overloaded<Fs...>;

} // namespace libdrag
