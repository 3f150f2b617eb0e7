// headroom book ...: what stands in the book, and whether it still stands as it was written.
#include <fmt/format.h>

#include <deque>
#include <memory>

#include "app/book_export.h"
#include "app/book_import.h"
#include "app/book_list.h"
#include "app/book_verify.h"
#include "cli/command.h"
#include "cli/display.h"
#include "cli/text.h"
#include "formats/answer_json.h"

namespace headroom {

namespace {

struct BookArguments {
  std::string folder, word, kind;
  std::size_t last = 20;
  bool all = false, without_private = false;
};

std::string summary_text(const ListedEntry& listed, const std::string& unreadable, const Session& session) {
  if (!unreadable.empty()) return "cannot be read: " + unreadable;
  if (const auto* amended = std::get_if<Amended>(&listed.entry.facts))
    return fmt::format("amends {}: {}", amended->entry.text(), amended->private_reason);
  return facts_sentence(std::get<PlainFacts>(listed.entry.facts), session);
}

int run_list(World& world, const BookArguments& arguments) {
  auto session = open_session(world, true);
  if (!session) return report(world, session.error());
  auto store = world.ports.book.to_read();
  if (!store) return report(world, store.error());
  std::deque<std::pair<ListedEntry, std::string>> rows;
  std::uint64_t matching = 0;
  const auto listed = list_entries(**store, 0, [&](const ListedEntry& entry, const std::string& unreadable) {
    if (!arguments.kind.empty() && entry.entry.header.kind_text != arguments.kind) return true;
    ++matching;
    rows.emplace_back(entry, unreadable);
    if (!arguments.all && rows.size() > arguments.last) rows.pop_front();
    return true;
  });
  if (!listed) return report(world, listed.error());
  if (world.shared.json) {
    auto out = AnswerJson::array();
    for (const auto& [row, unreadable] : rows) {
      AnswerJson one = {{"place", row.place},
                        {"id", row.entry.header.id.text()},
                        {"at", rfc3339(row.entry.header.at)},
                        {"written", rfc3339(row.entry.header.written)},
                        {"kind", row.entry.header.kind_text},
                        {"text", summary_text({row.place, row.entry}, unreadable, *session)},
                        {"private_left_out", row.entry.private_missing}};
      if (!unreadable.empty()) one["unreadable"] = unreadable;
      out.push_back(one);
    }
    print(answer_text({{"entries", out}, {"matching", matching}}));
    return kDone;
  }
  if (rows.empty()) {
    print(matching == 0 && arguments.kind.empty() ? "The book is empty. headroom debrief FILE begins it.\n"
                                                  : "No entry of that kind.\n");
    return kDone;
  }
  if (matching > rows.size()) print(fmt::format("The last {} of {} entries; --all shows every one.\n", rows.size(), matching));
  for (const auto& [row, unreadable] : rows)
    print(wrapped(fmt::format("{}  {}  {}", local_text(row.entry.header.at, world.ports.clock, session->zone),
                              row.entry.header.id.text(), summary_text(row, unreadable, *session)),
                  world.shared.width, 4, 0));
  return kDone;
}

int run_show(World& world, const BookArguments& arguments) {
  auto store = world.ports.book.to_read();
  if (!store) return report(world, store.error());
  const auto shown = show_entry(**store, arguments.word);
  if (!shown) return report(world, shown.error());
  const auto part = [](const std::optional<std::string>& bytes) -> AnswerJson {
    if (!bytes) return nullptr;
    auto parsed = AnswerJson::parse(*bytes, nullptr, false);
    return parsed.is_discarded() ? AnswerJson(*bytes) : parsed;
  };
  AnswerJson out = {{"place", shown->place},
                    {"hash", shown->bytes.hash.text()},
                    {"header", part(shown->bytes.header)},
                    {"facts", part(shown->bytes.facts)},
                    {"private", part(shown->bytes.private_part)}};
  auto corrected = AnswerJson::array();
  for (const auto& id : shown->corrected_by) corrected.push_back(id.text());
  out["corrected_by"] = corrected;
  if (!shown->fault.empty()) out["fault"] = shown->fault;
  print(answer_text(out));
  return shown->fault.empty() ? kDone : kFailed;
}

int run_verify(World& world, const BookArguments&) {
  auto store = world.ports.book.to_read();
  if (!store) return report(world, store.error());
  const auto answer = verify_book(**store, world.ports.progress);
  if (!answer) return report(world, answer.error());
  const auto& chain = answer->chain;
  if (world.shared.json) {
    auto faults = AnswerJson::array();
    for (const auto& f : chain.faults) faults.push_back({{"entry", f.entry}, {"what", f.what}});
    auto left_out = AnswerJson::array();
    for (const auto& l : chain.left_out) left_out.push_back({{"entry", l.entry}, {"part", l.part}});
    for (const auto& l : answer->blobs_left_out) left_out.push_back({{"entry", l.entry}, {"part", l.part}});
    print(answer_text({{"sound", answer->sound()},
                       {"entries", chain.entries},
                       {"recordings", answer->blobs},
                       {"recording_bytes", answer->blob_bytes},
                       {"faults", faults},
                       {"left_out", left_out}}));
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
  auto* book = tree.root.add_subcommand("book", "What stands in the book: list, show, verify, export, import");
  book->require_subcommand(1);
  const auto declare = [&tree, book](const char* name, const char* what, int (*run)(World&, const BookArguments&),
                                     const std::function<void(CLI::App&, BookArguments&)>& options) {
    auto* command = book->add_subcommand(name, what);
    auto arguments = std::make_shared<BookArguments>();
    options(*command, *arguments);
    command->callback(
        [&tree, arguments, run] { tree.action = [arguments, run](World& world) { return run(world, *arguments); }; });
  };
  declare("list", "The entries in order of arrival", run_list, [](CLI::App& c, BookArguments& a) {
    c.add_option("--last", a.last, "How many of the latest (default 20)")->check(CLI::PositiveNumber);
    c.add_flag("--all", a.all, "Every one");
    c.add_option("--kind", a.kind, "Only this kind, e.g. flight, fuel_left, finding");
  });
  declare("show", "One entry in full, as it is stored", run_show,
          [](CLI::App& c, BookArguments& a) { c.add_option("entry", a.word, "The beginning of its id")->required(); });
  declare("verify", "Check every byte against the chain", run_verify, [](CLI::App&, BookArguments&) {});
  declare("export", "Write the book as a folder of plain text and recordings", run_export, [](CLI::App& c, BookArguments& a) {
    c.add_option("folder", a.folder, "The folder")->required();
    c.add_flag("--without-private", a.without_private, "Leave out names, places, free text, money and recordings");
  });
  declare("import", "Take an exported folder in: the union of both", run_import,
          [](CLI::App& c, BookArguments& a) { c.add_option("folder", a.folder, "The folder")->required(); });
  book->footer(
      "Examples:\n"
      "  headroom book list --kind finding\n"
      "  headroom book verify\n"
      "  headroom book export backup");
}

}  // namespace headroom
