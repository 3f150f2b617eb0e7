#include "app/shed.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "app/due_words.h"
#include "app/entry_words.h"
#include "app/head_history.h"
#include "app/said_time.h"
#include "app/shown_unit.h"
#include "core/planning/brief.h"
#include "core/planning/brief_day.h"
#include "formats/say.h"

namespace headroom {

namespace {

class TellShed {
 public:
  TellShed(const Session& session, Clock& clock)
      : state_(session.state), units_(session.units), zone_(session.zone), clock_(clock), now_(clock.now()) {
    BriefRequest asked;
    asked.now = now_;
    asked.with_changes = false;
    brief_ = make_brief(state_, asked);
  }
  [[nodiscard]] AnswerJson all() const {
    return {{"head", head()},
            {"plugs", plugs()},
            {"plugs_text", observed("plug", "plug_word", "No plug reading is in the book.")},
            {"burn", burn()},
            {"alterations", alterations()},
            {"due", due_list()},
            {"findings", findings()}};
  }

 private:
  [[nodiscard]] AnswerJson head() const;
  [[nodiscard]] AnswerJson plugs() const;
  [[nodiscard]] AnswerJson burn() const;
  [[nodiscard]] AnswerJson alterations() const;
  [[nodiscard]] AnswerJson due_list() const;
  [[nodiscard]] AnswerJson findings() const;
  [[nodiscard]] std::string date(UtcTime t) const { return local_text(t, clock_, zone_, false); }
  // What the brief says of the last of them, with its margin's reasons and advice if it has one: one thing is not judged in two
  // ways.
  [[nodiscard]] std::string observed(std::string_view id, std::string_view margin, const char* otherwise) const {
    std::string text;
    const auto add = [&](const Sentence& s) { text += (text.empty() ? "" : " ") + say_sentence(s, units_); };
    for (const auto& m : brief_.margins) {
      if (m.id != margin) continue;
      for (const auto& s : m.why) add(s);
      for (const auto& s : m.measure) add(s);
      return text;
    }
    for (const auto& o : brief_.observations)
      if (o.id == id) return say_sentence(o.text, units_);
    return otherwise;
  }

