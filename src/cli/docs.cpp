// headroom docs FOLDER: not for owners and not in --help. A test holds the committed files to what it writes.
#include "cli/docs.h"

#include "cli/completions.h"
#include "cli/man.h"

namespace headroom {

namespace {

int run_docs(World& world, const CLI::App& program, const std::string& folder) {
  const auto root = page_of(program);
  std::vector<std::pair<std::string, std::string>> files{{"docs/man/headroom.1", manual_of_program(root)},
                                                         {"completions/headroom.bash", bash_completion(root)},
                                                         {"completions/_headroom", zsh_completion(root)}};
  for (const auto& command : root.commands)
    files.emplace_back("docs/man/headroom-" + command.path.back() + ".1", manual_of_command(root, command));
  for (const char* inside : {"", "/docs", "/docs/man", "/completions"})
    if (const auto made = world.ports.files.make_folder(folder + inside); !made) return report(world, made.error());
  for (const auto& [name, text] : files)
    if (const auto done = world.ports.files.write(folder + "/" + name, text); !done) return report(world, done.error());
  return kDone;
}

}  // namespace

void add_docs(CommandTree& tree) {
  auto* command = tree.root.add_subcommand("docs", "Write the manual pages and completions")->group("");
  auto folder = std::make_shared<std::string>();
  command->add_option("folder", *folder, "Where: the top of the source tree")->type_name("FOLDER")->required();
  command->callback(
      [&tree, folder] { tree.action = [&tree, folder](World& world) { return run_docs(world, tree.root, *folder); }; });
}

}  // namespace headroom
