// headroom demo DIR: an invented season to look around in.
#include <fmt/format.h>

#include <memory>

#include "app/demo.h"
#include "cli/command.h"
#include "cli/text.h"
#include "formats/answer_json.h"

namespace headroom {

namespace {

struct DemoArguments {
  std::string folder, end;
};

int run_demo(World& world, const DemoArguments& arguments) {
  if (!world.shared.book.empty())
    return report(world, {ErrorKind::bad_input, "demo makes a book of its own, DIR/book.db; leave --book out", "--book"});
  DemoRequest request;
  request.folder = arguments.folder;
  if (!arguments.end.empty()) {
    const auto end = parse_when(arguments.end, world.ports.clock, world.shared.zone);
    if (!end) return report(world, end.error());
    request.end = *end;
  }
  const auto book = world.book_at(arguments.folder + "/book.db");
  Ports ports{*book, world.ports.cache, world.ports.clock, world.ports.random, world.ports.files, world.ports.progress};
  const auto answer = make_demo(request, ports);
  if (!answer) return report(world, answer.error());
  if (world.shared.json) {
    auto flights = AnswerJson::array();
    for (const auto& f : answer->flights)
      flights.push_back({{"file", f.path}, {"launch", rfc3339(f.launch)}, {"landing", rfc3339(f.landing)}});
    print(answer_text({{"simulated", true},
                       {"book", answer->book},
                       {"recordings", answer->recordings},
                       {"truth", answer->truth},
                       {"flights", flights}}));
    return kDone;
  }
  const auto width = world.shared.width;
  print(wrapped(kDemoSentence, width));
  print(fmt::format("{} flights in {}\nBook:  {}\nTruth: {}\n", answer->flights.size(), answer->recordings, answer->book,
                    answer->truth));
  print(fmt::format("\nLook around:\n  headroom --book {0} brief\n  headroom --book {0} due\n", answer->book));
  return kDone;
}

}  // namespace

void add_demo(CommandTree& tree) {
  auto* command = tree.root.add_subcommand("demo", "Make an invented season to look around in (simulated, and marked so)");
  auto arguments = std::make_shared<DemoArguments>();
  command->add_option("folder", arguments->folder, "Where: a folder that has no book yet")->required();
  command->add_option("--end", arguments->end, "The day the season ends before (default: today)");
  command->footer(
      "Examples:\n"
      "  headroom demo season\n"
      "  headroom --book season/book.db brief");
  command->callback([&tree, arguments] { tree.action = [arguments](World& world) { return run_demo(world, *arguments); }; });
}

}  // namespace headroom
