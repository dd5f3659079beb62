#pragma once
/// @file
/// Included before every file of the page's library. Boost.Math writes the numbers of its errors into streams, whose
/// locales would be a thirtieth of the page: here an error is its words without the numbers.

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
    template <class T>
    void copyfmt(T const&) {}
    string str() const { return {}; }
};

} // namespace std

#define ostringstream no_stream
#define stringstream no_stream