  const State& state_;
  const UnitChoice& units_;
  const std::string& zone_;
  Clock& clock_;
  UtcTime now_;
  Brief brief_;
};

AnswerJson TellShed::head() const {
  const auto unit = shown_unit(Dimension::temperature, units_);
  const auto history = head_history(state_);
  auto points = AnswerJson::array();
  for (const auto& p : history) {
    auto text = date(p.at) + ": head maximum " + say_temperature(p.value, units_);
    if (p.enough)
      text += fmt::format(", {}; {} to {} was usual by {} earlier ones", p.unusual ? "unusual" : "usual",
                          say_temperature(p.low, units_), say_temperature(p.high, units_), p.earlier);
    points.push_back(
        {{"at", rfc3339(p.at)},
         {"value", finite_number(unit.rounded(p.value.si(), 1))},
         {"flight", p.flight < state_.flights.size() ? AnswerJson(state_.flights[p.flight].id.text()) : AnswerJson(nullptr)},
         {"text", text + "."},
         {"unusual", p.unusual}});
  }
  const auto usual = usual_head(state_);
  auto text = observed(kHeadMaximum, kHeadMaximum, "No head maximum is in the book.");
  std::size_t in_a_row = 0;
  while (in_a_row < history.size() && history[history.size() - 1 - in_a_row].unusual) ++in_a_row;
  if (in_a_row > 1) text += fmt::format(" {} in a row are unusual.", in_a_row);
  if (usual)
    text += fmt::format(
        " The band, {} to {}, is where nine of ten lie by all {} of them, whatever the air of the day; it says "
        "nothing of the mixture, and a seizure can start inside it.",
        say_temperature(usual->low, units_), say_temperature(usual->high, units_), history.size());
  return {{"unit", unit.name},
          {"points", points},
          {"usual", usual ? AnswerJson{{"low", finite_number(unit.rounded(usual->low.si(), 1))},
                                       {"mid", finite_number(unit.rounded(usual->middle.si(), 1))},
                                       {"high", finite_number(unit.rounded(usual->high.si(), 1))}}
                          : AnswerJson(nullptr)},
          {"text", text}};
}

AnswerJson TellShed::plugs() const {
  constexpr std::array kColours = {"white", "pale", "tan", "dark", "black"};
  constexpr std::array kMixtures = {"unsaid", "lean", "right", "rich"};
  auto out = AnswerJson::array();
  for (const auto& p : state_.plugs)
    out.push_back({{"at", rfc3339(p.at)},
                   {"colour", kColours[static_cast<std::size_t>(p.read.colour)]},
                   {"wet", p.read.wet},
                   {"mixture", kMixtures[static_cast<std::size_t>(p.read.mixture)]},
                   {"text", date(p.at) + ": " + facts_sentence(PlainFacts(p.read), state_, units_) + "."}});
  return out;
}

AnswerJson TellShed::burn() const {
  const auto spans = burn_spans(state_);
  const auto learned = burn_of(state_);
  const auto unit = shown_unit(Dimension::volume_flow, units_);
  const auto say = [&](double si) { return say_amount(exact_amount(Dimension::volume_flow, si), units_, false); };
  auto points = AnswerJson::array();
  std::size_t outside = 0;
  for (const auto& span : spans) {
    const double mid = span.interval.burnt.si() / span.running.si();
    const double share =
        std::hypot(span.interval.error_sd.si() / span.interval.burnt.si(), span.running_sd.si() / span.running.si());
    // A share of the whole may be large: the interval of its logarithm stays above zero.
    const double low = mid * std::exp(-kNormal95 * share), high = mid * std::exp(kNormal95 * share);
    if (learned.usual.basis.kind == BasisKind::learned && (low > learned.usual.high.si() || high < learned.usual.low.si()))
      ++outside;
    points.push_back({{"from", rfc3339(span.from)},
                      {"at", rfc3339(span.to)},
                      {"low", finite_number(unit.rounded(low, 1))},
                      {"mid", finite_number(unit.rounded(mid, 1))},
                      {"high", finite_number(unit.rounded(high, 1))},
                      {"flights", span.interval.flights},
                      {"text", fmt::format("{}: {} burnt in {} of running, {} ({} to {}).", date(span.to),
                                           say_volume(span.interval.burnt, units_), say_duration(span.running), say(mid),
                                           say(low), say(high))}});
  }
  const bool told = learned.usual.basis.kind == BasisKind::learned;
  std::string text;
  if (spans.empty()) {
    text = "Nothing tells the burn yet: enter what is left in the tank after a flight, and what is filled.";
  } else {
    text = fmt::format(
        "Each bar is what was burnt between two moments at which the tank was known, over the time the engine ran "
        "in between. By {} of them the usual burn is {} ({} to {}){}.",
        spans.size(), say(learned.usual.mid.si()), say(learned.usual.low.si()), say(learned.usual.high.si()),
        told ? "" : ", still mostly assumed");
    if (outside > 0) text += fmt::format(" {} {} wholly outside that band.", outside, outside == 1 ? "lies" : "lie");
  }
  return {{"unit", unit.name},
          {"points", points},
          {"usual",
           {{"low", finite_number(unit.rounded(learned.usual.low.si(), 1))},
            {"mid", finite_number(unit.rounded(learned.usual.mid.si(), 1))},
            {"high", finite_number(unit.rounded(learned.usual.high.si(), 1))},
            {"basis", basis_text(learned.usual.basis)}}},
          {"text", text}};
}

AnswerJson TellShed::alterations() const {
  auto out = AnswerJson::array();
  for (const auto& a : state_.alterations)
    out.push_back(
        {{"id", a.id.text()}, {"at", rfc3339(a.at)}, {"area", a.area}, {"text", a.area + (a.text.empty() ? "" : ": " + a.text)}});
  return out;
}

AnswerJson TellShed::due_list() const {
  const auto rate = use_rate(state_, now_);
  const auto lines = due(state_, now_, rate);
  auto out = due_json(lines, rate, now_, units_);
  const auto or_null = [](std::string text) { return text.empty() ? AnswerJson(nullptr) : AnswerJson(std::move(text)); };
  std::size_t past = 0, unknown = 0;
  std::string first_past;
  const DueLine* next = nullptr;
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const auto& line = lines[i];
    auto& row = out["lines"][i];
    row["say"] = or_null(due_left_text(line, units_));
    row["chance_text"] = or_null(due_chance_text(line, clock_, zone_));
    row["date_text"] = or_null(due_date_text(line, clock_, zone_));
    row["state_text"] = std::string(state_word(line.state)) + (line.assumed ? ", assumed" : "");
    if (line.state == MarginState::short_of) {
      if (past++ == 0) first_past = line.line.title;
    } else if (line.state == MarginState::unknown) {
      ++unknown;
    } else if (line.date.known() && (next == nullptr || line.date.mid < next->date.mid)) {
      next = &line;
    }
  }
  std::string text;
  if (past == 1)
    text = "Past its limit: " + first_past + ".";
  else if (past > 1)
    text = fmt::format("{} lines are past their limit, {} first.", past, first_past);
  else
    text = "Nothing that is known is past its limit.";
  if (next != nullptr) text += " Next falls due: " + next->line.title + ", " + due_date_text(*next, clock_, zone_) + ".";
  if (unknown == 1) text += " Of one line the last service is not in the book.";
  if (unknown > 1) text += fmt::format(" Of {} lines the last service is not in the book.", unknown);
  out["text"] = text;
  return out;
}

AnswerJson TellShed::findings() const {
  std::vector<const FindingState*> order;
  for (const auto& f : state_.findings) order.push_back(&f);
  // Open ones first, the grounding before the deferred; the newest first among equals.
  const auto rank = [](const FindingState* f) { return f->closed ? 2 : f->grounding ? 0 : 1; };
  std::stable_sort(order.begin(), order.end(),
                   [&](const auto* a, const auto* b) { return rank(a) != rank(b) ? rank(a) < rank(b) : a->at > b->at; });
  auto out = AnswerJson::array();
  for (const auto* f : order) {
    const auto* part = f->part ? state_.part(*f->part) : nullptr;
    out.push_back({{"id", f->id.text()},
                   {"text", f->text},
                   {"grounding", f->grounding},
                   {"at", rfc3339(f->at)},
                   {"closed", f->closed ? AnswerJson(rfc3339(*f->closed)) : AnswerJson(nullptr)},
                   {"part", part == nullptr ? AnswerJson(nullptr)
                                            : AnswerJson(part->role + (part->name.empty() ? "" : " " + part->name))}});
  }
  return out;
}

}  // namespace

AnswerJson shed_json(const Session& session, Clock& clock) {
  return TellShed(session, clock).all();
}

}  // namespace headroom
