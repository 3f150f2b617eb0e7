// headroom book ...: what stands in the book, and whether it still stands as it was written.
#include <fmt/format.h>

#include <algorithm>
#include <memory>

#include "app/book_export.h"
#include "app/book_import.h"
#include "app/book_json.h"
#include "app/book_list.h"
#include "app/book_reading.h"
#include "app/book_verify.h"
#include "app/enter.h"
#include "app/part_history.h"
#include "cli/command.h"
#include "cli/display.h"
#include "cli/kind_words.h"
#include "cli/text.h"
#include "core/upkeep/due.h"
#include "formats/answer_json.h"
#include "formats/say.h"

namespace headroom {

namespace {

struct BookArguments {
  std::string folder, word, kind, part, from, to, search;
  std::size_t last = 20;
  bool all = false, without_private = false;
};

std::string comma_list(std::string words) {
  std::string out;
  for (const char c : words) out += c == '|' ? std::string(", ") : std::string(1, c);
  return out;
}

std::string lower(std::string text) {
  std::transform(text.begin(), text.end(), text.begin(), [](unsigned char c) { return std::tolower(c); });
  return text;
}

std::string entry_row(const BookEntry& e, const BookReading& book, const Session& session, World& world) {
  const auto first = fmt::format("{:>4}  {}  ", e.number, local_text(e.at, world.ports.clock, session.zone));
  // On a narrow terminal the text goes below its date.
  constexpr std::size_t kNarrow = 60;
  const auto text = harmless(entry_said(e, book, session)) + corrected_note(e);
  if (world.shared.width < kNarrow) return first.substr(0, first.size() - 2) + "\n" + wrapped(text, world.shared.width, 6);
  return first + wrapped(text, world.shared.width, first.size()).substr(first.size());
}

Result<std::optional<UtcTime>> day_limit(const std::string& text, bool end_of_day, World& world, const Session& session) {
  if (text.empty()) return std::optional<UtcTime>();
  const bool day_only = text.find(':') == std::string::npos;
  const auto t = parse_when(text, world.ports.clock, session.zone);
  if (!t) return tl::unexpected<Error>(t.error());
  // A day alone was read as its noon: from its first moment, or to its last.
  if (!day_only || text == "now") return std::optional<UtcTime>(*t);
  return std::optional<UtcTime>(end_of_day ? *t + std::chrono::hours(12) : *t - std::chrono::hours(12));
}

int run_list(World& world, const BookArguments& arguments) {
  auto session = open_session(world, true);
  if (!session) return report(world, session.error());
  auto store = world.ports.book.to_read();
  if (!store) return report(world, store.error());
  const auto book = read_book(**store);
  if (!book) return report(world, book.error());
  if (!arguments.kind.empty() && !is_kind_word(arguments.kind))
    return report(world,
                  {ErrorKind::bad_input,
                   fmt::format("'{}' is no kind of entry; there are: {}", arguments.kind, comma_list(kind_words())), "--kind"});
  std::optional<EntryId> part;
  if (!arguments.part.empty()) {
    const auto found = Subjects(session->state).part(arguments.part);
    if (!found) return report(world, found.error());
    part = *found;
  }
  const auto from = day_limit(arguments.from, false, world, *session), to = day_limit(arguments.to, true, world, *session);
  if (!from) return report(world, from.error());
  if (!to) return report(world, to.error());
  const auto wanted = lower(arguments.search);
  std::vector<const BookEntry*> rows;
  for (const auto& e : book->entries) {
    const auto* facts = e.facts != nullptr ? e.facts : std::get_if<PlainFacts>(&e.entry->facts);
    if (!arguments.kind.empty() && !is_of_kind(arguments.kind, e.entry->header, facts)) continue;
    if (part && !speaks_of_part(e, *session->state.part(*part), session->state)) continue;
    if (*from && e.at < **from) continue;
    if (*to && e.at >= **to) continue;
    if (!wanted.empty() && lower(entry_said(e, *book, *session)).find(wanted) == std::string::npos) continue;
    rows.push_back(&e);
  }
  const auto matching = rows.size();
  if (!arguments.all && rows.size() > arguments.last)
    rows.erase(rows.begin(), rows.end() - static_cast<std::ptrdiff_t>(arguments.last));
  if (world.shared.json) {
    auto out = AnswerJson::array();
    for (const auto* e : rows) out.push_back(entry_row_json(*e, *book, *session));
    print(answer_text({{"entries", out}, {"matching", matching}}));
    return kDone;
  }
  if (rows.empty()) {
    print(wrapped(book->entries.empty() ? "The book is empty. headroom debrief FILE begins it." : "No such entry.",
                  world.shared.width));
    return kDone;
  }
  if (matching > rows.size())
    print(wrapped(fmt::format("The last {} of {} entries; --all shows every one.", rows.size(), matching), world.shared.width));
  for (const auto* e : rows) print(entry_row(*e, *book, *session, world));
  return kDone;
}

// Label and text as a row; a long text goes on below itself.
std::string labelled(std::string_view label, const std::string& text, std::size_t width) {
  constexpr std::size_t kColumn = 12;
  const auto lines = wrapped(harmless(text), width, kColumn);
  return fmt::format("  {:<10}", label) + lines.substr(kColumn);
}

struct MoreRows {
  const Session& session;
  World& world;
  std::string operator()(const FlightEntry& f) const {
    const auto width = world.shared.width;
    const auto& u = session.units;
    const auto clock = [&](UtcTime t) { return local_text(t, world.ports.clock, session.zone); };
    std::string out = labelled("Launch", clock(f.launch) + (f.begins_in_air ? ", already flying" : ""), width) +
                      labelled("Landing", clock(f.landing) + (f.ends_in_air ? ", still flying" : ""), width);
    if (f.recording == Hash{}) return out + labelled("From", "entered by hand", width);
    out += labelled("Flown",
                    say_distance(f.summary.track_length, u) + ", " + say_distance(f.summary.farthest_distance, u) +
                        " from launch at the farthest",
                    width);
    if (f.summary.highest)
      out += labelled("Highest", say_height(*f.summary.highest - AltitudeMsl{}, u) + " above sea level", width);
    for (const auto& d : f.doubts) out += labelled("Doubt", d, width);
    return out + labelled("From", "recording " + f.recording.text().substr(0, 12), width);
  }
  std::string operator()(const RecordingAttached& f) const {
    std::string out = labelled("Bytes", fmt::format("{} ({})", f.bytes, f.recording.text().substr(0, 12)), world.shared.width);
    for (const auto& w : f.warnings)
      out += labelled("Warning", fmt::format("{}: {}", static_cast<int>(w.code), w.text), world.shared.width);
    return out;
  }
  std::string operator()(const PartRegistered& f) const {
    const auto width = world.shared.width;
    std::string out;
    const auto before = [&](const char* what, const std::optional<Duration>& d) {
      if (d) out += labelled("Before", say_duration(*d) + " " + what + " before this book", width);
    };
    before("running", f.running_before);
    before("in the air", f.air_before);
    before("of ground handling", f.ground_handling_before);
    if (f.launches_before) out += labelled("Before", fmt::format("{} launches before this book", *f.launches_before), width);
    return out;
  }
  template <class Other>
  std::string operator()(const Other&) const {
    return {};
  }
};

int run_show(World& world, const BookArguments& arguments) {
  auto session = open_session(world);
  auto store = world.ports.book.to_read();
  if (!store) return report(world, store.error());
  const auto book = read_book(**store);
  if (!book) return report(world, book.error());
  const auto named = find_entry(*book, arguments.word);
  if (!named) return report(world, named.error());
  const auto& e = **named;
  const auto shown = show_entry(**store, e.entry->hash.text());
  if (!shown) return report(world, shown.error());
  const int code = shown->fault.empty() ? kDone : kFailed;
  if (world.shared.json) {
    print(answer_text(shown_entry_json(e, *shown)));
    return code;
  }
  // A book that does not fold still shows its entries; names of parts are then missing.
  const Session plain;
  const auto& shown_in = session ? *session : plain;
  const auto width = world.shared.width;
  const auto& header = e.entry->header;
  const auto clock = [&](UtcTime t) { return local_text(t, world.ports.clock, shown_in.zone); };
  const bool in_force = std::any_of(e.corrected.begin(), e.corrected.end(), [](const Correcting& c) { return c.holds; });
  print(wrapped(strong(fmt::format("Entry {}", e.number)) + ": " + harmless(entry_said(e, *book, shown_in)) + corrected_note(e),
                width, 2, 0));
  if (!shown->fault.empty()) print(labelled("Fault", shown->fault, width));
  print(labelled("Happened", clock(e.at) + (e.at != header.at ? ", first given as " + clock(header.at) : ""), width));
  print(labelled("Written", clock(header.written), width));
  const auto* plain_facts = std::get_if<PlainFacts>(&e.entry->facts);
  if (const auto* facts = e.facts != nullptr ? e.facts : plain_facts; facts != nullptr)
    print(std::visit(MoreRows{shown_in, world}, *facts));
  if (in_force && plain_facts != nullptr) print(labelled("At first", facts_sentence(*plain_facts, shown_in), width));
  if (const auto* amended = std::get_if<Amended>(&e.entry->facts)) {
    if (!std::holds_alternative<UnknownFacts>(amended->facts))
      print(labelled("To", facts_sentence(amended->facts, shown_in), width));
    if (amended->at) print(labelled("To", clock(*amended->at), width));
  }
  for (const auto& c : e.corrected)
    print(labelled(c.voids ? "Voided" : "Amended",
                   fmt::format("by entry {} on {}{}{}", c.number, clock(c.written),
                               c.reason.empty() ? "" : ": \"" + c.reason + "\"", c.holds ? "" : " (not in force)"),
                   width));
  if (e.entry->private_missing) print(labelled("Left out", "its private part is not in this copy", width));
  print(labelled("Id", header.id.text(), width));
  print(wrapped("headroom --json book show gives it as it is stored.", width, 2));
  return code;
}

int run_history(World& world, const BookArguments& arguments) {
  auto session = open_session(world, true);
  if (!session) return report(world, session.error());
  const auto id = Subjects(session->state).part(arguments.part);
  if (!id) return report(world, id.error());
  const auto& part = *session->state.part(*id);
  auto store = world.ports.book.to_read();
  if (!store) return report(world, store.error());
  const auto book = read_book(**store);
  if (!book) return report(world, book.error());
  std::vector<const BookEntry*> rows;
  for (const auto& e : book->entries)
    if (e.unreadable.empty() && speaks_of_part(e, part, session->state)) rows.push_back(&e);
  std::stable_sort(rows.begin(), rows.end(), [](const BookEntry* a, const BookEntry* b) { return a->at < b->at; });
  const auto flown = flights_with(part, session->state);
  const auto running = amount(part.life.running), air = amount(part.life.air), handling = amount(part.life.ground_handling),
             launches = amount(part.life.launches);
  if (world.shared.json) {
    auto entries = AnswerJson::array();
    for (const auto* e : rows) entries.push_back(entry_row_json(*e, *book, *session));
    print(answer_text({{"part", part.id.text()},
                       {"role", part.role},
                       {"name", part.name},
                       {"fitted", part.is_fitted()},
                       {"made", part.made ? AnswerJson(rfc3339(*part.made)) : AnswerJson(nullptr)},
                       {"running_s", amount_json(running)},
                       {"air_s", amount_json(air)},
                       {"ground_handling_s", amount_json(handling)},
                       {"launches", amount_json(launches)},
                       {"flights", flown.flights},
                       {"flights_air_time_s", finite_number(in_seconds(flown.air_time))},
                       {"entries", entries}}));
    return kDone;
  }
  const auto width = world.shared.width;
  const auto& u = session->units;
  std::string title = part.role;
  title[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(title[0])));
  print(wrapped(strong(title) + (part.name.empty() ? "" : " \"" + harmless(part.name) + "\"") +
                    (part.assumed ? ", assumed" : "") + (part.made ? ", made " + rfc3339(*part.made).substr(0, 10) : "") +
                    (part.is_fitted() ? ". Fitted." : ". Not fitted."),
                width, 2, 0));
  std::string life;
  const auto add = [&](const Amount& a, const char* what) {
    if (a.known()) life += (life.empty() ? "" : ", ") + say_amount(a, u, false) + what;
  };
  add(running, " running");
  add(air, " in the air");
  add(handling, " of ground handling");
  add(launches, " launches");
  print(labelled("Life", life.empty() ? "not known: what it went through before this book was not entered" : life, width));
  std::string flights = "no flight in this book";
  if (flown.flights > 0) {
    const auto first = local_text(*flown.first, world.ports.clock, session->zone, false),
               last = local_text(*flown.last, world.ports.clock, session->zone, false);
    flights = fmt::format("{} in this book, {} in the air, {}",
                          flown.flights == 1 ? "1 flight" : fmt::format("{} flights", flown.flights),
                          say_duration(flown.air_time), first == last ? "on " + first : first + " to " + last);
  }
  print(labelled("Flights", flights, width));
  for (const auto& line : due(session->state, world.ports.clock.now(), use_rate(session->state, world.ports.clock.now()))) {
    if (line.part != part.id || line.state == MarginState::unknown) continue;
    print(labelled("Due",
                   line.line.title + (line.date.known() ? ", about " + say_amount(line.date, u, false) : "") + ": " +
                       std::string(state_word(line.state)) + (line.assumed ? ", assumed" : ""),
                   width));
  }
  print("\n");
  for (const auto* e : rows) print(entry_row(*e, *book, *session, world));
  return kDone;
}

int run_verify(World& world, const BookArguments&) {
  auto store = world.ports.book.to_read();
  if (!store) return report(world, store.error());
  const auto answer = verify_book(**store, world.ports.progress);
  if (!answer) return report(world, answer.error());
  const auto& chain = answer->chain;
  if (world.shared.json) {
    print(answer_text(verified_json(*answer)));
    return answer->sound() ? kDone : kFailed;
  }
  const auto width = world.shared.width;
  print(wrapped(fmt::format("{} entries and {} recordings or photos read.", chain.entries, answer->blobs), width));
  for (const auto& f : chain.faults) print(wrapped("Fault: " + (f.entry.empty() ? "" : f.entry + ": ") + f.what, width, 2, 0));
  for (const auto& l : chain.left_out)
    print(wrapped("Left out: the " + l.part + (l.part == "private" ? " part of " : " of ") + l.entry, width, 2, 0));
  for (const auto& l : answer->blobs_left_out)
    print(wrapped("Left out: the " + l.part + (l.part == "private" ? " part of " : " of ") + l.entry, width, 2, 0));
  if (answer->sound())
    print("Every byte stands as it was written.\n");
  else
    print(wrapped("The book does not verify. Keep this file as it is, and take the entries named from a copy with 'book import'.",
                  width));
  return answer->sound() ? kDone : kFailed;
}

int run_export(World& world, const BookArguments& arguments) {
  auto store = world.ports.book.to_read();
  if (!store) return report(world, store.error());
  const auto answer =
      export_book({arguments.folder, !arguments.without_private}, **store, world.ports.files, world.ports.progress);
  if (!answer) return report(world, answer.error());
  if (world.shared.json) {
    print(
        answer_text({{"entries_file", answer->entries_file}, {"entries", answer->entries}, {"recordings", answer->recordings}}));
    return kDone;
  }
  print(wrapped(fmt::format("{} entries in {}, {} recordings or photos beside it.", answer->entries, answer->entries_file,
                            answer->recordings),
                world.shared.width));
  if (arguments.without_private)
    print(wrapped(
        "Private parts (names, places, free text, money) and recordings are left out; what is left out can be seen and proven.",
        world.shared.width));
  return kDone;
}

int run_import(World& world, const BookArguments& arguments) {
  auto store = world.ports.book.to_write();
  if (!store) return report(world, store.error());
  const auto answer = import_book({arguments.folder}, **store, world.ports.files, world.ports.progress);
  if (!answer) return report(world, answer.error());
  if (world.shared.json) {
    print(answer_text({{"files", answer->files},
                       {"entries", answer->entries},
                       {"entries_new", answer->entries_new},
                       {"recordings", answer->recordings},
                       {"recordings_new", answer->recordings_new},
                       {"recordings_missing", answer->recordings_missing},
                       {"parts_left_out", answer->parts_left_out}}));
    return kDone;
  }
  const auto width = world.shared.width;
  print(wrapped(fmt::format("{} entries read, {} of them new; {} recordings or photos, {} of them new.", answer->entries,
                            answer->entries_new, answer->recordings, answer->recordings_new),
                width));
  if (answer->recordings_missing > 0)
    print(wrapped(fmt::format("{} recordings that entries name are in neither place.", answer->recordings_missing), width));
  if (answer->parts_left_out > 0)
    print(wrapped(fmt::format("{} parts were left out of this export.", answer->parts_left_out), width));
  return kDone;
}

}  // namespace

