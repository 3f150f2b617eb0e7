// The common scale of margins, case by case. Worked by hand.
#include "app/limit_scale.h"

#include <gtest/gtest.h>

namespace headroom {
namespace {

Margin margin(MarginKind kind, Dimension dimension, double have, double need) {
  Margin m;
  m.kind = kind;
  m.have = exact_amount(dimension, have);
  m.need = exact_amount(dimension, need);
  m.left = exact_amount(dimension, have - need);
  return m;
}

TEST(LimitScale, AStockIsSetAgainstWhatIsNeeded) {
  EXPECT_DOUBLE_EQ(limit_scale(margin(MarginKind::take_off_room, Dimension::length, 120, 80))->mid, 0.5);
  EXPECT_DOUBLE_EQ(limit_scale(margin(MarginKind::recent_practice, Dimension::count, 15, 3))->mid, 4);
  auto few = margin(MarginKind::recent_practice, Dimension::count, 0, 3);
  few.state = MarginState::short_of;
  EXPECT_DOUBLE_EQ(limit_scale(few)->mid, -1);
}

TEST(LimitScale, ALifeIsSetAgainstItsLimit) {
  EXPECT_DOUBLE_EQ(limit_scale(margin(MarginKind::service, Dimension::duration, 25 * 3600, 20 * 3600))->mid, 0.2);
  EXPECT_DOUBLE_EQ(limit_scale(margin(MarginKind::fuel_mix, Dimension::calendar, 90 * 86400.0, 0))->mid, 1) << "mixed today";
}

// Over what blows, half a breath would look like ten times the limit.
TEST(LimitScale, AWindIsSetAgainstItsLimit) {
  EXPECT_DOUBLE_EQ(limit_scale(margin(MarginKind::wind, Dimension::speed, 5, 4))->mid, 0.2);
  EXPECT_DOUBLE_EQ(limit_scale(margin(MarginKind::wind, Dimension::speed, 5, 0))->mid, 1) << "a calm";
  EXPECT_DOUBLE_EQ(limit_scale(margin(MarginKind::wind, Dimension::speed, 5, 10))->mid, -1);
}

TEST(LimitScale, DegreesHaveAScaleOfTheirOwn) {
  EXPECT_DOUBLE_EQ(limit_scale(margin(MarginKind::head_temperature, Dimension::temperature, 478, 460))->mid, 0.3);
}

TEST(LimitScale, WhereNothingIsNeededItLiesFarBeyond) {
  EXPECT_GT(limit_scale(margin(MarginKind::take_off_room, Dimension::length, 5, 0))->low, 2);
}

TEST(LimitScale, NoLineContradictsTheWord) {
  auto m = margin(MarginKind::take_off_room, Dimension::length, 240, 23);
  m.state = MarginState::short_of;
  EXPECT_FALSE(limit_scale(m));
  m.left = unknown_amount(Dimension::length, "not known");
  EXPECT_FALSE(limit_scale(m));
}

}  // namespace
}  // namespace headroom
