// The wind triangle and turning back against published worked examples; sources beside each row. "Recomputed" values were
// worked out from the formula to more digits than the source prints, outside this project.
#include "core/planning/navigation.h"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include <numbers>

namespace headroom {
namespace {

constexpr double kDeg = 180 / std::numbers::pi;

struct TriangleRow {
  double track, tas, from, wind, correction, heading, ground;
  const char* source;
};
constexpr TriangleRow kTriangles[] = {
    {90, 120, 45, 40, -13.6330, 76.3670, 88.3348, "FAA-H-8083-25, navigation: 88 kt, 14, 076 (from memory), recomputed"},
    {270, 120, 180, 30, -14.4775, 255.5225, 116.1895, "training page: 255.5, about 116; recomputed"},
    {45, 110, 90, 25, 9.2479, 54.2479, 90.8926, "training page: 054, about 91; recomputed"},
    {0, 90, 270, 10, -6.3794, 353.6206, 89.4427, "calculator page: 354, 89.4; recomputed"},
    {0, 10, 300, 5, -25.6589, 334.3411, 6.5139, "slow and windy, recomputed"}};

// Any unit of speed does: the triangle scales. Taken as m/s.
TEST(WindTriangle, MatchesPublishedExamples) {
  for (const auto& r : kTriangles) {
    const auto t = wind_triangle(track_towards_degrees(r.track), metres_per_second(r.tas),
                                 {wind_from_degrees(r.from), metres_per_second(r.wind)});
    ASSERT_TRUE(t) << r.source;
    EXPECT_NEAR(t->correction_rad * kDeg, r.correction, 1e-4) << r.source;
    EXPECT_NEAR(t->heading.degrees(), r.heading, 1e-4) << r.source;
    EXPECT_NEAR(t->ground_speed.si(), r.ground, 1e-4) << r.source;
  }
}

TEST(WindTriangle, FromHeadingToTrackMatchesPublishedExamples) {
  // Printed: 015, 117; 304, 153 (an air-crew mathematics text of the 1940s); about 15 degrees of drift. Recomputed.
  constexpr double rows[][6] = {
      {20, 120, 90, 10, 15.3916, 116.9579}, {315, 150, 45, 30, 303.6901, 152.9706}, {45, 75, 135, 20, 30.0686, 77.6209}};
  for (const auto& r : rows) {
    const auto t =
        track_made_good(track_towards_degrees(r[0]), metres_per_second(r[1]), {wind_from_degrees(r[2]), metres_per_second(r[3])});
    ASSERT_TRUE(t);
    EXPECT_NEAR(t->track.degrees(), r[4], 1e-4);
    EXPECT_NEAR(t->ground_speed.si(), r[5], 1e-4);
  }
}

TEST(WindTriangle, FindsAnUnknownWindAsAPlotterTextDoes) {
  // A plotter's text of the 1940s: track 094, heading 104, airspeed 165, ground speed 146 gives a wind from 154, 34.
  const auto w =
      wind_from_track(track_towards_degrees(104), metres_per_second(165), track_towards_degrees(94), metres_per_second(146));
  ASSERT_TRUE(w);
  EXPECT_NEAR(w->from.degrees(), 154.073, 1e-3);
  EXPECT_NEAR(w->speed.si(), 33.060, 1e-3);
}

TEST(WindTriangle, SaysWhenThereIsNone) {
  const auto north = track_towards_degrees(0);
  EXPECT_EQ(wind_triangle(north, metres_per_second(10), {wind_from_degrees(90), metres_per_second(10)}).error().kind,
            ErrorKind::refused);
  EXPECT_EQ(wind_triangle(north, metres_per_second(10), {wind_from_degrees(0), metres_per_second(10)}).error().kind,
            ErrorKind::refused);
  EXPECT_EQ(wind_triangle(north, metres_per_second(10), {wind_from_degrees(0), knots(400)}).error().kind,
            ErrorKind::out_of_range);
  EXPECT_FALSE(wind_triangle(north, metres_per_second(std::nan("")), {wind_from_degrees(0), metres_per_second(1)}));
}

RC_GTEST_PROP(WindTriangle, HeadingAndTrackUndoEachOther, ()) {
  const auto track = track_towards_degrees(*rc::gen::inRange(0, 3600) / 10.0);
  const Wind wind{wind_from_degrees(*rc::gen::inRange(0, 3600) / 10.0), metres_per_second(*rc::gen::inRange(0, 90) / 10.0)};
  const auto t = wind_triangle(track, metres_per_second(10), wind);
  RC_ASSERT(t.has_value());
  const auto back = track_made_good(t->heading, metres_per_second(10), wind);
  RC_ASSERT(std::abs(std::remainder(back->track.degrees() - track.degrees(), 360)) < 1e-6);
  RC_ASSERT(std::abs(back->ground_speed.si() - t->ground_speed.si()) < 1e-9);
}

// FAA knowledge-test answers 23 and 19 (runway 18, 220/30) and 16 (runway 25, 210/25); the third recomputed.
TEST(WindParts, MatchTestAnswers) {
  const auto a = wind_parts({wind_from_degrees(220), knots(30)}, track_towards_degrees(180));
  EXPECT_NEAR(in_knots(a.head), 22.9813, 1e-4);
  EXPECT_NEAR(in_knots(a.from_right), 19.2836, 1e-4);
  EXPECT_NEAR(in_knots(wind_parts({wind_from_degrees(210), knots(25)}, track_towards_degrees(250)).from_right), -16.0697, 1e-4);
  EXPECT_NEAR(in_knots(wind_parts({wind_from_degrees(180), knots(25)}, track_towards_degrees(130)).from_right), 19.1511, 1e-4);
}

// E B/(O+B) and E O B/(O+B), an Australian training formula sheet (2012); figures worked by hand.
TEST(PointOfNoReturn, MatchesTheFormulaSheet) {
  constexpr double rows[][5] = {
      {4, 80, 120, 2.4, 192}, {3, 20, 40, 2, 40}, {2.5, 30, 45, 1.5, 45}, {6, 210, 250, 3.26087, 684.78261}};
  for (const auto& r : rows) {
    const auto t = point_of_no_return(hours(r[0]), kilometres_per_hour(r[1]), kilometres_per_hour(r[2]));
    ASSERT_TRUE(t);
    EXPECT_NEAR(in_hours(t->after), r[3], 1e-5);
    EXPECT_NEAR(in_kilometres(t->distance), r[4], 1e-4);
  }
  EXPECT_NEAR(in_kilometres(*equal_time_point(kilometres(100), knots(80), knots(120))), 60, 1e-9);
  EXPECT_FALSE(point_of_no_return(hours(3), knots(0), knots(30)));
  EXPECT_FALSE(point_of_no_return(hours(-1), knots(30), knots(30)));
}

RC_GTEST_PROP(OutAndHome, WindNeverLengthensTheRadiusOfAction, ()) {
  const auto out = track_towards_degrees(*rc::gen::inRange(0, 360));
  const Wind wind{wind_from_degrees(*rc::gen::inRange(0, 360)), metres_per_second(*rc::gen::inRange(1, 95) / 10.0)};
  const auto still = out_and_home(out, metres_per_second(10), {wind.from, Speed{}}, hours(2));
  const auto windy = out_and_home(out, metres_per_second(10), wind, hours(2));
  RC_ASSERT(windy.has_value());
  RC_ASSERT(windy->turn.distance < still->turn.distance);
  // Out and back takes exactly the usable time.
  const double t = windy->turn.after.si() + (windy->turn.distance / windy->home.ground_speed).si();
  RC_ASSERT(std::abs(t - 7200) < 1e-6);
}

// Derived by setting the tangent from (W, 0) to the polar; recomputed with a general minimiser.
TEST(SpeedToGlide, MatchesTheTangent) {
  const SinkPolar p{0.0255, -0.408, 2.83};
  constexpr double rows[][4] = {
      {0, 10.53472, 1.36183, 7.73569}, {3, 11.48413, 1.50755, 5.62777}, {5, 12.48200, 1.71025, 4.37479}};
  for (const auto& r : rows) {
    const auto g = speed_to_glide(p, metres_per_second(r[0]));
    ASSERT_TRUE(g);
    EXPECT_NEAR(g->airspeed.si(), r[1], 1e-5);
    EXPECT_NEAR(g->sink.si(), r[2], 1e-5);
    EXPECT_NEAR(g->glide_over_ground, r[3], 1e-5);
  }
  EXPECT_NEAR(glide_reach(metres(500), 7, metres_per_second(10.5), metres_per_second(4))->si(), 2166.667, 1e-3);
  EXPECT_NEAR(glide_reach(metres(500), 7, metres_per_second(10.5), metres_per_second(-4))->si(), 4833.333, 1e-3);
  EXPECT_FALSE(glide_reach(metres(500), 7, metres_per_second(10.5), metres_per_second(11)));
}

// --- Routes

RoutePlan there_and_on(double wind_m_s, double litres_of_fuel) {
  // Eastward along a parallel, so that the distances are near those of a plane.
  RoutePlan plan;
  plan.points = {{"home", {50, 10}}, {"mill", {50, 10.14}}, {"lake", {50, 10.28}}};
  plan.airspeed = metres_per_second(10);
  plan.winds = {{wind_from_degrees(270), metres_per_second(wind_m_s)}};  // from behind on the way out
  plan.start = utc(2026, 5, 1, 15);
  plan.burn = litres_per_hour(3.6);
  plan.fuel = litres(litres_of_fuel);
  return plan;
}

TEST(Route, AddsLegsUpAndSaysWhatIsLeft) {
  const auto route = plan_route(there_and_on(0, 10));
  ASSERT_TRUE(route && route->flyable);
  ASSERT_EQ(route->legs.size(), 2U);
  EXPECT_NEAR(route->distance.si(), geodesic_distance({50, 10}, {50, 10.14}).si() * 2, 1e-6);
  EXPECT_NEAR(route->time.si(), route->distance.si() / 10, 1e-6);
  EXPECT_NEAR(in_litres(route->legs[1].fuel_left), 10 - route->time.si() / 1000, 1e-9);
  EXPECT_NEAR(route->legs[1].home->si(), route->time.si(), 0.1);  // a kink of a few metres off the straight line
  EXPECT_FALSE(route->turn_back_after);
}

// The turn-back place on a straight route is the point of no return of the closed form.
TEST(Route, TurnsBackWhereThePointOfNoReturnIs) {
  for (const double wind : {0.0, 2.0, 4.0}) {
    const auto route = plan_route(there_and_on(wind, 2.4));
    ASSERT_TRUE(route);
    const auto closed = point_of_no_return(seconds(2400), metres_per_second(10 + wind), metres_per_second(10 - wind));
    ASSERT_TRUE(route->turn_back_after) << wind;
    EXPECT_NEAR(route->turn_back_after->si(), closed->after.si(), 1.0);
    EXPECT_NEAR(geodesic_distance({50, 10}, *route->turn_back_at).si(), closed->distance.si(), 10);
    EXPECT_FALSE(route->turn_back_for_light);
  }
}

TEST(Route, TurnsBackForLightWhenLightEndsFirst) {
  auto plan = there_and_on(4, 10);
  plan.down_by = shifted(plan.start, minutes(40));
  const auto route = plan_route(plan);
  ASSERT_TRUE(route && route->turn_back_after);
  EXPECT_TRUE(route->turn_back_for_light);
  EXPECT_NEAR(route->turn_back_after->si(), 2400 * 6 / 20.0, 1.0);
  EXPECT_LT(*route->legs[1].light_left_home, Duration{});
}

TEST(Route, EndsAtTheLegThatCannotBeFlownAndRefusesNonsense) {
  auto plan = there_and_on(0, 10);
  plan.winds = {{wind_from_degrees(270), metres_per_second(2)}, {wind_from_degrees(90), metres_per_second(12)}};
  const auto route = plan_route(plan);
  ASSERT_TRUE(route);
  EXPECT_FALSE(route->flyable);
  EXPECT_FALSE(route->legs.back().triangle);
  plan.winds = {{wind_from_degrees(0), knots(400)}};
  EXPECT_EQ(plan_route(plan).error().kind, ErrorKind::out_of_range);
  plan = there_and_on(0, 10);
  plan.points[1].position.latitude_deg = 91;
  EXPECT_FALSE(plan_route(plan));
}

}  // namespace
}  // namespace headroom