void add_book(CommandTree& tree) {
  auto* book = tree.root.add_subcommand("book", "What stands in the book: list, show, history, and verify, export, import");
  book->require_subcommand(1);
  const CLI::Validator at_least_one{[](std::string& given) {
                                      const bool number = !given.empty() && given.size() < 10 &&
                                                          given.find_first_not_of("0123456789") == std::string::npos &&
                                                          given.find_first_not_of('0') != std::string::npos;
                                      return number ? std::string() : "'" + given + "' is no number of entries";
                                    },
                                    ""};
  const auto declare = [&tree, book](const char* name, const char* what, const char* footer,
                                     int (*run)(World&, const BookArguments&),
                                     const std::function<void(CLI::App&, BookArguments&)>& options) {
    auto* command = book->add_subcommand(name, what);
    auto arguments = std::make_shared<BookArguments>();
    options(*command, *arguments);
    command->footer(footer);
    command->callback(
        [&tree, arguments, run] { tree.action = [arguments, run](World& world) { return run(world, *arguments); }; });
  };
  declare("list", "The entries, numbered in order of arrival",
          "Examples:\n"
          "  headroom book list --kind finding\n"
          "  headroom book list --part reserve --all\n"
          "  headroom book list --from 2026-05-01 --to 2026-05-31 --search spring\n"
          "The number before an entry names it to book show, enter amend and enter void.",
          run_list, [&](CLI::App& c, BookArguments& a) {
            c.add_option("--kind", a.kind, "Only this kind: a word of headroom enter, or recording, setting, amended, voided")
                ->type_name("KIND=" + kind_words());
            c.add_option("--part", a.part, "Only what speaks of this part: its role, name, or the beginning of its id")
                ->type_name("PART");
            c.add_option("--from", a.from, "Only what happened on this day or later")->type_name("DATE");
            c.add_option("--to", a.to, "Only what happened on this day or before")->type_name("DATE");
            c.add_option("--search", a.search, "Only what has these letters in its text, capital or small")->type_name("TEXT");
            c.add_option("--last", a.last, "How many of the latest (default 20)")->type_name("NUMBER")->check(at_least_one);
            c.add_flag("--all", a.all, "Every one");
          });
  declare("show", "One entry in full, with its corrections",
          "Examples:\n"
          "  headroom book show 17\n"
          "  headroom --json book show 17\n"
          "With --json it is given as it is stored, byte for byte what was signed into the chain.",
          run_show, [](CLI::App& c, BookArguments& a) {
            c.add_option("entry", a.word, "Its number in book list, or the beginning of its id or hash")->required();
          });
  declare("history", "Everything about one part: its life, flights, services, findings",
          "Examples:\n"
          "  headroom book history engine\n"
          "  headroom book history \"the big one\"",
          run_history, [](CLI::App& c, BookArguments& a) {
            c.add_option("part", a.part, "Its role (engine, wing, reserve, ...), its name, or the beginning of its id")
                ->type_name("PART=engine|drive|propeller|frame|harness|wing|reserve")
                ->required();
          });
  declare("verify", "Check every byte against the chain",
          "Examples:\n"
          "  headroom book verify",
          run_verify, [](CLI::App&, BookArguments&) {});
  declare("export", "Write the book as a folder of plain text and recordings",
          "Examples:\n"
          "  headroom book export backup\n"
          "  headroom book export for-a-friend --without-private",
          run_export, [](CLI::App& c, BookArguments& a) {
            c.add_option("folder", a.folder, "The folder")->type_name("FOLDER")->required();
            c.add_flag("--without-private", a.without_private, "Leave out names, places, free text, money and recordings");
          });
  declare("import", "Take an exported folder in: the union of both",
          "Examples:\n"
          "  headroom book import backup",
          run_import,
          [](CLI::App& c, BookArguments& a) { c.add_option("folder", a.folder, "The folder")->type_name("FOLDER")->required(); });
  book->footer(
      "Examples:\n"
      "  headroom book list --kind finding\n"
      "  headroom book show 17\n"
      "  headroom book history engine\n"
      "  headroom book verify\n"
      "  headroom book export backup\n"
      "headroom enter amend and headroom enter void put a wrong entry right; nothing is ever deleted.");
}

}  // namespace headroom
