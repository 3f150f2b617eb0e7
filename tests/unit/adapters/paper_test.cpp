#include <gtest/gtest.h>

#include <cmath>

#include "adapters/paper/axis.h"
#include "adapters/paper/flight_plot.h"
#include "adapters/paper/svg_text.h"
#include "app/flight_plot.h"

namespace headroom {
namespace {

// XML 1.0 (W3C), sections 2.2 and 2.4: what must be escaped, and which control characters there are none of.
TEST(SvgText, EscapesAndLeavesOut) {
  EXPECT_EQ(xml_escaped("a<b & \"c\">'d'"), "a&lt;b &amp; &quot;c&quot;&gt;&apos;d&apos;");
  EXPECT_EQ(xml_escaped(std::string("x\x01y\x1bz\t240°")), "xyz\t240°");
  EXPECT_EQ(with_words("<?xml?>\n<svg w=\"1\"><g/></svg>", "a<b", "c"),
            "<?xml?>\n<svg w=\"1\">\n<title>a&lt;b</title>\n<desc>c</desc><g/></svg>");
  EXPECT_EQ(with_words("nothing", "a", "b"), "nothing");
}

TEST(Axis, RoundStepsThatHoldTheValues) {
  const auto a = round_axis(3, 47, 5);
  EXPECT_EQ(a.marks, (std::vector<double>{0, 10, 20, 30, 40, 50}));
  EXPECT_EQ(round_axis(-0.4, 0.7, 5).decimals, 1);
  EXPECT_EQ(round_axis(-2, 3, 5).text(-1), "−1");
  for (const auto& [low, high] : {std::pair{0.0, 0.0}, std::pair{5.0, 5.0}, std::pair{std::nan(""), 1.0}, std::pair{-1e6, 1e6}}) {
    const auto axis = round_axis(low, high, 5);
    EXPECT_LT(axis.low, axis.high);
    EXPECT_LE(axis.marks.size(), 6U);
  }
}

TEST(CairoPaper, DrawsTheSameTwiceAndSurvivesOddWords) {
  FlightPlot plot;
  plot.title = "<b> & \"x\"";
  plot.beneath = "What to see.";
  plot.end_s = 100;
  plot.time_axis = "Local time";
  plot.engine_on = {{10, 40}};
  PlotLine line;
  line.time_s = {0, 50, 60, 100};
  line.value = {1, NAN, 2, 3};
  line.low = {0, NAN, 1, 2};
  line.high = {2, NAN, 3, 4};
  plot.panels = {{"Height, m", false, {line}, {}}, {"Speed, km/h", true, {line}, {}}, {"Climb, m/s", true, {}, "None."}};
  plot.wind_unknown = "Too short.";
  CairoPaper paper;
  const auto once = paper.draw(plot);
  const auto twice = paper.draw(plot);
  ASSERT_TRUE(once) << once.error().what;
  ASSERT_TRUE(twice);
  EXPECT_EQ(*once, *twice);
  EXPECT_NE(once->find("<title>&lt;b&gt; &amp; &quot;x&quot;</title>"), std::string::npos);
  EXPECT_NE(once->find("Height, m"), std::string::npos);
}

// Nothing to spread a line over: one instant, or times that are no numbers. It is drawn, or left out, and it ends.
TEST(CairoPaper, EndsWhenThereIsNoTimeToDrawOver) {
  PlotLine line;
  line.time_s = {0, 0, NAN, 0};
  line.value = {1, 2, 3, 4};
  line.low = {0, 1, 2, 3};
  line.high = {2, 3, 4, 5};
  for (const auto& [begin, end] :
       {std::pair{0.0, 0.0}, std::pair{0.0, std::nan("")}, std::pair{std::nan(""), 100.0}, std::pair{0.0, 100.0}}) {
    FlightPlot plot;
    plot.title = "One instant";
    plot.begin_s = begin;
    plot.end_s = end;
    plot.clock = {{0, "10:00"}};
    plot.engine_on = {{0, 0}};
    plot.panels = {{"Height, m", false, {line}, {}}, {"Speed, km/h", true, {line}, {}}, {"Climb, m/s", true, {line}, {}}};
    const auto drawn = CairoPaper().draw(plot);
    ASSERT_TRUE(drawn) << drawn.error().what;
    EXPECT_EQ(drawn->find("nan"), std::string::npos);
  }
}

}  // namespace
}  // namespace headroom
