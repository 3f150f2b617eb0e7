#pragma once
// One page of help as a value, read off the command tree. The help on the terminal, the manual pages and the completions
// are all written from it, so that they cannot say different things.
#include <CLI/CLI.hpp>
#include <string>
#include <vector>

namespace headroom {

struct PageArgument {
  std::string name;                  // "COLOUR", "--wet"
  std::string value;                 // what stands behind an option: "WHEN", "lean|right|rich"; empty for a flag
  std::string text;                  // a sentence without a full stop
  std::vector<std::string> choices;  // the words it takes, when they are few and fixed
  bool positional = false, required = false, repeats = false;
};

struct Page {
  std::vector<std::string> path;  // {"headroom", "enter", "plug"}
  std::string text;               // what the command is for, in one sentence without a full stop
  std::vector<PageArgument> arguments;
  std::vector<Page> commands;
  bool needs_command = false;  // one of `commands` must follow
  std::vector<std::string> examples;
  std::vector<std::string> remarks;  // whole sentences below the examples

  [[nodiscard]] std::string name() const;                // "headroom enter plug"
  [[nodiscard]] std::vector<std::string> usage() const;  // {"headroom enter plug", "COLOUR", "[--wet]", ...}
  [[nodiscard]] std::vector<const PageArgument*> listed(bool positional) const;
};

// Hidden commands and options (those in the group "") are left out. A footer's indented lines are examples, its other lines
// remarks. A type name with '|' in it lists the words that an argument takes, behind "NAME=" where they are too many to show.
[[nodiscard]] Page page_of(const CLI::App& command);

// With a small first letter, unless the first word is all in capitals.
[[nodiscard]] std::string lower_first(std::string text);

// The page as text for a terminal of `width` columns.
[[nodiscard]] std::string help_text(const Page& page, std::size_t width);

// Hands the page of any command to CLI11 as its help.
class HelpFormatter final : public CLI::FormatterBase {
 public:
  explicit HelpFormatter(std::size_t width) : width_(width) {}
  [[nodiscard]] std::string make_help(const CLI::App* command, std::string name, CLI::AppFormatMode mode) const override;

 private:
  std::size_t width_;
};

}  // namespace headroom
