#pragma once
/// @file
/// Included before every file of the page's library. Boost.Math writes the numbers of errors that only a mistake in the
/// library could raise into streams, and Eigen prints by them; their locales would be a thirtieth of the page. Here they
/// write nothing. The library has none of its own: tests/test_answers.py would miss what went into one.

// Whoever declares or uses the streams of this name.
#include <iomanip>
#include <iostream>
#include <sstream>

#include <string>

namespace std {

class no_stream {
public:
    template <class T> no_stream& operator<<(T const&) { return *this; }
    void precision(int) {}
    template <class T> void copyfmt(T const&) {}
    string str() const { return {}; }
};

} // namespace std

#define ostringstream no_stream
#define stringstream no_stream
