// headroom field walk NAME FILE: the field as its edge, or one strip of it, was walked with a recorder.
#include "app/field_walk.h"

#include <fmt/format.h>

#include <memory>

#include "cli/field_parts.h"
#include "cli/text.h"
#include "formats/say.h"

namespace headroom {

namespace {

struct WalkArguments {
  std::string field, file, strip;
  bool write = false;
};

constexpr const char* kNotLookedFor =
    "Walking the ground with a recorder tells nothing of trees, wires and hedges: the take-off room stays unknown until the "
    "strip's obstacles are entered (headroom field obstacle) and looked for on foot (headroom field walked).";

std::string slope_words(double slope, double spread) {
  return fmt::format("slope {:.1f} % {} (90 of 100 within {:.1f} either way)", 100 * std::abs(slope), slope < 0 ? "down" : "up",
                     100 * spread);
}

std::string walk_text(const WalkedFile& file, const std::vector<FieldStrip>& strips, const Session& session, World& world) {
  const Walk& w = file.walk;
  const auto lines = [&](const std::string& text, std::size_t indent = 0) { return wrapped(text, world.shared.width, indent); };
  std::string out;
  if (file.simulated) out += lines("Simulated recording: this walk is invented.");
  std::string read = w.kind == WalkKind::edge
                         ? fmt::format("Walked round its edge: {} (standard deviation {}), {} fixes.",
                                       say_area(w.area, session.units), say_area(w.area_spread, session.units), w.fixes)
                         : fmt::format("Walked along one line: {} fixes.", w.fixes);
  if (w.set_aside > 0) read += fmt::format(" {} more are out of a walker's reach and left out.", w.set_aside);
  out += lines(read);
  out += lines(fmt::format("{} {:.5f}, {:.5f}; a walked place is known to {} (standard deviation).",
                           w.kind == WalkKind::edge ? "Centre" : "Middle", w.centre.latitude_deg, w.centre.longitude_deg,
                           say_height(w.spread, session.units)));
  if (w.height) out += lines(say_height(*w.height - AltitudeMsl{}, session.units) + " above sea level. " + w.height_remark);
  if (!w.height) out += lines(w.height_remark);
  if (w.pressure_height)
    out += lines("Pressure height " + say_height(*w.pressure_height - PressureAltitude{}, session.units) +
                 " over 1013.25 hPa, which follows the weather: not kept.");
  if (!w.strips.empty())
    out += lines(w.kind == WalkKind::edge ? "The longest straight inside the edge, either way:" : "One strip, the way out:");
  for (std::size_t i = 0; i < w.strips.size(); ++i) {
    const WalkedStrip& s = w.strips[i];
    std::string text = fmt::format(
        "{}: towards {:.0f}° (standard deviation {:.1f}°), {}: {} as walked, less what the spread may hide at both ends",
        strips[i].name, strips[i].towards_deg, s.towards_spread_deg, say_distance(strips[i].length, session.units),
        say_distance(s.straight, session.units));
    if (s.slope) text += "; " + slope_words(*s.slope, s.slope_spread);
    out += lines(text + ".", 2);
  }
  if (!w.strips.empty()) {
    out += lines(w.slope_remark);
    if (w.kind == WalkKind::edge) out += lines("Where the straight runs into a corner there is little room beside it.");
  }
  for (const Sentence& remark : w.remarks) out += lines(say_sentence(remark, session.units));
  for (const auto& note : file.notes) out += lines(note);
  return out;
}

AnswerJson walk_json(const WalkedFile& file, const std::vector<FieldStrip>& strips, const WalkArguments& a, bool written,
                     const UnitChoice& units) {
  const Walk& w = file.walk;
  const auto number = [](bool known, double value) { return known ? AnswerJson(finite_number(value)) : AnswerJson(nullptr); };
  const bool edge = w.kind == WalkKind::edge;
  AnswerJson out = {{"field", a.field},
                    {"written", written},
                    {"simulated", file.simulated},
                    {"walked", edge ? "edge" : "line"},
                    {"latitude", finite_number(w.centre.latitude_deg)},
                    {"longitude", finite_number(w.centre.longitude_deg)},
                    {"height_m", number(w.height.has_value(), w.height ? w.height->si() : 0)},
                    {"pressure_height_m", number(w.pressure_height.has_value(), w.pressure_height ? w.pressure_height->si() : 0)},
                    {"height_remark", w.height_remark},
                    {"area_m2", number(edge, w.area.si())},
                    {"area_spread_m2", number(edge, w.area_spread.si())},
                    {"gap_m", number(edge, in_metres(w.gap))},
                    {"spread_m", finite_number(in_metres(w.spread))},
                    {"fixes_count", w.fixes},
                    {"set_aside_count", w.set_aside},
                    {"slope_remark", w.slope_remark}};
  auto list = AnswerJson::array();
  for (std::size_t i = 0; i < w.strips.size(); ++i) {
    const WalkedStrip& s = w.strips[i];
    list.push_back({{"name", strips[i].name},
                    {"towards_deg", finite_number(strips[i].towards_deg)},
                    {"towards_spread_deg", finite_number(s.towards_spread_deg)},
                    {"length_m", finite_number(in_metres(strips[i].length))},
                    {"straight_m", finite_number(in_metres(s.straight))},
                    {"begin_latitude", finite_number(s.begin.latitude_deg)},
                    {"begin_longitude", finite_number(s.begin.longitude_deg)},
                    {"slope", number(s.slope.has_value(), s.slope.value_or(0))},
                    {"slope_spread", number(s.slope.has_value(), s.slope_spread)}});
  }
  out["strips"] = list;
  auto remarks = AnswerJson::array();
  for (const Sentence& remark : w.remarks) remarks.push_back(say_sentence(remark, units));
  for (const auto& note : file.notes) remarks.push_back(note);
  remarks.push_back(kNotLookedFor);
  out["remarks"] = remarks;
  return out;
}

// What stays of a field that is known already, and what a new walk of a strip asks for.
std::string kept_text(const FieldChange& change, const State& before, const Session& session, World& world) {
  const auto known = find_field(before, change.field);
  if (!known) return {};
  std::string out;
  const auto lines = [&](const std::string& text) { out += wrapped(text, world.shared.width); };
  if (!change.position) lines("The place stays as it was entered.");
  if (!change.height && (*known)->height)
    lines("The height stays as it was entered, " + say_height(*(*known)->height - AltitudeMsl{}, session.units) + ".");
  for (const FieldStrip& strip : change.strips)
    for (const FieldStrip& was : (*known)->strips)
      if (was.name == strip.name)
        lines(
            fmt::format("Strip {} takes the place of the one of that name; its {} stay as entered, and count from the beginning "
                        "as it is now: look again.",
                        strip.name, was.obstacles.empty() ? "surface and notes" : "obstacles"));
  return out;
}

int walk_field(World& world, const WalkArguments& a) {
  const auto session = open_session(world);
  if (!session) return report(world, session.error());
  const auto file = read_walk_file(a.file, world.ports);
  if (!file) return report(world, file.error());
  const auto strips = strips_of_walk(file->walk, a.strip);
  std::vector<std::string> assumed;
  std::string kept;
  if (a.write) {
    const auto change = change_of_walk(*file, a.field, a.strip, session->state);
    if (!change) return report(world, change.error());
    auto written = write_field(*change, *session, world);
    if (!written) return report(world, written.error());
    assumed = std::move(*written);
    kept = kept_text(*change, session->state, *session, world);
  }
  if (world.shared.json) {
    print(answer_text(walk_json(*file, strips, a, a.write, session->units)));
    return kDone;
  }
  print(walk_text(*file, strips, *session, world));
  print(wrapped(kNotLookedFor, world.shared.width));
  if (!a.write) {
    print("\n" + wrapped("Nothing is written; say --write to describe " + a.field + " so.", world.shared.width));
    return kDone;
  }
  for (const auto& sentence : assumed) print(wrapped(sentence, world.shared.width));
  print(kept);
  print("\n");
  return show_described(a.field, world);
}

}  // namespace

void add_field_walk(CommandTree& tree, CLI::App& field) {
  auto a = std::make_shared<WalkArguments>();
  auto* walk = field.add_subcommand("walk", "The field from a recording of walking its edge, or along one strip");
  walk->add_option("field", a->field, "Its name")->required()->type_name("FIELD");
  walk->add_option("file", a->file, "The recording: IGC, GPX, NMEA or KML")->required()->type_name("FILE");
  walk->add_option("--strip", a->strip, "Name of the strip (default: tens of degrees of its direction)")->type_name("STRIP");
  walk->add_flag("--write", a->write, "Describe the field so; without it the walk is only shown");
  walk->footer(
      "Walk the whole edge, back to where you began, with the recorder writing once a second; or along one strip, out or out and "
      "back.\nExamples:\n  headroom field walk \"Upper meadow\" edge.gpx\n"
      "  headroom field walk \"Upper meadow\" strip.igc --strip 09 --write");
  walk->callback([&tree, a] { tree.action = [a](World& world) { return walk_field(world, *a); }; });
}

}  // namespace headroom
