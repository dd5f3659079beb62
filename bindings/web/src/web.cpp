#include <cstdlib>
#include <libdrag/cost.hpp>
#include <libdrag/request.hpp>
#include <libdrag/report.hpp>
#include <string>
using namespace libdrag;
extern "C" char* answer(char const* ev) {
    request::Fields f; f.add("event", std::string(ev)); f.add("time", std::string("1:02.40")); f.add("hip_drop", std::string("4deg"));
    static std::string out;
    request::CostQuestion asked = request::cost(f);
    out = report::costs(costs(asked.races, request::options(f)), report::Form::json);
    return out.data();
}
extern "C" int answer_size() { return 0; }
