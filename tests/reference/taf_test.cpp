// TAF against published decodings: two real forecasts with the decoding of an open parser (see SOURCES.md beside them), the
// examples of FAA Aeronautical Information Manual 7-1 (from memory), and the rules of WMO-No. 306, FM 51.
#include "formats/taf.h"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <sstream>

#include "support/shared_data.h"

namespace headroom {
namespace {

const UtcTime kTafNear = utc(2026, 3, 15);
Forecast taf_of(const std::string& text, UtcTime near = kTafNear) {
  auto r = read_taf(text, near);
  EXPECT_TRUE(r.has_value()) << text << ": " << (r ? "" : r.error().what);
  return r ? *r : Forecast{};
}
std::size_t taf_unread(const Forecast& f) {
  std::size_t n = 0;
  for (const auto& g : f.groups) n += g.fate == ReadGroup::Fate::not_read ? 1U : 0U;
  return n;
}
std::string weather_text(const WeatherCode& w) {
  std::string out = w.strength == WeatherCode::Strength::light ? "-" : w.strength == WeatherCode::Strength::heavy ? "+" : "";
  out += (w.vicinity ? "VC" : "") + w.descriptor;
  for (const auto& k : w.kinds) out += k;
  return out;
}
using TafAmount = CloudLayer::Amount;
TafAmount amount_named(const std::string& type) {
  return type == "FEW"   ? TafAmount::few
         : type == "SCT" ? TafAmount::scattered
         : type == "BKN" ? TafAmount::broken
         : type == "OVC" ? TafAmount::overcast
                         : TafAmount::not_measured;
}

class TafDecoded : public testing::TestWithParam<const char*> {};

TEST_P(TafDecoded, AgreesWithThePublishedDecoding) {
  const std::string bytes = test::bytes_of(test::shared_folder() / "weather" / GetParam());
  if (bytes.empty()) GTEST_SKIP() << "the collection of forecasts is not beside the source";
  const auto file = nlohmann::json::parse(bytes);
  const auto& data = file["data"];
  const auto when = [](const nlohmann::json& t) { return *parse_rfc3339(t["dt"].get<std::string>()); };
  const UtcTime created = *parse_rfc3339(file["created"].get<std::string>());
  const auto f = taf_of(data["raw"].get<std::string>(), created);
  EXPECT_EQ(taf_unread(f), 0U);
  EXPECT_EQ(f.station, data["station"].get<std::string>());
  EXPECT_EQ(f.issued, when(data["time"]));
  EXPECT_EQ(f.from, when(data["start_time"]));
  EXPECT_EQ(f.to, when(data["end_time"]));
  EXPECT_EQ(f.amended, data["is_amended"].get<bool>());
  EXPECT_EQ(f.corrected, data["is_correction"].get<bool>());
  ASSERT_EQ(f.parts.size(), data["forecast"].size());
  for (std::size_t i = 0; i < f.parts.size(); ++i) {
    const auto& want = data["forecast"][i];
    const auto& got = f.parts[i];
    SCOPED_TRACE(want["raw"].get<std::string>());
    EXPECT_NE(want["raw"].get<std::string>().find(got.text), std::string::npos) << got.text;
    // That decoding leaves out the minutes of an FM.
    EXPECT_EQ(std::chrono::floor<std::chrono::hours>(got.from), when(want["start_time"]));
    EXPECT_EQ(got.percent, want["probability"].is_null() ? 0 : want["probability"]["value"].get<int>());
    if (got.percent > 0) {
      EXPECT_EQ(got.to, when(want["end_time"]));
    }
    ASSERT_EQ(got.conditions.wind.has_value(), !want["wind_speed"].is_null());
    if (got.conditions.wind) {
      EXPECT_NEAR(in_knots(got.conditions.wind->mean), want["wind_speed"]["value"].get<double>(), 1e-9);
      EXPECT_EQ(got.conditions.wind->gust.has_value(), !want["wind_gust"].is_null());
      const auto& from = want["wind_direction"]["value"];
      ASSERT_EQ(got.conditions.wind->from.has_value(), !from.is_null());
      if (!from.is_null()) {
        EXPECT_NEAR(got.conditions.wind->from->degrees(), from.get<double>(), 1e-9);
      }
      EXPECT_EQ(got.conditions.wind->variable, want["wind_direction"]["repr"] == "VRB");
    }
    ASSERT_TRUE(got.conditions.visibility);
    const std::string miles = want["visibility"]["repr"].get<std::string>();
    const bool more = miles.starts_with("P");
    EXPECT_EQ(got.conditions.visibility->bound == ReportedVisibility::Bound::at_least, more);
    EXPECT_NEAR(in_metres(got.conditions.visibility->distance), std::stod(more ? miles.substr(1) : miles) * 1609.344, 1e-6);
    ASSERT_TRUE(got.conditions.sky);
    ASSERT_EQ(got.conditions.sky->layers.size(), want["clouds"].size());
    for (std::size_t k = 0; k < want["clouds"].size(); ++k) {
      EXPECT_NEAR(got.conditions.sky->layers[k].base->si(), want["clouds"][k]["base"].get<double>() * 30.48, 1e-6);
      EXPECT_EQ(got.conditions.sky->layers[k].amount, amount_named(want["clouds"][k]["type"].get<std::string>()));
    }
    ASSERT_TRUE(got.conditions.weather || want["wx_codes"].empty());
    if (got.conditions.weather) {
      ASSERT_EQ(got.conditions.weather->size(), want["wx_codes"].size());
      for (std::size_t k = 0; k < want["wx_codes"].size(); ++k)
        EXPECT_EQ(weather_text((*got.conditions.weather)[k]), want["wx_codes"][k]["repr"].get<std::string>());
    }
    // The decoding ends a part where the next FM begins: up to there, and no further, this one prevails.
    if (got.percent == 0) {
      const UtcTime begin = when(want["start_time"]), end = when(want["end_time"]);
      if (begin == end) continue;
      const UtcTime middle = begin + (end - begin) / 2;
      const auto there = conditions_over(f, middle, middle);
      ASSERT_EQ(there.wind.prevailing.size(), 1U);
      EXPECT_EQ(there.wind.prevailing.front().part, i);
    }
  }
}
INSTANTIATE_TEST_SUITE_P(Files, TafDecoded, testing::Values("taf_KJFK_decoded.json", "taf_PHNL_decoded.json"));

TEST(TafReference, AimExample) {  // AIM 7-1, key to TAF (from memory)
  const auto f = taf_of(
      "TAF KPIT 091730Z 0918/1024 15005KT 5SM HZ FEW020 WS010/31022KT FM091930 30015G25KT 3SM SHRA OVC015 TEMPO 0920/0922 1/2SM "
      "+TSRA OVC008CB FM100100 27008KT 5SM SHRA BKN020 OVC040 PROB30 1004/1007 1SM -RA BR FM101015 18005KT 6SM -SHRA OVC020 "
      "BECMG 1013/1015 P6SM NSW SKC");
  EXPECT_EQ(taf_unread(f), 0U);
  EXPECT_EQ(f.issued, utc(2026, 3, 9, 17, 30));
  EXPECT_EQ(f.from, utc(2026, 3, 9, 18));
  EXPECT_EQ(f.to, utc(2026, 3, 11)) << "1024 is the end of the 10th";
  ASSERT_EQ(f.parts.size(), 7U);
  ASSERT_TRUE(f.parts[0].shear);
  EXPECT_NEAR(f.parts[0].shear->height.si(), 304.8, 1e-9);
  EXPECT_NEAR(f.parts[0].shear->from.degrees(), 310, 1e-9);
  EXPECT_NEAR(in_knots(f.parts[0].shear->speed), 22, 1e-9);
  EXPECT_EQ(f.parts[1].kind, ChangeKind::from);
  EXPECT_EQ(f.parts[1].from, utc(2026, 3, 9, 19, 30));
  EXPECT_NEAR(in_knots(*f.parts[1].conditions.wind->gust), 25, 1e-9);
  EXPECT_EQ(f.parts[2].kind, ChangeKind::temporary);
  EXPECT_EQ(f.parts[2].to, utc(2026, 3, 9, 22));
  EXPECT_NEAR(f.parts[2].conditions.visibility->distance.si(), 804.672, 1e-6);
  EXPECT_TRUE(is_thunderstorm(f.parts[2].conditions.weather->front()));
  EXPECT_TRUE(has_cumulonimbus(*f.parts[2].conditions.sky));
  EXPECT_FALSE(f.parts[2].conditions.wind) << "what a change does not name it leaves";
  EXPECT_EQ(f.parts[4].kind, ChangeKind::probable);
  EXPECT_EQ(f.parts[4].percent, 30);
  EXPECT_EQ(f.parts[6].kind, ChangeKind::becoming);
  EXPECT_TRUE(f.parts[6].conditions.weather && f.parts[6].conditions.weather->empty()) << "NSW";
  EXPECT_EQ(f.parts[6].conditions.sky->statement, ReportedSky::Statement::none);
}

TEST(TafReference, FormsOfTheWorldCode) {  // WMO-No. 306, FM 51
  const auto f = taf_of(
      "TAF COR EHXX 151105Z 1512/1618 24005MPS CAVOK TX17/1514Z TNM02/1605Z BECMG 1516/1518 20036KMH 4000 RADZ BKN014 PROB40 "
      "TEMPO "
      "1522/1524 0800 FG VV002 BECMG 1606/1608 CAVOK=");
  EXPECT_EQ(taf_unread(f), 0U);
  EXPECT_TRUE(f.corrected);
  ASSERT_EQ(f.parts.size(), 4U);
  EXPECT_NEAR(f.parts[0].conditions.wind->mean.si(), 5, 1e-12);
  EXPECT_EQ(f.parts[0].conditions.sky->statement, ReportedSky::Statement::cavok);
  EXPECT_TRUE(f.parts[0].conditions.weather->empty());
  ASSERT_TRUE(f.highest.size() == 1 && f.lowest.size() == 1);
  EXPECT_NEAR(in_celsius(f.highest[0].value), 17, 1e-9);
  EXPECT_EQ(f.highest[0].at, utc(2026, 3, 15, 14));
  EXPECT_NEAR(in_celsius(f.lowest[0].value), -2, 1e-9);
  EXPECT_EQ(f.lowest[0].at, utc(2026, 3, 16, 5));
  EXPECT_NEAR(f.parts[1].conditions.wind->mean.si(), 10, 1e-12);
  EXPECT_EQ(f.parts[2].kind, ChangeKind::probable_temporary);
  EXPECT_EQ(f.parts[2].percent, 40);
  EXPECT_EQ(f.parts[2].to, utc(2026, 3, 16)) << "1524 is the end of the 15th";
  EXPECT_NEAR(ceiling_of(*f.parts[2].conditions.sky)->si(), 60.96, 1e-9);
  EXPECT_EQ(f.parts[3].conditions.sky->statement, ReportedSky::Statement::cavok);
  EXPECT_TRUE(f.parts[3].conditions.weather->empty()) << "CAVOK ends the weather";
}

TEST(TafReference, AFractionThatLostItsBlankIsNotElevenHalves) {
  const auto f =
      taf_of("TAF CZXX 300939Z 3010/3022 VRB03KT 11/2SM -SN OVC009 FM301200 10008KT 1 1/2SM -SN OVC010", utc(2026, 3, 30));
  EXPECT_NEAR(f.parts[0].conditions.visibility->distance.si(), 2414.016, 1e-6);
  EXPECT_NEAR(f.parts[1].conditions.visibility->distance.si(), 2414.016, 1e-6);
}

TEST(TafTime, RollsOverTheMonthAndTheYear) {
  auto f = taf_of(
      "TAF KDXX 311746Z 3118/0118 12007KT P6SM SKC TEMPO 3122/3124 4SM BR FM010800 23010KT P6SM SKC PROB30 0108/0112 4SM BR",
      utc(2026, 12, 31, 18, 0, 0));
  EXPECT_EQ(f.issued, utc(2026, 12, 31, 17, 46));
  EXPECT_EQ(f.from, utc(2026, 12, 31, 18));
  EXPECT_EQ(f.to, utc(2027, 1, 1, 18));
  EXPECT_EQ(f.parts[1].to, utc(2027, 1, 1));
  EXPECT_EQ(f.parts[2].from, utc(2027, 1, 1, 8));
  EXPECT_EQ(f.parts[3].to, utc(2027, 1, 1, 12));
  // Issued on the last of February, read on the first of March.
  f = taf_of("TAF KDXX 282330Z 0100/0206 12007KT P6SM SKC", utc(2026, 3, 1, 1, 0, 0));
  EXPECT_EQ(f.issued, utc(2026, 2, 28, 23, 30));
  EXPECT_EQ(f.from, utc(2026, 3, 1));
  EXPECT_EQ(f.to, utc(2026, 3, 2, 6));
}

TEST(TafBadInput, NamesTheGroupAndMakesItsPieceUnknown) {
  auto f = taf_of("TAF KXYZ 151130Z 1512/1612 240400KT 9999 SKC TEMPO 1514/1516 TSRX BKNO10 BECMG 1518/1520 24O10KT");
  EXPECT_EQ(taf_unread(f), 4U);
  EXPECT_TRUE(f.parts[0].conditions.unreadable.wind);
  EXPECT_FALSE(f.parts[0].conditions.wind);
  EXPECT_TRUE(f.parts[0].conditions.visibility && f.parts[0].conditions.sky);
  EXPECT_TRUE(f.parts[1].conditions.unreadable.weather);
  EXPECT_TRUE(f.parts[1].conditions.unreadable.sky);
  EXPECT_TRUE(f.parts[2].conditions.unreadable.wind);
  f = taf_of("TAF KXYZ 151130Z 1512/1612 24010KT 9999 SKC TX99/1514Z WS1/24045KT");
  EXPECT_TRUE(f.highest.empty());
  EXPECT_FALSE(f.parts[0].shear);
  EXPECT_EQ(taf_unread(f), 2U);
}

TEST(TafBadInput, RefusesWhatIsNoForecastAndWhatCannotBePlaced) {
  for (const char* text : {"",
                           "   ",
                           "hello there",
                           "TAF",
                           "METAR KXYZ 151200Z 24010KT 9999 SKC 10/05 Q1013",
                           "KXYZ 151200Z 24010KT 9999",
                           "TAF KXYZ 151130Z NIL",
                           "TAF AMD KXYZ 151130Z 1512/1612 CNL",
                           "TAF KXYZ 151130Z 24010KT",
                           "TAF KXYZ 321130Z 1512/1612 24010KT",
                           "TAF KXYZ 152530Z 1512/1612 24010KT",
                           "TAF KXYZ 151130Z 1525/1612 24010KT",
                           "TAF KXYZ 151130Z 1512/1512 24010KT",
                           "TAF KXYZ 151130Z 1512/1510 24010KT",
                           "TAF KXYZ 151130Z 1512/2012 24010KT",
                           "TAF KXYZ 151130Z 0512/0612 24010KT",                                // ended before it was issued
                           "TAF KXYZ 151130Z 1512/1612 24010KT 9999 SKC TEMPO TSRA",            // no period
                           "TAF KXYZ 151130Z 1512/1612 24010KT 9999 SKC TEMPO 1516/1514 TSRA",  // ends before it begins
                           "TAF KXYZ 151130Z 1512/1612 24010KT 9999 SKC BECMG 1712/1714 TSRA",  // outside of the forecast
                           "TAF KXYZ 151130Z 1512/1612 24010KT 9999 SKC FM1514 24020KT",        // no day
                           "TAF KXYZ 151130Z 1512/1612 24010KT 9999 SKC FM171400 24020KT",      // outside of the forecast
                           "TAF KXYZ 151130Z 1512/1612 24010KT 9999 SKC PROB50 1514/1516 TSRA",
                           "TAF KXYZ 151130Z 1512/1612 24010KT 9999 SKC BECNG 1514/1516 TSRA",  // a change of no known kind
                           "TAF KXYZ 151130Z 1512/1612 24010KT= TAF KABC 151130Z 1512/1612 24010KT",
                           "TAF KXYZ 151130Z 1512/1612 24010KT TAF KABC 151130Z 1512/1612 24010KT",
                           "TAF KXYZ 151130Z 1512/1612 x y z"}) {
    const auto r = read_taf(text, kTafNear);
    EXPECT_FALSE(r) << text;
    if (!r) {
      EXPECT_EQ(r.error().kind, ErrorKind::bad_input);
      EXPECT_FALSE(r.error().what.empty());
    }
  }
  EXPECT_FALSE(read_taf(std::string(5000, 'A'), kTafNear));
}

TEST(TafFiles, EveryRealLineIsReadOrRefused) {
  const std::string all = test::bytes_of(test::shared_folder() / "weather" / "raw_taf_a.txt");
  if (all.empty()) GTEST_SKIP() << "the collection of forecasts is not beside the source";
  std::istringstream lines(all);
  std::string line;
  std::size_t count = 0, fully = 0, in_part = 0;
  while (std::getline(lines, line)) {
    ++count;
    const auto r = read_taf(line, utc(2026, 3, 15));
    if (!r) {
      std::printf("refused: %s\n  %s\n", line.c_str(), r.error().what.c_str());
      continue;
    }
    for (const auto& g : r->groups)
      if (g.fate == ReadGroup::Fate::not_read) std::printf("not read: %s\n", g.text.c_str());
    (taf_unread(*r) == 0 ? fully : in_part) += 1;
  }
  std::printf("%zu lines: %zu read fully, %zu in part, %zu refused\n", count, fully, in_part, count - fully - in_part);
  EXPECT_GE(fully * 10, count * 9);
}

}  // namespace
}  // namespace headroom
