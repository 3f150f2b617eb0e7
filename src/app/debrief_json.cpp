#include "app/debrief_json.h"

#include "formats/detail_json.h"

namespace headroom {

AnswerJson debriefed_flight_json(const DebriefedFlight& f, const UnitChoice& units) {
  auto one = flight_json(f.flight);
  put_detail(one, f.detail, units);
  auto measures = AnswerJson::array();
  for (const auto& m : f.detail.measures) {
    auto& entry = measures.emplace_back(measure_json(m));
    for (const auto& other : f.usual)
      if (other.measure == m.kind && other.answer && other.answer->enough) {
        entry["usual"] = amount_json(other.answer->usual);
        entry["unusual"] = other.answer->unusual;
        entry["earlier_flights"] = other.answer->n;
      }
  }
  one["measures"] = measures;
  return one;
}

namespace {

AnswerJson file_json(const DebriefedFile& file, const UnitChoice& units) {
  AnswerJson out = {{"file", file.path}};
  if (file.error) {
    out["error"] = file.error->what;
    if (file.bytes == 0) return out;
  }
  out["sha256"] = file.recording.text();
  out["format"] = file.format;
  out["bytes"] = file.bytes;
  out["fixes"] = file.account.fixes;
  out["simulated"] = file.simulated;
  out["already_in_book"] = file.already_in_book;
  out["account"] = account_json(file.account);
  out["warnings"] = warnings_json(file.warnings);
  auto flights = AnswerJson::array();
  for (const auto& f : file.flights) {
    auto one = debriefed_flight_json(f, units);
    one["entry"] = f.entry == EntryId{} ? AnswerJson(nullptr) : AnswerJson(f.entry.text());
    if (f.same_as) one["same_flight_as"] = f.same_as->text();
    flights.push_back(one);
  }
  out["flights"] = flights;
  out["notes"] = file.notes;
  return out;
}

}  // namespace

AnswerJson debrief_json(const DebriefAnswer& answer, const UnitChoice& units) {
  auto recordings = AnswerJson::array();
  for (const auto& file : answer.files) recordings.push_back(file_json(file, units));
  auto thin = AnswerJson::array();
  for (const auto& m : answer.newly_thin) thin.push_back(margin_json(m, units));
  return {{"recordings", recordings},
          {"written", answer.written},
          {"assumed", answer.assumed},
          {"newly_thin", thin},
          {"caution", kCaution}};
}

}  // namespace headroom
