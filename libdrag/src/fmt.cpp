// fmt's code, once, for a library that has no other to find (LIBDRAG_FMT_WITHIN). Its headers take these two
// for compiled elsewhere.
#include <fmt/format-inl.h>

template fmt::detail::thousands_sep_result<char>
    fmt::detail::thousands_sep_impl<char>(fmt::detail::locale_ref);
template char fmt::detail::decimal_point_impl<char>(fmt::detail::locale_ref);
