#include "app/book_json.h"

#include <fmt/format.h>

#include "app/entry_words.h"
#include "app/said_time.h"

namespace headroom {

namespace {

AnswerJson stored_part(const std::optional<std::string>& bytes) {
  if (!bytes) return nullptr;
  auto parsed = AnswerJson::parse(*bytes, nullptr, false);
  return parsed.is_discarded() ? AnswerJson(*bytes) : parsed;
}

}  // namespace

std::string entry_said(const BookEntry& e, const BookReading& book, const Session& session) {
  if (!e.unreadable.empty()) return "cannot be read: " + e.unreadable;
  const auto number_of = [&](const EntryId& id) {
    const auto* of = book.find(id);
    return of == nullptr ? "an entry not in this copy" : fmt::format("entry {}", of->number);
  };
  const auto because = [](const std::string& reason) { return reason.empty() ? std::string() : ": \"" + reason + "\""; };
  if (const auto* amended = std::get_if<Amended>(&e.entry->facts))
    return "Amends " + number_of(amended->entry) + because(amended->private_reason);
  const auto& plain = std::get<PlainFacts>(e.entry->facts);
  if (const auto* voided = std::get_if<Voided>(&plain))
    return "Voids " + number_of(voided->entry) + because(voided->private_reason);
  return facts_sentence(e.facts != nullptr ? *e.facts : plain, session.state, session.units);
}

std::string corrected_note(const BookEntry& e) {
  std::string out;
  bool voids = false;
  for (const auto& c : e.corrected) {
    if (!c.holds) continue;
    out += (out.empty() ? "" : " and ") + std::to_string(c.number);
    voids = c.voids;
  }
  return out.empty() ? out : (voids ? " (voided by " : " (amended by ") + out + ")";
}

AnswerJson entry_row_json(const BookEntry& e, const BookReading& book, const Session& session) {
  const auto& header = e.entry->header;
  auto corrected = AnswerJson::array();
  for (const auto& c : e.corrected)
    if (c.holds) corrected.push_back(c.number);
  AnswerJson out = {{"number", e.number},
                    {"id", header.id.text()},
                    {"at", rfc3339(e.at)},
                    {"written", rfc3339(header.written)},
                    {"kind", header.kind_text},
                    {"text", entry_said(e, book, session)},
                    {"corrected_by", corrected},
                    {"voided", e.voided()},
                    {"private_left_out", e.entry->private_missing}};
  if (!e.unreadable.empty()) out["unreadable"] = e.unreadable;
  return out;
}

std::vector<std::string> corrected_sentences(const BookEntry& e, const Session& session, Clock& clock) {
  std::vector<std::string> out;
  for (const auto& c : e.corrected)
    out.push_back(fmt::format("{} by entry {} on {}{}{}", c.voids ? "Voided" : "Amended", c.number,
                              local_text(c.written, clock, session.zone), c.reason.empty() ? "." : ": \"" + c.reason + "\".",
                              c.holds ? "" : " It is not in force."));
  return out;
}

AnswerJson shown_entry_json(const BookEntry& e, const ShownEntry& shown) {
  AnswerJson out = {{"number", e.number},
                    {"hash", shown.bytes.hash.text()},
                    {"header", stored_part(shown.bytes.header)},
                    {"facts", stored_part(shown.bytes.facts)},
                    {"private", stored_part(shown.bytes.private_part)}};
  auto corrected = AnswerJson::array();
  for (const auto& c : e.corrected)
    corrected.push_back({{"number", c.number},
                         {"id", c.by.text()},
                         {"written", rfc3339(c.written)},
                         {"voids", c.voids},
                         {"holds", c.holds},
                         {"reason", c.reason}});
  out["corrected_by"] = corrected;
  if (!shown.fault.empty()) out["fault"] = shown.fault;
  return out;
}

AnswerJson verified_json(const VerifyAnswer& answer) {
  const auto& chain = answer.chain;
  auto faults = AnswerJson::array();
  for (const auto& f : chain.faults) faults.push_back({{"entry", f.entry}, {"what", f.what}});
  auto left_out = AnswerJson::array();
  for (const auto& l : chain.left_out) left_out.push_back({{"entry", l.entry}, {"part", l.part}});
  for (const auto& l : answer.blobs_left_out) left_out.push_back({{"entry", l.entry}, {"part", l.part}});
  return {{"sound", answer.sound()},    {"entries", chain.entries},
          {"recordings", answer.blobs}, {"recording_bytes", answer.blob_bytes},
          {"faults", faults},           {"left_out", left_out}};
}

}  // namespace headroom
