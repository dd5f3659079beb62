/// Writes what the evidence says about the coefficients to the file given: libdrag/data/posterior.csv. For
/// developers, not installed.

#include <fstream>
#include <iostream>

#include <libdrag/evidence.hpp>

int main(int argc, char** argv) {
    if (argc != 2) {
        std::cerr << "dragfit: one file to write\n";
        return 2;
    }
    std::ofstream file(argv[1]);
    file << libdrag::to_csv(libdrag::fit_posterior());
    return file.good() ? 0 : 1;
}
