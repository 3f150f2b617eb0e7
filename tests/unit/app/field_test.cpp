// A field described bit by bit: what is not said again stays, and a strip that became another must be walked again.
#include "app/field.h"

#include <gtest/gtest.h>

namespace headroom {
namespace {

State one_field(double slope, std::optional<UtcTime> walked) {
  State state;
  FieldState field;
  field.name = "invented";
  field.strips.push_back({"09", 90, metres(180), slope, FieldSurface::short_grass, {}, walked});
  state.fields.push_back(field);
  return state;
}

FieldStrip changed_strip(const State& state, const FieldChange& change) {
  const auto facts = field_facts_of(change, state);
  EXPECT_TRUE(facts);
  const auto* described = facts ? std::get_if<FieldDescribed>(&*facts) : nullptr;
  return described != nullptr && !described->strips.empty() ? described->strips.front() : FieldStrip{};
}

TEST(FieldChange, AStripToldAgainKeepsTheSlopeThatIsNotSaid) {
  const auto state = one_field(0.03, utc(2026, 6, 1));
  FieldChange change;
  change.field = "invented";
  change.strips = {{"09", 90, metres(180), 0, FieldSurface::long_grass, {}, {}}};
  const auto kept = changed_strip(state, change);
  EXPECT_EQ(kept.slope, 0.03);
  EXPECT_EQ(kept.surface, FieldSurface::long_grass);
  EXPECT_TRUE(kept.walked);
  change.slope_said = true;
  const auto level = changed_strip(state, change);
  EXPECT_EQ(level.slope, 0);
  EXPECT_FALSE(level.walked) << "another slope is another strip: walk it again";
}

}  // namespace
}  // namespace headroom
