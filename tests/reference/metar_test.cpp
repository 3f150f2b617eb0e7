// METAR and SPECI against published decodings: FAA Aeronautical Information Manual 7-1 (AIM), a university's page of worked
// decodings, the vignette of a package of R, and training pages; rules of Federal Meteorological Handbook No. 1.
// Conversions to SI are exact factors worked by hand from the published figures.
#include "formats/metar.h"

#include <gtest/gtest.h>

#include <sstream>

#include "support/shared_data.h"

namespace headroom {
namespace {

const UtcTime kMetarNear = utc(2026, 3, 15);
WeatherReport metar_of(const std::string& text) {
  auto r = read_metar(text, kMetarNear);
  EXPECT_TRUE(r.has_value()) << text << ": " << (r ? "" : r.error().what);
  return r ? *r : WeatherReport{};
}
ReportedWind metar_wind(const std::string& group) {
  auto r = metar_of("KXYZ 151200Z " + group + " 9999 SKC 10/05 Q1013");
  EXPECT_TRUE(r.conditions.wind.has_value()) << group;
  return r.conditions.wind.value_or(ReportedWind{});
}
std::size_t metar_unread(const WeatherReport& r) {
  std::size_t n = 0;
  for (const auto& g : r.groups) n += g.fate == ReadGroup::Fate::not_read ? 1U : 0U;
  return n;
}
using LayerAmount = CloudLayer::Amount;

TEST(MetarReference, AimExample) {  // AIM 7-1, key to METAR
  const auto r = metar_of("METAR KPIT 091955Z COR 22015G25KT 3/4SM R28L/2600FT TSRA OVC010CB 18/16 A2992 RMK SLP045 T01820159");
  EXPECT_EQ(metar_unread(r), 0U);
  EXPECT_EQ(r.station, "KPIT");
  EXPECT_EQ(r.issued, utc(2026, 3, 9, 19, 55));
  EXPECT_TRUE(r.corrected);
  ASSERT_TRUE(r.conditions.wind && r.conditions.visibility && r.conditions.sky && r.conditions.weather);
  EXPECT_NEAR(r.conditions.wind->from->degrees(), 220, 1e-9);
  EXPECT_NEAR(r.conditions.wind->mean.si(), 7.7167, 5e-5);
  EXPECT_NEAR(r.conditions.wind->gust->si(), 12.8611, 5e-5);
  EXPECT_NEAR(r.conditions.visibility->distance.si(), 1207.008, 1e-6);
  ASSERT_EQ(r.conditions.weather->size(), 1U);
  EXPECT_TRUE(is_thunderstorm(r.conditions.weather->front()));
  EXPECT_TRUE(r.conditions.weather->front().has("RA"));
  ASSERT_EQ(r.conditions.sky->layers.size(), 1U);
  EXPECT_EQ(r.conditions.sky->layers[0].amount, LayerAmount::overcast);
  EXPECT_NEAR(r.conditions.sky->layers[0].base->si(), 304.8, 1e-9);
  EXPECT_TRUE(has_cumulonimbus(*r.conditions.sky));
  EXPECT_NEAR(in_celsius(*r.temperature), 18.2, 1e-9);
  EXPECT_NEAR(in_celsius(*r.dew_point), 15.9, 1e-9);
  EXPECT_NEAR(in_hectopascals(*r.qnh), 1013.207, 1e-3);
  EXPECT_NEAR(in_hectopascals(*r.sea_level_pressure), 1004.5, 1e-9);
}

TEST(MetarReference, AimWindGroups) {  // AIM 7-1, wind element
  auto w = metar_wind("13008KT");
  EXPECT_NEAR(w.from->degrees(), 130, 1e-9);
  EXPECT_NEAR(in_knots(w.mean), 8, 1e-9);
  EXPECT_FALSE(w.gust);
  w = metar_wind("08032G45KT");
  EXPECT_NEAR(w.from->degrees(), 80, 1e-9);
  EXPECT_NEAR(in_knots(w.mean), 32, 1e-9);
  EXPECT_NEAR(in_knots(*w.gust), 45, 1e-9);
  w = metar_wind("VRB04KT");
  EXPECT_TRUE(w.variable);
  EXPECT_FALSE(w.from);
  EXPECT_NEAR(in_knots(w.mean), 4, 1e-9);
  w = metar_wind("00000KT");
  EXPECT_EQ(w.mean.si(), 0);
  EXPECT_FALSE(w.from);
  w = metar_wind("210103G130KT");
  EXPECT_NEAR(w.from->degrees(), 210, 1e-9);
  EXPECT_NEAR(in_knots(w.mean), 103, 1e-9);
  EXPECT_NEAR(in_knots(*w.gust), 130, 1e-9);
  w = metar_wind("32012G22KT 280V350");
  EXPECT_NEAR(in_knots(*w.gust), 22, 1e-9);
  EXPECT_NEAR(w.between_from->degrees(), 280, 1e-9);
  EXPECT_NEAR(w.between_to->degrees(), 350, 1e-9);
}

TEST(MetarReference, WorkedDecodings) {  // a university's decode page
  auto r = metar_of(
      "KPIT 211151Z 25009KT 1 1/2SM -SN FEW021 BKN027 OVC035 M12/M15 A3014 RMK A02 SLP236 8/546 P0000 60000 T11171150 11106 "
      "21131 51016");
  EXPECT_EQ(metar_unread(r), 0U);
  ASSERT_TRUE(r.conditions.visibility && r.conditions.sky && r.conditions.weather);
  EXPECT_NEAR(r.conditions.visibility->distance.si(), 2414.016, 1e-6);
  ASSERT_EQ(r.conditions.weather->size(), 1U);
  EXPECT_EQ(r.conditions.weather->front().strength, WeatherCode::Strength::light);
  EXPECT_TRUE(r.conditions.weather->front().has("SN"));
  ASSERT_EQ(r.conditions.sky->layers.size(), 3U);
  EXPECT_NEAR(r.conditions.sky->layers[0].base->si(), 2100 * 0.3048, 1e-9);
  EXPECT_NEAR(ceiling_of(*r.conditions.sky)->si(), 2700 * 0.3048, 1e-9);
  EXPECT_NEAR(r.conditions.sky->layers[2].base->si(), 3500 * 0.3048, 1e-9);
  EXPECT_NEAR(in_celsius(*r.temperature), -11.7, 1e-9);
  EXPECT_NEAR(in_celsius(*r.dew_point), -15.0, 1e-9);
  EXPECT_NEAR(in_hectopascals(*r.qnh), 1020.658, 1e-3);
  EXPECT_NEAR(in_hectopascals(*r.sea_level_pressure), 1023.6, 1e-9);
  r = metar_of("KSBP 231447Z 00000KT 25SM SKC 05/04 A3027");
  EXPECT_NEAR(r.conditions.visibility->distance.si(), 25 * 1609.344, 1e-6);
  EXPECT_EQ(r.conditions.sky->statement, ReportedSky::Statement::none);
  EXPECT_NEAR(in_celsius(*r.temperature), 5, 1e-9);
  EXPECT_NEAR(in_celsius(*r.dew_point), 4, 1e-9);
  EXPECT_NEAR(in_hectopascals(*r.qnh), 1025.060, 1e-3);
  r = metar_of("KELM 191853Z 32014G22KT 290V350 9SM -SN BKN038 OVC047 03/M03 A2989 RMK AO2 T00331033");
  EXPECT_NEAR(in_celsius(*r.temperature), 3.3, 1e-9);
  EXPECT_NEAR(in_celsius(*r.dew_point), -3.3, 1e-9);
  EXPECT_NEAR(in_hectopascals(*r.qnh), 1012.192, 1e-3);
}

TEST(MetarReference, TrendLeavesTheBody) {  // vignette of a package of R; a training page
  auto r = metar_of("EPWA 251800Z 28010KT 9999 BKN005 10/09 Q0999 TEMPO BKN004");
  EXPECT_EQ(r.conditions.visibility->bound, ReportedVisibility::Bound::at_least);
  EXPECT_NEAR(r.conditions.visibility->distance.si(), 10000, 1e-9);
  ASSERT_EQ(r.conditions.sky->layers.size(), 1U);
  EXPECT_NEAR(r.conditions.sky->layers[0].base->si(), 152.4, 1e-9);
  EXPECT_NEAR(in_hectopascals(*r.qnh), 999, 1e-9);
  EXPECT_EQ(r.trend.size(), 2U);
  r = metar_of("SVVA 171100Z 00000KT 9999 FEW016 BKN250 21/19 Q1013 NOSIG");
  EXPECT_NEAR(in_hectopascals(*r.qnh), 1013, 1e-9);
  EXPECT_TRUE(r.no_change);
  EXPECT_EQ(metar_unread(r), 0U);
}

TEST(MetarReference, Rules) {  // Federal Meteorological Handbook No. 1; WMO FM 15
  auto r = metar_of("KXYZ 151200Z 00000KT M1/4SM FG VV001 10/10 A2992 RMK SLP862");
  EXPECT_EQ(r.conditions.visibility->bound, ReportedVisibility::Bound::less_than);
  EXPECT_NEAR(r.conditions.visibility->distance.si(), 402.336, 1e-6);
  EXPECT_TRUE(is_fog(r.conditions.weather->front()));
  EXPECT_NEAR(ceiling_of(*r.conditions.sky)->si(), 30.48, 1e-9);
  EXPECT_NEAR(in_hectopascals(*r.sea_level_pressure), 986.2, 1e-9);
  r = metar_of("KXYZ 151200Z 24005MPS P6SM CLR 10/05 A2992 RMK SLP125");
  EXPECT_NEAR(r.conditions.visibility->distance.si(), 9656.064, 1e-6);
  EXPECT_EQ(r.conditions.visibility->bound, ReportedVisibility::Bound::at_least);
  EXPECT_NEAR(in_hectopascals(*r.sea_level_pressure), 1012.5, 1e-9);
  EXPECT_NEAR(r.conditions.wind->mean.si(), 5, 1e-12);
  EXPECT_NEAR(metar_wind("24018G36KMH").gust->si(), 10, 1e-12);
  r = metar_of("LOWK 031520Z AUTO VRB01KT CAVOK 05/02 Q1005 NOSIG");
  EXPECT_EQ(r.conditions.sky->statement, ReportedSky::Statement::cavok);
  EXPECT_TRUE(r.conditions.weather && r.conditions.weather->empty());
  r = metar_of("EDDX 151200Z 00000KT 0000 FG VV/// 01/01 Q1013");
  EXPECT_EQ(r.conditions.visibility->bound, ReportedVisibility::Bound::less_than);
  EXPECT_FALSE(is_ceiling_known(*r.conditions.sky));
}

TEST(MetarBadInput, NamesTheGroupAndMakesItsPieceUnknown) {
  auto r = metar_of("KXYZ 151200Z 240400KT 9999 SKC 10/05 Q1013");  // 400 kt
  EXPECT_TRUE(r.conditions.unreadable.wind);
  EXPECT_FALSE(r.conditions.wind);
  EXPECT_TRUE(r.conditions.visibility && r.temperature && r.qnh);
  EXPECT_EQ(metar_unread(r), 1U);
  EXPECT_FALSE(metar_of("KXYZ 151200Z 24010G05KT 9999 SKC 10/05 Q1013").conditions.wind);
  EXPECT_FALSE(metar_of("KXYZ 151200Z 24010KT 24030KT 9999 SKC 10/05 Q1013").conditions.wind);
  EXPECT_FALSE(metar_of("KXYZ 151200Z 24010KT x/ySM SKC 10/05 Q1013").conditions.visibility);
  EXPECT_FALSE(metar_of("KXYZ 151200Z 24010KT 9999 SKC 05/10 Q1013").temperature);
  EXPECT_FALSE(metar_of("KXYZ 151200Z 24010KT 9999 SKC 10/05 Q2013").qnh);
  EXPECT_FALSE(metar_of("KXYZ 151200Z 24010KT 9999 BKNO10 10/05 Q1013").conditions.sky);
  EXPECT_FALSE(metar_of("KXYZ 151200Z 24010KT 9999 TSRX SKC 10/05 Q1013").conditions.weather);
  r = metar_of("KXYZ 151200Z 24010KT");  // cut short: nothing is guessed
  EXPECT_FALSE(r.conditions.visibility || r.conditions.sky || r.conditions.weather || r.temperature || r.qnh);
}

TEST(MetarBadInput, RefusesWhatIsNoReport) {
  for (const char* text :
       {"", "   ", "hello there", "TAF KXYZ 151130Z 1512/1612 24010KT", "KXYZ", "KXYZ 24010KT 9999", "KXYZ 321200Z 24010KT",
        "KXYZ 152500Z 24010KT", "KXYZ 151200Z NIL", "ALID 040000Z FOR USE", "KXYZ 151200Z 24010KT= KABC 151200Z 24010KT"}) {
    const auto r = read_metar(text, kMetarNear);
    EXPECT_FALSE(r) << text;
    if (!r) {
      EXPECT_FALSE(r.error().what.empty());
    }
  }
  EXPECT_FALSE(read_metar(std::string(5000, 'A'), kMetarNear));
}

TEST(MetarTime, TakesTheNearestSuchDay) {
  EXPECT_EQ(read_metar("KXYZ 282355Z 24010KT", utc(2026, 3, 1, 0, 10))->issued, utc(2026, 2, 28, 23, 55));
  EXPECT_EQ(read_metar("KXYZ 010005Z 24010KT", utc(2026, 12, 31, 23, 50))->issued, utc(2027, 1, 1, 0, 5));
}

TEST(MetarFiles, EveryRealLineIsReadOrRefused) {
  const std::string all = test::bytes_of(test::shared_folder() / "weather" / "raw_metar_a.txt");
  if (all.empty()) GTEST_SKIP() << "the collection of reports is not beside the source";
  std::istringstream lines(all);
  std::string line;
  std::size_t count = 0, fully = 0, in_part = 0;
  while (std::getline(lines, line)) {
    ++count;
    const auto r = read_metar(line, utc(2026, 3, 15));
    if (!r) {
      std::printf("refused: %s\n", line.c_str());
      continue;
    }
    for (const auto& g : r->groups)
      if (g.fate == ReadGroup::Fate::not_read) std::printf("not read: %s\n", g.text.c_str());
    (metar_unread(*r) == 0 ? fully : in_part) += 1;
  }
  RecordProperty("fully", static_cast<int>(fully));
  std::printf("%zu lines: %zu read fully, %zu in part, %zu refused\n", count, fully, in_part, count - fully - in_part);
  EXPECT_GE(fully * 10, count * 9);
}

}  // namespace
}  // namespace headroom
