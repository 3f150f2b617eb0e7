// Entries by hand: several at once, each with an id made by the page, so that what is sent twice is written once.
#include <algorithm>
#include <array>
#include <map>
#include <optional>
#include <string>
#include <variant>

#include "adapters/http/routes.h"
#include "app/correct.h"
#include "app/entry_words.h"
#include "app/said_entry.h"
#include "app/said_field.h"
#include "app/said_time.h"
#include "core/book/plausible.h"

namespace headroom::http {

namespace {

using Text = std::string SaidEntry::*;
using Flag = bool SaidEntry::*;
using Number = int SaidEntry::*;

// A member of an entry in a request, and where it goes.
struct Member {
  const char* name;
  std::variant<Text, Flag, Number> into;
};
struct Kind {
  std::string_view name;  // of the request
  std::string_view said;  // of said_entry.h
  std::vector<Member> members;
};

const std::vector<Kind>& kinds() {
  using S = SaidEntry;
  static const std::vector<Kind> all = {
      {"hours", "hours", {{"value", &S::value}, {"part", &S::part}}},
      {"head", "head", {{"value", &S::value}}},
      {"reading", "reading", {{"quantity", &S::name}, {"value", &S::value}, {"unit", &S::unit}, {"part", &S::part}}},
      {"plug", "plug", {{"colour", &S::value}, {"wet", &S::wet}, {"dry", &S::dry}, {"reading", &S::reading_word}}},
      {"figure", "figure", {{"figure", &S::name}, {"value", &S::value}, {"pilot", &S::part}}},
      {"kit", "kit", {{"name", &S::name}, {"mass", &S::value}, {"place", &S::text}}},
      {"mixed", "mixed", {{"value", &S::value}, {"ratio", &S::ratio}, {"oil", &S::oil}, {"note", &S::text}}},
      {"filled", "filled", {{"value", &S::value}, {"tank", &S::tank}}},
      {"left", "left", {{"value", &S::value}}},
      {"service", "service", {{"line", &S::value}, {"part", &S::part}, {"note", &S::text}}},
      {"service_line",
       "service-line",
       {{"line", &S::line},
        {"title", &S::title},
        {"role", &S::role},
        {"running", &S::running},
        {"air", &S::air},
        {"months", &S::calendar},
        {"launches", &S::launches},
        {"drop", &S::drop}}},
      {"finding", "finding", {{"text", &S::text}, {"grounding", &S::grounding}, {"part", &S::part}}},
      {"closed", "closed", {{"finding", &S::value}, {"text", &S::text}}},
      {"alteration", "alteration", {{"area", &S::value}, {"text", &S::text}, {"part", &S::part}}},
      {"drill", "drill", {{"drill", &S::value}, {"note", &S::text}}},
      {"take_off_run",
       "take-off-run",
       {{"distance", &S::value},
        {"steps", &S::steps},
        {"headwind", &S::headwind},
        {"tailwind", &S::tailwind},
        {"temperature", &S::temperature},
        {"height", &S::height},
        {"field", &S::field},
        {"strip", &S::strip},
        {"surface", &S::surface},
        {"all_up", &S::all_up},
        {"wheels", &S::wheels},
        {"note", &S::text}}},
      {"spent", "spent", {{"value", &S::value}, {"currency", &S::currency}, {"what", &S::text}}},
      {"note", "note", {{"text", &S::text}}},
      {"run", "run", {{"value", &S::value}, {"note", &S::text}}},
      {"handling", "handling", {{"value", &S::value}}},
      {"flight", "flight", {{"value", &S::value}, {"launches", &S::launches}}},
      {"machine", "machine", {{"name", &S::text}}},
      {"pilot", "pilot", {{"name", &S::text}, {"mass", &S::value}}},
      {"part",
       "part",
       {{"role", &S::role},
        {"name", &S::text},
        {"made", &S::made},
        {"running_before", &S::running_before},
        {"air_before", &S::air_before},
        {"ground_before", &S::ground_before},
        {"launches_before", &S::launches_before}}},
      {"fitted", "fitted", {{"part", &S::value}, {"machine", &S::part2}}},
      {"removed", "removed", {{"part", &S::value}, {"text", &S::text}}},
      {"check", "check", {{"check", &S::name}, {"state", &S::state}}},
  };
  return all;
}

Result<void> take(const AnswerJson& value, const Member& member, SaidEntry& into) {
  if (value.is_null()) return {};
  if (const auto* text = std::get_if<Text>(&member.into)) {
    constexpr std::size_t kMostText = 10000;
    // A number is taken as it was typed: the page may send either.
    if (value.is_number()) {
      into.*(*text) = value.dump();
      return {};
    }
    if (!value.is_string()) return fail(ErrorKind::bad_input, "a text was expected", member.name);
    into.*(*text) = value.get<std::string>();
    if ((into.*(*text)).size() > kMostText) return fail(ErrorKind::out_of_range, "that is too long", member.name);
    return {};
  }
  if (const auto* flag = std::get_if<Flag>(&member.into)) {
    if (!value.is_boolean()) return fail(ErrorKind::bad_input, "yes or no was expected", member.name);
    into.*(*flag) = value.get<bool>();
    return {};
  }
  if (!value.is_number_integer() || value.get<std::int64_t>() < 0 || value.get<std::int64_t>() > 1'000'000)
    return fail(ErrorKind::bad_input, "a whole number was expected", member.name);
  into.*std::get<Number>(member.into) = value.get<int>();
  return {};
}

// What an error of said_entry.h calls "value" or names as an option, under the name of the box that it was typed into.
Error named_by_box(Error error, const Kind& kind) {
  if (error.where.empty() || error.where == "value")
    for (const auto& m : kind.members)
      if (const auto* text = std::get_if<Text>(&m.into); text != nullptr && *text == &SaidEntry::value) {
        error.where = m.name;
        return error;
      }
  return error;
}

tl::unexpected<Error> at_entry(std::size_t i, Error error) {
  if (error.where.starts_with("--")) error.where.erase(0, 2);
  for (char& c : error.where)
    if (c == '-') c = '_';
  error.where = "entries." + std::to_string(i) + (error.where.empty() ? "" : "." + error.where);
  return tl::unexpected<Error>(std::move(error));
}

// A setting of the page: units and zone.
Result<PlainFacts> setting_facts(const std::string& name, const std::string& value, Clock& clock) {
  if (name == "zone") {
    if (const auto known = clock.offset_minutes(clock.now(), value); !known)
      return fail(known.error().kind, known.error().what, "value");
    return PlainFacts(Setting{"zone", value});
  }
  if (name.starts_with("unit.")) {
    UnitChoice units;
    if (auto chosen = units.choose(std::string_view(name).substr(5), value); !chosen)
      return fail(chosen.error().kind, chosen.error().what, "value");
    return PlainFacts(Setting{name, value});
  }
  return fail(ErrorKind::not_found, "there is no setting of that name", "name");
}

using FieldText = std::string SaidField::*;
const FieldText* field_member(std::string_view name) {
  static const std::map<std::string_view, FieldText> members = {
      {"field", &SaidField::field},       {"strip", &SaidField::strip},     {"height", &SaidField::height},
      {"place", &SaidField::place},       {"text", &SaidField::note},       {"landable", &SaidField::landable},
      {"length", &SaidField::length},     {"surface", &SaidField::surface}, {"obstacle", &SaidField::obstacle},
      {"distance", &SaidField::distance}, {"towards", &SaidField::towards}, {"slope", &SaidField::slope}};
  const auto found = members.find(name);
  return found == members.end() ? nullptr : &found->second;
}

const Kind* find_kind(std::string_view name) {
  const auto kind = std::find_if(kinds().begin(), kinds().end(), [&](const Kind& k) { return k.name == name; });
  return kind == kinds().end() ? nullptr : &*kind;
}

tl::unexpected<Error> no_such_kind(const std::string& name) {
  return fail(ErrorKind::not_found, "there is no kind of entry called \"" + name + "\"", "kind");
}

// The words of an entry of a kind of said_entry.h.
Result<SaidEntry> said_of(const AnswerJson& said, const Kind& kind) {
  SaidEntry entry;
  const auto at = text_of(said, "at");
  if (!at) return tl::unexpected<Error>(at.error());
  entry.at = *at;
  for (const auto& [key, value] : said.items()) {
    if (key == "kind" || key == "id" || key == "at") continue;
    const auto member =
        std::find_if(kind.members.begin(), kind.members.end(), [&, &wanted = key](const Member& m) { return m.name == wanted; });
    if (member == kind.members.end()) return fail(ErrorKind::bad_input, "an entry of this kind has no \"" + key + "\"", key);
    if (auto taken = take(value, *member, entry); !taken) return tl::unexpected<Error>(taken.error());
  }
  return entry;
}

Result<EnterRequest> request_of(const AnswerJson& said, Desk::Sitting& sitting, const Session& session) {
  if (!said.is_object()) return fail(ErrorKind::bad_input, "an entry was expected");
  const auto name = text_of(said, "kind");
  if (!name) return tl::unexpected<Error>(name.error());
  const auto at_text = text_of(said, "at");
  if (!at_text) return tl::unexpected<Error>(at_text.error());
  const auto id_text = text_of(said, "id");
  if (!id_text) return tl::unexpected<Error>(id_text.error());
  auto& clock = sitting.ports().clock;
  EnterRequest request;
  const auto at = parse_when(*at_text, clock, session.zone);
  if (!at) return fail(at.error().kind, at.error().what, "at");
  request.at = *at;
  const auto offset = clock.offset_minutes(*at, session.zone);
  if (!offset) return tl::unexpected<Error>(offset.error());
  request.offset_min = *offset;
  if (!id_text->empty()) {
    const auto id = EntryId::parse(*id_text);
    if (!id) return fail(ErrorKind::bad_input, "an id is a UUID", "id");
    request.id = *id;
  }
  if (*name == "setting") {
    const auto of = text_of(said, "name"), value = text_of(said, "value");
    if (!of) return tl::unexpected<Error>(of.error());
    if (!value) return tl::unexpected<Error>(value.error());
    auto facts = setting_facts(*of, *value, clock);
    if (!facts) return tl::unexpected<Error>(facts.error());
    request.facts = [facts = *facts](const Subjects&) { return Result<PlainFacts>(facts); };
    request.registers = false;
    return request;
  }
  if (const auto* of_field = find_said_field_kind(*name); of_field != nullptr) {
    SaidField field;
    for (const auto& [key, value] : said.items()) {
      if (key == "kind" || key == "id" || key == "at") continue;
      if (key == "none") {
        const auto none = flag_of(said, "none");
        if (!none) return tl::unexpected<Error>(none.error());
        field.none = *none;
        continue;
      }
      const auto* into = field_member(key);
      if (into == nullptr) return fail(ErrorKind::bad_input, "an entry of this kind has no \"" + key + "\"", key);
      auto text = value.is_number() ? Result<std::string>(value.dump()) : text_of(said, key.c_str());
      if (!text) return tl::unexpected<Error>(text.error());
      field.*(*into) = *text;
    }
    request.facts = [of_field, field, &session, &clock](const Subjects& subjects) {
      return of_field->make(field, session.units, subjects, {clock, session.zone});
    };
    return request;
  }
  const auto* kind = find_kind(*name);
  if (kind == nullptr) return no_such_kind(*name);
  const auto entry = said_of(said, *kind);
  if (!entry) return tl::unexpected<Error>(entry.error());
  request.facts = [&kind = *kind, entry = *entry, &session, &clock](const Subjects& subjects) -> Result<PlainFacts> {
    auto facts = find_said_kind(kind.said)->make(entry, session.units, subjects, {clock, session.zone});
    if (!facts) return tl::unexpected<Error>(named_by_box(facts.error(), kind));
    // Asked here too, where it is known which box the value was typed into.
    if (auto plausible = check_plausible(*facts); !plausible) return tl::unexpected<Error>(named_by_box(plausible.error(), kind));
    return facts;
  };
  return request;
}

Answer write_entries(Site& site, const Request& request) {
  return at_desk(site, request, [&](Desk::Sitting& sitting, const Session& session) {
    const auto body = body_of(request);
    if (!body) return error_answer(body.error());
    const auto list = body->find("entries");
    constexpr std::size_t kMostEntries = 200;
    if (list == body->end() || !list->is_array() || list->empty() || list->size() > kMostEntries)
      return error_answer({ErrorKind::bad_input, "the request holds no entries", "entries"});
    std::vector<EnterRequest> requests;
    for (std::size_t i = 0; i < list->size(); ++i) {
      auto one = request_of((*list)[i], sitting, session);
      if (!one) return error_answer(at_entry(i, one.error()).value());
      one->as_said = (*list)[i].dump();
      requests.push_back(std::move(*one));
    }
    const auto answers = enter_all(requests, sitting.ports());
    if (!answers) {
      auto error = answers.error();
      for (char& c : error.where)
        if (c == '-') c = '_';
      if (const auto dashes = error.where.find(".__"); dashes != std::string::npos) error.where.erase(dashes + 1, 2);
      return error_answer(error);
    }
    sitting.forget();
    const auto after = sitting.session();
    if (!after) return error_answer(after.error());
    auto written = AnswerJson::array();
    bool all_there = true;
    for (const auto& a : *answers) {
      written.push_back({{"id", a.id.text()},
                         {"number", a.number},
                         {"text", facts_sentence(a.facts, (*after)->state, (*after)->units)},
                         {"was_there", a.was_there}});
      all_there = all_there && a.was_there;
    }
    return json_answer({{"written", written}, {"assumed", answers->front().assumed}}, all_there ? 200 : 201);
  });
}

// What a correction made of an entry, told after it was written.
Answer corrected_answer(const CorrectionAnswer& answer, Desk::Sitting& sitting) {
  sitting.forget();
  const auto after = sitting.session();
  if (!after) return error_answer(after.error());
  const auto text = [&](const std::optional<PlainFacts>& facts, UtcTime at) {
    return facts ? facts_sentence(*facts, (*after)->state, (*after)->units) + ", " +
                       local_text(at, sitting.ports().clock, (*after)->zone)
                 : std::string("voided");
  };
  return json_answer({{"id", answer.id.text()},
                      {"number", answer.number},
                      {"of", answer.of.text()},
                      {"of_number", answer.of_number},
                      {"took_back", answer.took_back},
                      {"was", text(answer.before, answer.at_before)},
                      {"now", text(answer.after, answer.at_after)}},
                     201);
}

Result<int> offset_now(Desk::Sitting& sitting, const Session& session) {
  auto& clock = sitting.ports().clock;
  return clock.offset_minutes(clock.now(), session.zone);
}

Answer void_one(Site& site, const Request& request) {
  return at_desk(site, request, [&](Desk::Sitting& sitting, const Session& session) {
    const auto body = body_of(request);
    if (!body) return error_answer(body.error());
    const auto reason = text_of(*body, "reason");
    if (!reason) return error_answer(reason.error());
    VoidRequest asked{request.captured[1], *reason, 0};
    if (const auto offset = offset_now(sitting, session)) asked.offset_min = *offset;
    const auto answer = void_entry(asked, sitting.ports());
    return answer ? corrected_answer(*answer, sitting) : error_answer(answer.error());
  });
}

// "value" or "--value" of the entry is the box "entry.value".
Error in_the_entry(Error error) {
  if (error.where.starts_with("--")) error.where.erase(0, 2);
  for (char& c : error.where)
    if (c == '-') c = '_';
  error.where = error.where.empty() ? "entry" : "entry." + error.where;
  return error;
}

Answer amend_one(Site& site, const Request& request) {
  return at_desk(site, request, [&](Desk::Sitting& sitting, const Session& session) {
    const auto body = body_of(request);
    if (!body) return error_answer(body.error());
    const auto reason = text_of(*body, "reason"), at_text = text_of(*body, "at");
    if (!reason) return error_answer(reason.error());
    if (!at_text) return error_answer(at_text.error());
    auto& clock = sitting.ports().clock;
    AmendRequest asked;
    asked.entry = request.captured[1];
    asked.reason = *reason;
    if (const auto offset = offset_now(sitting, session)) asked.offset_min = *offset;
    if (!at_text->empty()) {
      const auto at = parse_when(*at_text, clock, session.zone);
      if (!at) return error_answer({at.error().kind, at.error().what, "at"});
      asked.at = *at;
    }
    if (const auto said = body->find("entry"); said != body->end() && !said->is_null()) {
      if (!said->is_object()) return error_answer({ErrorKind::bad_input, "an entry was expected", "entry"});
      const auto name = text_of(*said, "kind");
      if (!name) return error_answer(in_the_entry(name.error()));
      if (find_said_field_kind(*name) != nullptr)
        return error_answer({ErrorKind::refused, "a field is put right by describing it again", "entry.kind"});
      const bool setting = *name == "setting";
      const auto* kind = find_kind(*name);
      if (kind == nullptr && !setting) return error_answer(in_the_entry(no_such_kind(*name).value()));
      if (setting) {
        const auto of = text_of(*said, "name"), value = text_of(*said, "value");
        if (!of) return error_answer(in_the_entry(of.error()));
        if (!value) return error_answer(in_the_entry(value.error()));
        auto facts = setting_facts(*of, *value, clock);
        if (!facts) return error_answer(in_the_entry(facts.error()));
        asked.facts = [facts = *facts](const Subjects&, const PlainFacts&) { return Result<PlainFacts>(facts); };
      } else {
        auto entry = said_of(*said, *kind);
        if (!entry) return error_answer(in_the_entry(entry.error()));
        if (!at_text->empty()) entry->at = *at_text;
        if (!asked.at && !entry->at.empty()) {
          const auto at = parse_when(entry->at, clock, session.zone);
          if (!at) return error_answer({at.error().kind, at.error().what, "entry.at"});
          asked.at = *at;
        }
        asked.facts = [kind, entry = *entry, &session, &clock](const Subjects& subjects,
                                                               const PlainFacts& before) -> Result<PlainFacts> {
          auto made = find_said_kind(kind->said)->make(entry, session.units, subjects, {clock, session.zone});
          if (!made) return tl::unexpected<Error>(in_the_entry(named_by_box(made.error(), *kind)));
          keep_unsaid(*made, before, entry, !entry.at.empty());
          if (auto plausible = check_plausible(*made); made->index() == before.index() && !plausible)
            return tl::unexpected<Error>(in_the_entry(named_by_box(plausible.error(), *kind)));
          return made;
        };
      }
    }
    const auto answer = amend(asked, sitting.ports());
    return answer ? corrected_answer(*answer, sitting) : error_answer(answer.error());
  });
}

constexpr std::array kEntryRoutes = {
    Route{Method::post, "/api/{book}/entries", write_entries, Takes::json},
    Route{Method::post, "/api/{book}/entries/{id}/void", void_one, Takes::json},
    Route{Method::post, "/api/{book}/entries/{id}/amend", amend_one, Takes::json},
};

}  // namespace

std::span<const Route> entry_routes() {
  return kEntryRoutes;
}

}  // namespace headroom::http
