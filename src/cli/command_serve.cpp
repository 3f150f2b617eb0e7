// headroom serve: the page, for a browser on this machine or, once paired, for a phone beside it.
#include <fmt/format.h>

#include <memory>

#include "app/serve.h"
#include "cli/command.h"
#include "cli/text.h"
#include "formats/answer_json.h"

namespace headroom {

namespace {

int run_serve(World& world, const ServeRequest& request) {
  const auto served = world.serve(request, [&](const ServeReady& ready) {
    if (world.shared.json) {
      AnswerJson out = {{"address", ready.address}};
      if (request.share) {
        out["shared_address"] = ready.shared_address;
        out["code"] = ready.code;
      }
      print(answer_text(out));
    } else {
      // The address first, on a line of its own, for who starts it from a script.
      print(ready.address + "\n");
      if (request.share) {
        print(wrapped("For a phone on the same network, with the code " + ready.code +
                          " (good once, for ten minutes; the page shows a new one in Book):",
                      world.shared.width));
        print("  " + ready.shared_address + "\n\n" + ready.qr_blocks + "\n");
        print(wrapped("What goes over the network is not encrypted: use it on a network of your own.", world.shared.width));
      }
      print(wrapped("Open it in a browser. Ctrl+C ends it.", world.shared.width));
    }
    std::fflush(stdout);
  });
  if (!served) return report(world, served.error());
  return kDone;
}

}  // namespace

void add_serve(CommandTree& tree) {
  auto* command = tree.root.add_subcommand("serve", "Open the page: all of this in a browser, without the internet");
  auto request = std::make_shared<ServeRequest>();
  command->add_option("--port", request->port, "Where it listens; 0 picks a free one (default: 8093)")
      ->type_name("N")
      ->check(CLI::Range(0, 65535));
  command->add_flag("--share", request->share, "Also for a phone on the same network, paired with a code");
  command->add_option("--map", request->map, "Your own map, a PMTiles file")->type_name("FILE");
  command->footer(
      "Examples:\n"
      "  headroom serve\n"
      "  headroom serve --share --port 0\n"
      "It answers this machine alone unless --share is given. It needs no internet and asks nothing of it.");
  command->callback([&tree, request] { tree.action = [request](World& world) { return run_serve(world, *request); }; });
}

}  // namespace headroom
