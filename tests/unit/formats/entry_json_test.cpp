#include "formats/entry_json.h"

#include <gtest/gtest.h>
#include <rapidcheck.h>
#include <rapidcheck/gtest.h>

#include <cmath>
#include <limits>
#include <nlohmann/json.hpp>
#include <set>

#include "formats/hash.h"
#include "support/sample_facts.h"

namespace headroom {
namespace {

using nlohmann::json;
using nlohmann::ordered_json;

EntryHeader sample_header() {
  EntryHeader h;
  h.id = sample_id(20);
  h.writer = sample_id(21);
  h.number = 12;
  h.at = utc(2026, 5, 2, 7, 10, 30, 500);
  h.offset_min = -210;
  h.written = utc(2026, 5, 2, 20);
  h.before = sample_hash(9);
  return h;
}

Salts sample_salts() {
  Salts salts;
  salts.facts.fill(0xab);
  salts.private_part.fill(0x01);
  return salts;
}

// An entry with these parts, whatever they say, under a header that fits.
EncodedEntry entry_of(const std::string& kind, std::optional<std::string> facts, std::optional<std::string> private_part,
                      int version = 1) {
  EncodedEntry e;
  e.facts = std::move(facts);
  e.private_part = std::move(private_part);
  ordered_json h;
  h["id"] = sample_id(20).text();
  h["writer"] = sample_id(21).text();
  h["number"] = 1;
  h["at"] = "2026-05-02T07:10:00Z";
  h["offset_min"] = 120;
  h["written"] = "2026-05-02T07:10:00Z";
  h["kind"] = kind;
  h["version"] = version;
  h["before"] = Hash{}.text();
  h["facts"] = sha256(e.facts.value_or("")).text();
  h["private"] = sha256(e.private_part.value_or("")).text();
  e.header = h.dump();
  e.hash = sha256(e.header);
  return e;
}

const std::string kSalt = R"({"salt":"00000000000000000000000000000000")";
std::string part(const std::string& members) {
  return kSalt + (members.empty() ? "" : "," + members) + "}";
}

// FIPS 180-4 examples: SHA-256 of "abc" and of nothing (NIST CSRC, "SHA-256 example values").
TEST(Sha256, MatchesThePublishedExamples) {
  EXPECT_EQ(sha256("abc").text(), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  EXPECT_EQ(sha256("").text(), "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
}

TEST(EntryJson, EveryKindReadsBackToTheSameBytes) {
  std::set<EntryKind> met;
  for (const auto& facts : sample_facts()) {
    const auto first = encode(sample_header(), facts, sample_salts());
    ASSERT_TRUE(first) << first.error().what;
    const auto entry = decode(*first);
    ASSERT_TRUE(entry) << entry.error().what << "\n" << *first->facts << "\n" << *first->private_part;
    EXPECT_EQ(entry->header.kind, kind_of(facts));
    EXPECT_EQ(entry->facts.index(), facts.index());
    EXPECT_EQ(entry->header.at, sample_header().at);
    EXPECT_EQ(entry->header.offset_min, -210);
    EXPECT_EQ(entry->header.number, 12U);
    EXPECT_EQ(entry->header.before, sample_header().before);
    const auto again = encode(entry->header, entry->facts, sample_salts());
    ASSERT_TRUE(again);
    EXPECT_EQ(again->header, first->header);
    EXPECT_EQ(again->facts, first->facts);
    EXPECT_EQ(again->private_part, first->private_part);
    met.insert(entry->header.kind);
  }
  EXPECT_EQ(met.size(), static_cast<std::size_t>(EntryKind::unknown)) << "every kind is in the samples";
}

// A field's photo came later: a description without one is as it was, and one with it keeps it private.
TEST(EntryJson, AFieldMayHaveAPhotoAndNeedsNone) {
  FieldDescribed field;
  field.private_name = "the long meadow";
  const auto without = encode(sample_header(), PlainFacts(field), sample_salts()).value();
  EXPECT_EQ(without.private_part->find("photo"), std::string::npos);
  field.private_photo = sample_hash(9);
  const auto with = encode(sample_header(), PlainFacts(field), sample_salts()).value();
  EXPECT_EQ(with.facts->find(sample_hash(9).text()), std::string::npos);
  const auto entry = decode(with);
  ASSERT_TRUE(entry) << entry.error().what;
  EXPECT_EQ(std::get<FieldDescribed>(std::get<PlainFacts>(entry->facts)).private_photo, sample_hash(9));
  EXPECT_EQ(std::get<FieldDescribed>(std::get<PlainFacts>(decode(without)->facts)).private_photo, Hash{});
}

TEST(EntryJson, PutsWhatIsPrivateOnlyIntoThePrivatePart) {
  for (const auto& facts : sample_facts()) {
    const auto e = encode(sample_header(), facts, sample_salts()).value();
    const auto text = *e.facts;
    // From the samples: names, free text, positions, money, file names.
    for (const char* secret : {"Magpie", "N. N.",       "the red one", "gap 0.5",       "2026-05-02.igc", "10.12",
                               "10.25",  "-20.",        "thin path",   "bench",         "old can",        "crack",
                               "welded", "one size up", "1999",        "EUR",           "spark plugs",    "hung",
                               "meadow", "slopes",      "umlaut",      "entered twice", "wrong machine",  "the clock ran back"})
      EXPECT_EQ(text.find(secret), std::string::npos) << secret << " in " << text;
  }
}

TEST(EntryJson, HasTheFormOfThePage) {
  const auto e = encode(sample_header(), PlainFacts(Finding{true, std::nullopt, "crack"}), sample_salts()).value();
  EXPECT_EQ(*e.facts, R"({"salt":"abababababababababababababababab","grounding":true})");
  EXPECT_EQ(*e.private_part, R"({"salt":"01010101010101010101010101010101","text":"crack"})");
  EXPECT_EQ(
      e.header,
      R"({"id":")" + sample_id(20).text() + R"(","writer":")" + sample_id(21).text() +
          R"(","number":12,"at":"2026-05-02T07:10:30.500Z","offset_min":-210,"written":"2026-05-02T20:00:00Z","kind":"finding","version":1,"before":")" +
          sample_hash(9).text() + R"(","facts":")" + sha256(*e.facts).text() + R"(","private":")" +
          sha256(*e.private_part).text() + R"("})");
  EXPECT_EQ(e.hash, sha256(e.header));
}

TEST(EntryJson, RefusesToWriteWhatIsNotFinite) {
  for (const double bad : {std::nan(""), std::numeric_limits<double>::infinity(), -std::numeric_limits<double>::infinity()}) {
    EXPECT_EQ(encode(sample_header(), PlainFacts(Reading{"q", bad, "K", {}}), {}).error().kind, ErrorKind::out_of_range);
    auto flight = sample_flight();
    flight.summary.climb_50 = metres_per_second(bad);
    EXPECT_EQ(encode(sample_header(), PlainFacts(flight), {}).error().kind, ErrorKind::out_of_range);
    EXPECT_EQ(encode(sample_header(), Amended{sample_id(1), "", {}, {}, flight}, {}).error().kind, ErrorKind::out_of_range);
    flight = sample_flight();
    flight.private_landing.longitude_deg = bad;
    EXPECT_EQ(encode(sample_header(), PlainFacts(flight), {}).error().kind, ErrorKind::out_of_range);
  }
}

TEST(EntryJson, ReadsBackEveryMeasureAsItWas) {
  const auto e = encode(sample_header(), PlainFacts(sample_flight()), sample_salts()).value();
  const auto entry = decode(e);
  ASSERT_TRUE(entry);
  const auto wanted = sample_measures(), got = std::get<FlightEntry>(std::get<PlainFacts>(entry->facts)).measures;
  const auto same = [](const Amount& a, const Amount& b) {
    return a.dimension == b.dimension && a.low == b.low && a.mid == b.mid && a.high == b.high && a.basis == b.basis &&
           a.note == b.note;
  };
  ASSERT_EQ(got.size(), wanted.size());
  for (std::size_t i = 0; i < got.size(); ++i) {
    EXPECT_EQ(got[i].kind, wanted[i].kind);
    EXPECT_TRUE(same(got[i].as_flown, wanted[i].as_flown)) << i;
    ASSERT_EQ(got[i].standard.has_value(), wanted[i].standard.has_value());
    if (got[i].standard) {
      EXPECT_TRUE(same(*got[i].standard, *wanted[i].standard));
    }
    EXPECT_EQ(got[i].learnable, wanted[i].learnable);
    EXPECT_EQ(got[i].remark, wanted[i].remark);
    EXPECT_EQ(got[i].density_ratio, wanted[i].density_ratio);
    EXPECT_EQ(got[i].headwind_m_s, wanted[i].headwind_m_s);
  }
}

TEST(EntryJson, SkipsAMeasureOfANewerProgramAndRefusesOneThatCannotBe) {
  const auto flight = [](const std::string& measures) {
    const auto id = sample_id(1).text();
    return decode(entry_of(
        "flight",
        part(R"("machine":")" + id + R"(","pilot":")" + id +
             R"(","launch":"2026-05-02T07:10:00Z","landing":"2026-05-02T08:10:00Z","air_time_s":3600,"measured":)" + measures),
        part("")));
  };
  const auto newer =
      flight(R"([{"key":"hum","unit":"Hz","low":[1],"more":{}},{"key":"glide","unit":"1","low":5,"mid":6,"high":7,)"
             R"("basis":"measured","of":"later"}])");
  // "low" of an unknown key must still be a number: what a known member holds does not change with the key.
  EXPECT_FALSE(newer);
  const auto skipped =
      flight(R"([{"key":"hum","unit":"Hz","low":1,"more":{}},{"key":"glide","unit":"1","low":5,"mid":6,"high":7,)"
             R"("basis":"measured","of":"later"}])");
  ASSERT_TRUE(skipped) << skipped.error().what;
  const auto& kept = std::get<FlightEntry>(std::get<PlainFacts>(skipped->facts)).measures;
  ASSERT_EQ(kept.size(), 1U);
  EXPECT_EQ(kept[0].kind, MeasureKind::glide);
  EXPECT_TRUE(flight("[]"));
  for (
      const char* bad :
      {R"([{"unit":"1","low":5,"mid":6,"high":7,"basis":"measured"}])",
       R"([{"key":"glide","unit":"m","low":5,"mid":6,"high":7}])",
       R"([{"key":"glide","unit":"1","low":7,"mid":6,"high":5,"basis":"measured"}])",
       R"([{"key":"glide","unit":"1","low":5,"high":7,"basis":"measured"}])",
       R"([{"key":"glide","unit":"1","low":5,"mid":6,"high":1e999,"basis":"measured"}])",
       R"([{"key":"glide","unit":"1","low":5,"mid":6,"high":7,"basis":"guessed"}])",
       R"([{"key":"glide","unit":"1","low":5,"mid":6,"high":7,"basis":"measured","density_ratio":-1}])",
       R"([{"key":"glide","unit":"1","low":5,"mid":6,"high":7,"basis":"measured","standard":{"low":2,"mid":1,"high":3,"basis":"measured"}}])",
       R"({"key":"glide"})"}) {
    const auto read = flight(bad);
    ASSERT_FALSE(read) << bad;
    EXPECT_EQ(read.error().kind, ErrorKind::damaged);
  }
}

TEST(EntryJson, RefusesToWriteAMeasureThatCouldNotBeReadAgain) {
  auto flight = sample_flight();
  std::swap(flight.measures[0].as_flown.low, flight.measures[0].as_flown.high);
  EXPECT_EQ(encode(sample_header(), PlainFacts(flight), {}).error().kind, ErrorKind::out_of_range);
  flight = sample_flight();
  flight.measures[1].standard->mid = std::nan("");
  EXPECT_EQ(encode(sample_header(), PlainFacts(flight), {}).error().kind, ErrorKind::out_of_range);
  flight = sample_flight();
  flight.measures[0].density_ratio = -1;
  EXPECT_EQ(encode(sample_header(), PlainFacts(flight), {}).error().kind, ErrorKind::out_of_range);
}

TEST(EntryJson, RefusesTimesThatHaveNoText) {
  auto header = sample_header();
  header.at = utc(10000, 1, 1);
  EXPECT_EQ(encode(header, PlainFacts(Note{"x"}), {}).error().kind, ErrorKind::out_of_range);
  PartRegistered wing{"wing", utc(-1, 1, 1), {}, {}, {}, {}, 0, false, ""};
  EXPECT_EQ(encode(sample_header(), PlainFacts(wing), {}).error().kind, ErrorKind::out_of_range);
  EXPECT_EQ(encode(sample_header(), PlainFacts(UnknownFacts{}), {}).error().kind, ErrorKind::bad_input);
}

TEST(EntryJson, LeavesUnknownMembersAlone) {
  const auto e = entry_of("finding", part(R"("colour":{"a":[1,{"b":null}]},"grounding":true,"zebra":"\u00e4")"),
                          part(R"("text":"x","more":1e3)"));
  const auto entry = decode(e);
  ASSERT_TRUE(entry) << entry.error().what;
  const auto& finding = std::get<Finding>(std::get<PlainFacts>(entry->facts));
  EXPECT_TRUE(finding.grounding);
  EXPECT_EQ(finding.private_text, "x");
}

TEST(EntryJson, ReadsMembersInAnyOrder) {
  const auto e = encode(sample_header(), PlainFacts(sample_flight()), sample_salts()).value();
  const auto tree = ordered_json::parse(*e.facts);
  std::string members;
  for (auto it = tree.rbegin(); it != tree.rend(); ++it)
    if (it.key() != "salt") members += (members.empty() ? "" : ", ") + ordered_json(it.key()).dump() + " : " + it.value().dump();
  const auto entry = decode(entry_of("flight", part(members), *e.private_part));
  ASSERT_TRUE(entry) << entry.error().what;
  EXPECT_EQ(encode(sample_header(), entry->facts, sample_salts())->facts, e.facts);
}

TEST(EntryJson, KeepsKindsAndVersionsItDoesNotKnow) {
  for (const auto& e : {entry_of("balloon_inflated", part(R"("volume_m3":2200)"), part("")),
                        entry_of("finding", part(R"("grounding":"perhaps")"), part(""), 2)}) {
    const auto entry = decode(e);
    ASSERT_TRUE(entry) << entry.error().what;
    EXPECT_TRUE(std::holds_alternative<UnknownFacts>(std::get<PlainFacts>(entry->facts)));
    EXPECT_FALSE(entry->header.kind_text.empty());
  }
  EXPECT_EQ(decode(entry_of("balloon_inflated", part(""), part("")))->header.kind, EntryKind::unknown);
}

TEST(EntryJson, SaysWhichPartWasLeftOut) {
  auto e = entry_of("finding", part(R"("grounding":true)"), std::nullopt);
  auto entry = decode(e);
  ASSERT_TRUE(entry);
  EXPECT_TRUE(entry->private_missing);
  EXPECT_TRUE(std::get<Finding>(std::get<PlainFacts>(entry->facts)).grounding);
  e = entry_of("finding", std::nullopt, part(R"("text":"x")"));
  entry = decode(e);
  ASSERT_TRUE(entry);
  EXPECT_TRUE(entry->facts_missing);
  EXPECT_TRUE(std::holds_alternative<UnknownFacts>(std::get<PlainFacts>(entry->facts)));
}

TEST(EntryJson, IsStrictAboutWhatItKnows) {
  const std::string id = sample_id(1).text();
  struct Case {
    const char* kind;
    std::string facts, private_part;
  };
  for (const auto& c : {
           Case{"finding", part(""), part("")},                                                           // needed member missing
           Case{"finding", part(R"("grounding":1)"), part("")},                                           // wrong type
           Case{"finding", part(R"("grounding":true,"grounding":true)"), part("")},                       // twice
           Case{"finding", part(R"("grounding":true)"), part(R"("text":7)")},                             //
           Case{"finding", R"({"grounding":true})", part("")},                                            // no salt
           Case{"finding", R"({"grounding":true,"salt":"00000000000000000000000000000000"})", part("")},  // not first
           Case{"finding", R"({"salt":"0000","grounding":true})", part("")},                              // short salt
           Case{"finding", part(R"("grounding":true)") + "x", part("")},                                  // something follows
           Case{"finding", "[]", part("")},
           Case{"finding", "", part("")},
           Case{"plug_read", part(R"("colour":"mauve")"), part("")},                       // no word of ours
           Case{"reading", part(R"("quantity":"q","value":1e999,"unit":"K")"), part("")},  // not a double
           Case{"reading", part(R"("quantity":"q","value":NaN,"unit":"K")"), part("")},
           Case{"reading", part(R"("quantity":"q","value":null,"unit":"K")"), part("")},
           Case{"part_fitted", part(R"("part":"x","machine":"x")"), part("")},  // no id
           Case{"counter_read", part(R"("counter":"running","value":1,"unit":"h")"), part("")},
           Case{"field_described", part(""), part(R"("position":{"latitude_deg":91,"longitude_deg":0})")},
           Case{"field_described", part(""), part(R"("position":{"latitude_deg":1})")},
           Case{"amended", part(R"("reason":"no entry named")"), part("")},
           Case{"amended", part(R"("entry":")" + id + R"(","kind":"finding","kind_version":1,"says":{}))"), part("")},
           Case{"amended", part(R"("entry":")" + id + R"(","kind":"amended","kind_version":1,"says":{})"), part("")},
           Case{"amended", part(R"("entry":")" + id + R"(","kind":"finding","kind_version":1)"), part("")},
       }) {
    const auto entry = decode(entry_of(c.kind, c.facts, c.private_part));
    ASSERT_FALSE(entry) << c.kind << " " << c.facts;
    EXPECT_EQ(entry.error().kind, ErrorKind::damaged);
    EXPECT_NE(entry.error().where.find(sample_id(20).text()), std::string::npos) << "the entry is named";
  }
}

TEST(EntryJson, AnAmendmentMayNameItsKindAfterItsWords) {
  const auto e = encode(sample_header(), Amended{sample_id(4), "r", {}, {}, Finding{true, {}, "x"}}, sample_salts()).value();
  auto tree = ordered_json::parse(*e.facts);
  const auto entry = decode(
      entry_of("amended",
               part(R"("says":)" + tree["says"].dump() + R"(,"kind":"finding","kind_version":1,"entry":)" + tree["entry"].dump()),
               *e.private_part));
  ASSERT_TRUE(entry) << entry.error().what;
  const auto& amended = std::get<Amended>(entry->facts);
  EXPECT_TRUE(std::get<Finding>(amended.facts).grounding);
  EXPECT_EQ(std::get<Finding>(amended.facts).private_text, "x");
  EXPECT_EQ(amended.private_reason, "r");
}

TEST(EntryHeader, IsReadInAnyFormOfTheSameJson) {
  const auto e = encode(sample_header(), PlainFacts(Note{"x"}), sample_salts()).value();
  const auto fixed = decode_header(e.header).value();
  // Spaces, another order and a member of a newer program lead to the general reader, which must say the same.
  auto tree = json::parse(e.header);  // sorted by key
  tree["zone"] = "Nowhere/Else";
  const auto general = decode_header(tree.dump(2)).value();
  EXPECT_EQ(general.id, fixed.id);
  EXPECT_EQ(general.writer, fixed.writer);
  EXPECT_EQ(general.number, fixed.number);
  EXPECT_EQ(general.at, fixed.at);
  EXPECT_EQ(general.offset_min, fixed.offset_min);
  EXPECT_EQ(general.written, fixed.written);
  EXPECT_EQ(general.kind, fixed.kind);
  EXPECT_EQ(general.kind_text, fixed.kind_text);
  EXPECT_EQ(general.kind_version, fixed.kind_version);
  EXPECT_EQ(general.before, fixed.before);
  EXPECT_EQ(general.facts_hash, fixed.facts_hash);
  EXPECT_EQ(general.private_hash, fixed.private_hash);
  const auto whole = json::parse(e.header);
  for (const auto& item : whole.items()) {
    auto lacking = tree;
    lacking.erase(item.key());
    EXPECT_FALSE(decode_header(lacking.dump())) << item.key();
  }
}

// The fixed form and the general reader must agree on every header that both take, also a damaged one.
RC_GTEST_PROP(EntryHeader, TheFixedFormAgreesWithAnotherReaderOnDamagedBytes, ()) {
  auto text = encode(sample_header(), PlainFacts(Note{"x"}), sample_salts()).value().header;
  const auto at = *rc::gen::inRange<std::size_t>(0, text.size());
  text[at] = *rc::gen::arbitrary<char>();
  const auto header = decode_header(text);
  if (!header) return;
  const auto tree = json::parse(text, nullptr, false);
  RC_ASSERT(!tree.is_discarded());
  RC_ASSERT(tree.at("id") == header->id.text());
  RC_ASSERT(tree.at("number") == header->number);
  RC_ASSERT(tree.at("offset_min") == header->offset_min);
  RC_ASSERT(tree.at("kind") == header->kind_text);
  RC_ASSERT(tree.at("version") == header->kind_version);
  RC_ASSERT(tree.at("facts") == header->facts_hash.text());
}

RC_GTEST_PROP(EntryJson, NeverThrowsOnArbitraryBytes,
              (const std::string& header, const std::string& facts, const std::string& private_part)) {
  EncodedEntry e;
  e.header = header;
  e.facts = facts;
  e.private_part = private_part;
  RC_ASSERT(!decode(e));
  for (const char* kind : {"flight", "amended", "recording_attached", "unheard_of"})
    static_cast<void>(decode(entry_of(kind, "{\"salt\":\"00000000000000000000000000000000\"" + facts, private_part)));
}

RC_GTEST_PROP(EntryJson, NeverThrowsOnDamagedEntries, ()) {
  const auto all = sample_facts();
  auto e = encode(sample_header(), all[*rc::gen::inRange<std::size_t>(0, all.size())], sample_salts()).value();
  for (auto* text : {&*e.facts, &*e.private_part}) {
    const int changes = *rc::gen::inRange(0, 4);
    for (int i = 0; i < changes; ++i) (*text)[*rc::gen::inRange<std::size_t>(0, text->size())] = *rc::gen::arbitrary<char>();
  }
  const auto entry = decode(e);
  // What still reads must also write: nothing that is not finite gets in.
  if (entry && entry->header.kind != EntryKind::amended)
    RC_ASSERT(encode(entry->header, entry->facts, sample_salts()).has_value());
}

RC_GTEST_PROP(EntryJson, KeepsEveryDoubleAndText, (double value, const std::string& bytes)) {
  RC_PRE(std::isfinite(value));
  const auto e = encode(sample_header(), PlainFacts(Reading{"q", value, "K", {}}), sample_salts()).value();
  RC_ASSERT(std::get<Reading>(std::get<PlainFacts>(decode(e)->facts)).value == value);
  const auto note = encode(sample_header(), PlainFacts(Note{bytes}), sample_salts()).value();
  const auto text = std::get<Note>(std::get<PlainFacts>(decode(note)->facts)).private_text;
  // Another writer's replacement of bad UTF-8 is the same wherever there is none.
  const auto other = json(bytes).dump(-1, ' ', false, json::error_handler_t::replace);
  if (other.find("\xef\xbf\xbd") == std::string::npos) RC_ASSERT(text == bytes);
}

}  // namespace
}  // namespace headroom
