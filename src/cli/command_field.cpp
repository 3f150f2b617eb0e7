// headroom field ...: the places to launch from, described once and walked now and then.
#include <memory>

#include "app/field_json.h"
#include "app/said_field.h"
#include "cli/field_parts.h"
#include "cli/text.h"

namespace headroom {

std::string field_text(const FieldState& f, const Session& session, World& world) {
  std::string out = wrapped(field_title(f, session), world.shared.width, 2, 0);
  if (f.strips.empty())
    out += wrapped("No strip described: headroom field strip \"" + f.name + "\" 09 --towards 90 --length \"180 m\"",
                   world.shared.width, 4, 2);
  for (const FieldStrip& s : f.strips) out += wrapped(strip_sentence(s, session, world.ports.clock), world.shared.width, 4, 2);
  if (!f.landable.empty()) out += wrapped("Landable around it: " + f.landable, world.shared.width, 4, 2);
  if (f.photo != Hash{})
    out += wrapped("Photo kept: headroom field photo \"" + f.name + "\" --out FILE", world.shared.width, 4, 2);
  if (!f.text.empty()) out += wrapped(f.text, world.shared.width, 4, 2);
  return out;
}

int show_described(const std::string& field, World& world) {
  const auto session = open_session(world);
  if (!session) return report(world, session.error());
  const auto found = find_field(session->state, field);
  if (!found) return report(world, found.error());
  print(world.shared.json ? answer_text({{"fields", AnswerJson::array({field_json(**found)})}})
                          : field_text(**found, *session, world));
  return kDone;
}

Result<std::vector<std::string>> write_field(const FieldChange& change, const Session& session, World& world,
                                             std::vector<NamedBlob> blobs) {
  EnterRequest request;
  request.at = world.ports.clock.now();
  if (const auto offset = world.ports.clock.offset_minutes(request.at, session.zone)) request.offset_min = *offset;
  request.facts = [&](const Subjects& s) { return field_facts_of(change, s.state()); };
  request.blobs = std::move(blobs);
  auto answer = enter(request, world.ports);
  if (!answer) return tl::unexpected<Error>(answer.error());
  return std::move(answer->assumed);
}

namespace {

int show_fields(World& world, const SaidField& a) {
  const auto session = open_session(world);
  if (!session) return report(world, session.error());
  std::vector<const FieldState*> asked;
  if (a.field.empty()) {
    for (const auto& f : session->state.fields) asked.push_back(&f);
  } else {
    const auto one = find_field(session->state, a.field);
    if (!one) return report(world, one.error());
    asked.push_back(*one);
  }
  if (world.shared.json) {
    auto list = AnswerJson::array();
    for (const auto* f : asked) list.push_back(field_json(*f));
    print(answer_text({{"fields", list}}));
    return kDone;
  }
  if (asked.empty())
    print(wrapped("No field is described yet: headroom field describe \"Upper meadow\" --height \"420 m\"", world.shared.width));
  for (const auto* f : asked) print(field_text(*f, *session, world));
  return kDone;
}

int change_field(World& world, const SaidField& a, const char* kind) {
  const auto before = open_session(world);
  if (!before) return report(world, before.error());
  const auto change = find_said_field_kind(kind)->change(a, before->units, {world.ports.clock, before->zone});
  if (!change) return report(world, change.error());
  const auto assumed = write_field(*change, *before, world);
  if (!assumed) return report(world, assumed.error());
  if (!world.shared.json)
    for (const auto& sentence : *assumed) print(wrapped(sentence, world.shared.width));
  SaidField shown;
  shown.field = change->field;
  return show_fields(world, shown);
}

}  // namespace

void add_field(CommandTree& tree) {
  auto* command = tree.root.add_subcommand("field", "The places to launch from: strips, obstacles, when last walked");
  command->require_subcommand(0, 1);
  auto a = std::make_shared<SaidField>();
  // Without a verb: all of them.
  command->callback([&tree, command, a] {
    if (command->get_subcommands().empty()) tree.action = [a](World& world) { return show_fields(world, *a); };
  });
  const auto declare = [&](const char* verb, const char* help, const char* example, const char* kind) {
    auto* sub = command->add_subcommand(verb, help);
    sub->add_option("field", a->field, "Its name")->required()->type_name("FIELD");
    sub->footer(std::string("Examples:\n  ") + example);
    sub->callback([&tree, a, kind] { tree.action = [a, kind](World& world) { return change_field(world, *a, kind); }; });
    return sub;
  };
  auto* show = command->add_subcommand("show", "One field, or all of them");
  show->add_option("field", a->field, "Its name")->type_name("FIELD");
  show->footer("Examples:\n  headroom field show \"Upper meadow\"");
  show->callback([&tree, a] { tree.action = [a](World& world) { return show_fields(world, *a); }; });

  auto* describe = declare("describe", "A new field, or more about a known one",
                           "headroom field describe \"Upper meadow\" --height \"420 m\" --place 52.31,0.42", "field");
  describe->add_option("--height", a->height, "Height above sea level")->type_name("HEIGHT");
  describe->add_option("--place", a->place, "Latitude,longitude in degrees")->type_name("PLACE");
  describe->add_option("--landable", a->landable, "Where around it one can land, in words")->type_name("TEXT");
  describe->add_option("--note", a->note, "A word on it")->type_name("TEXT");

  auto* strip =
      declare("strip", "A direction to launch in, with its length",
              "headroom field strip \"Upper meadow\" 09 --towards 90 --length \"180 m\" --surface \"short grass\"", "strip");
  strip->add_option("strip", a->strip, "Its name")->required()->type_name("STRIP");
  strip->add_option("--towards", a->towards, "Direction of the take-off, degrees from true north")
      ->required()
      ->type_name("DEG")
      ->check(CLI::Range(0.0, 360.0));
  strip->add_option("--length", a->length, "Length over which one can run and still stop")->required()->type_name("LENGTH");
  strip->add_option("--slope", a->slope, "Slope along it in per cent, up positive")
      ->type_name("PERCENT")
      ->check(CLI::Range(-30.0, 30.0));
  strip->add_option("--surface", a->surface, "short grass, long grass, hard, sand, stones or stubble")->type_name("SURFACE");

  auto* obstacle =
      declare("obstacle", "Something to clear beyond a strip, or in it",
              "headroom field obstacle \"Upper meadow\" 09 trees --distance \"230 m\" --height \"12 m\"", "obstacle");
  obstacle->add_option("strip", a->strip, "The strip")->required()->type_name("STRIP");
  auto* kind =
      obstacle->add_option("kind", a->obstacle, "trees, hedge, wires, building, fence, crop or other")->type_name("KIND");
  auto* distance =
      obstacle->add_option("--distance", a->distance, "From the beginning of the strip, along it")->type_name("LENGTH");
  auto* height = obstacle->add_option("--height", a->height, "Above the strip's beginning")->type_name("HEIGHT");
  kind->needs(distance)->needs(height);
  auto* none = obstacle->add_flag("--none", a->none, "Forget the obstacles entered for this strip");
  none->excludes(kind);
  obstacle->callback([&tree, a] {
    if (!a->none && a->obstacle.empty()) throw CLI::ValidationError("kind", "say which kind of obstacle, or --none");
    tree.action = [a](World& world) { return change_field(world, *a, "obstacle"); };
  });

  auto* walked =
      declare("walked", "The strip's obstacles were looked for on foot", "headroom field walked \"Upper meadow\" 09", "walked");
  walked->add_option("strip", a->strip, "The strip")->type_name("STRIP");
  walked->add_option("--at", a->at, "When (default: now)")->type_name("WHEN");

  add_field_walk(tree, *command);
  add_field_from_launches(tree, *command);
  add_field_photo(tree, *command);
  command->footer(
      "Examples:\n"
      "  headroom field\n"
      "  headroom field describe \"Upper meadow\" --height \"420 m\" --place 52.31,0.42\n"
      "  headroom field strip \"Upper meadow\" 09 --towards 90 --length \"180 m\"\n"
      "A strip whose obstacles nobody has walked has an unknown take-off room.");
}

}  // namespace headroom
