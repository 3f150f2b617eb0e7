#include "core/sentence.h"

#include <gtest/gtest.h>

namespace headroom {
namespace {

std::string litres_only(const Amount& a) {
  return std::to_string(static_cast<int>(a.mid * 1000)) + " L";
}

TEST(Sentence, PutsEveryPartInItsPlaceAndLeavesOtherBracesAlone) {
  const Sentence s("{1}: {0} left, {0} needed, {2} {x} {", {exact_amount(Dimension::volume, 0.004), std::string("{0} fuel")});
  EXPECT_EQ(render(s, litres_only), "{0} fuel: 4 L left, 4 L needed, {2} {x} {");
}

}  // namespace
}  // namespace headroom
