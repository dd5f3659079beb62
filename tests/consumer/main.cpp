#include <cstdio>

#include <libdrag/cost.hpp>

int main() {
    using namespace libdrag;
    Swim const swim{Body::estimate({Sex::female, metres(1.72), kilograms(63.0)})};
    CostRequest request{swim, parse_event("100 free", Course::lcm), seconds(62.40)};
    request.hip_drop.drop = degrees(4.0);
    Interval<Time> const lost = cost(request).cost;
    std::printf("%.2f s (%.2f to %.2f)\n", lost.median.value(), lost.low.value(), lost.high.value());
}
