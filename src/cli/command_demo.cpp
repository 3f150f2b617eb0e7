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
      flights.push_back({{"flight", f.number}, {"file", f.path}, {"launch", rfc3339(f.launch)}, {"landing", rfc3339(f.landing)}});
    print(answer_text({{"simulated", true},
                       {"book", answer->book},
                       {"recordings", answer->folder},
                       {"truth", answer->truth},
                       {"files", answer->recordings.size()},
                       {"flown", answer->flown},
                       {"rides", answer->rides},
                       {"recorded_twice", answer->recorded_twice},
                       {"left_on", answer->left_on},
                       {"begun_in_air", answer->begun_in_air},
                       {"to_debrief", answer->left},
                       {"flights", flights}}));
    return kDone;
  }
  const auto width = world.shared.width;
  print(wrapped(kDemoSentence, width));
  print(wrapped(
      fmt::format("{} flights in {} recordings. Among the files are {} rides by car, {} flight recorded twice, {} left on "
                  "over a second flight or the drive home, and {} switched on in the air.",
                  answer->flown, answer->recordings.size(), answer->rides, answer->recorded_twice, answer->left_on,
                  answer->begun_in_air),
      width));
  print(fmt::format("\nRecordings: {}\nBook:       {}\nTruth:      {}\n\n", answer->folder, answer->book, answer->truth));
  print(wrapped("The last flight is not in the book yet. As after a flight, then as before the next:", width));
  for (const auto& command : {"debrief " + answer->left, std::string("brief"), std::string("due")})
    print(wrapped("headroom --book " + answer->book + " " + command, width, 6, 2));
  return kDone;
}

}  // namespace

void add_demo(CommandTree& tree) {
  auto* command = tree.root.add_subcommand("demo", "Make an invented season to look around in (simulated, and marked so)");
  auto arguments = std::make_shared<DemoArguments>();
  command->add_option("folder", arguments->folder, "Where: a folder that has no book yet")->type_name("FOLDER")->required();
  command->add_option("--end", arguments->end, "The day the season ends before (default: today)")->type_name("DATE");
  command->footer(
      "Examples:\n"
      "  headroom demo season\n"
      "  headroom --book season/book.db brief");
  command->callback([&tree, arguments] { tree.action = [arguments](World& world) { return run_demo(world, *arguments); }; });
}

}  // namespace headroom
