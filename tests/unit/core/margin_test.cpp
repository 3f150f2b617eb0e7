// The table "States of a margin" of docs/architecture.md, line by line. The table is the project's own decision.
#include "core/margin.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>

namespace headroom {
namespace {

constexpr MarginKind kDeadly[] = {MarginKind::take_off_room, MarginKind::fuel,         MarginKind::wind,
                                  MarginKind::light,         MarginKind::load_on_wing, MarginKind::load_on_reserve,
                                  MarginKind::glide_to_land, MarginKind::fuel_mix};
constexpr MarginKind kOther[] = {
    MarginKind::service, MarginKind::part_age,        MarginKind::reserve_repack,   MarginKind::finding, MarginKind::plug,
    MarginKind::drill,   MarginKind::recent_practice, MarginKind::head_temperature, MarginKind::other};

MarginState at(MarginKind kind, std::optional<double> chance, bool assumed = false) {
  return margin_state(kind, chance, false, false, assumed);
}

TEST(MarginStates, TheDeadlyKindsAreThoseOfTheTable) {
  for (const auto k : kDeadly) EXPECT_TRUE(is_deadly(k));
  for (const auto k : kOther) EXPECT_FALSE(is_deadly(k));
}

TEST(MarginStates, ADeadlyKindIsShortFrom20PercentAndThinOver5) {
  for (const auto k : kDeadly) {
    EXPECT_EQ(at(k, 0.20), MarginState::short_of);
    EXPECT_EQ(at(k, std::nextafter(0.20, 0.0)), MarginState::thin);
    EXPECT_EQ(at(k, std::nextafter(0.05, 1.0)), MarginState::thin);
    EXPECT_EQ(at(k, 0.05), MarginState::ample);
  }
}

TEST(MarginStates, ADeadlyKindOnAnAssumedBasisIsAmpleOnlyFrom1PercentDown) {
  for (const auto k : kDeadly) {
    EXPECT_EQ(at(k, 0.01, true), MarginState::ample);
    EXPECT_EQ(at(k, std::nextafter(0.01, 1.0), true), MarginState::thin);
    EXPECT_EQ(at(k, 0.05, true), MarginState::thin);
    EXPECT_EQ(at(k, 0.20, true), MarginState::short_of);
  }
}

TEST(MarginStates, OtherKindsAreShortFrom50PercentAndAmpleFrom5DownAlsoWhenAssumed) {
  for (const auto k : kOther)
    for (const bool assumed_basis : {false, true}) {
      EXPECT_EQ(at(k, 0.50, assumed_basis), MarginState::short_of);
      EXPECT_EQ(at(k, std::nextafter(0.50, 0.0), assumed_basis), MarginState::thin);
      EXPECT_EQ(at(k, std::nextafter(0.05, 1.0), assumed_basis), MarginState::thin);
      EXPECT_EQ(at(k, 0.05, assumed_basis), MarginState::ample);
      EXPECT_EQ(at(k, 0.0, assumed_basis), MarginState::ample);
    }
}

TEST(MarginStates, APassedLimitOrAGroundingFindingIsShortWhateverTheChance) {
  for (const auto chance : {std::optional<double>(), std::optional<double>(0.0)}) {
    EXPECT_EQ(margin_state(MarginKind::service, chance, true, false, false), MarginState::short_of);
    EXPECT_EQ(margin_state(MarginKind::fuel, chance, false, true, false), MarginState::short_of);
  }
}

TEST(MarginStates, NoChanceOrAnImpossibleOneIsUnknownAndNeverAmple) {
  const double bad[] = {std::nan(""), -0.001, 1.001, std::numeric_limits<double>::infinity(),
                        -std::numeric_limits<double>::infinity()};
  for (const auto k : {MarginKind::fuel, MarginKind::service}) {
    EXPECT_EQ(at(k, std::nullopt), MarginState::unknown);
    for (const double c : bad) EXPECT_EQ(at(k, c), MarginState::unknown) << c;
  }
}

TEST(MarginStates, AreSaidInTheWordsOfTheList) {
  EXPECT_EQ(state_word(MarginState::short_of), "short");
  EXPECT_EQ(state_word(MarginState::thin), "thin");
  EXPECT_EQ(state_word(MarginState::ample), "ample");
  EXPECT_EQ(state_word(MarginState::unknown), "unknown");
}

TEST(MarginOrder, GroundingAndDeadlyUnknownComeFirstAndAmpleLast) {
  const auto margin = [](const char* id, MarginKind kind, MarginState state, std::optional<double> chance,
                         bool grounding = false) {
    Margin m;
    m.id = id;
    m.kind = kind;
    m.state = state;
    m.chance_short = chance;
    m.grounding = grounding;
    return m;
  };
  std::vector<Margin> list = {margin("ample", MarginKind::service, MarginState::ample, 0.01),
                              margin("unknown", MarginKind::service, MarginState::unknown, {}),
                              margin("thin", MarginKind::service, MarginState::thin, 0.3),
                              margin("short 0.6", MarginKind::service, MarginState::short_of, 0.6),
                              margin("short 0.9", MarginKind::service, MarginState::short_of, 0.9),
                              margin("fuel unknown", MarginKind::fuel, MarginState::unknown, {}),
                              margin("grounding", MarginKind::finding, MarginState::short_of, {}, true)};
  std::sort(list.begin(), list.end(), thinner);
  std::vector<std::string> ids;
  for (const auto& m : list) ids.push_back(m.id);
  EXPECT_EQ(ids, (std::vector<std::string>{"grounding", "fuel unknown", "short 0.9", "short 0.6", "thin", "unknown", "ample"}));
}

}  // namespace
}  // namespace headroom
