#pragma once
// The command tree: one add_* per command file declares the arguments (and opens nothing) and leaves behind what to run.
#include <CLI/CLI.hpp>
#include <cstdio>
#include <functional>
#include <memory>
#include <optional>
#include <string>

#include "app/access.h"
#include "app/said_time.h"
#include "app/serve.h"
#include "core/unit_choice.h"

namespace headroom {

// Options that stand before the verb and hold for every command.
struct SharedOptions {
  std::string book;   // --book FILE; empty: the default place
  std::string units;  // --units LIST: for this call only
  std::string zone;   // --zone NAME: for this call only
  bool json = false;
  std::size_t width = 80;
};

// What a command may touch when it runs.
struct World {
  Ports ports;
  const SharedOptions& shared;
  Paper& paper;
  std::function<std::unique_ptr<BookAccess>(const std::string&)> book_at;  // another book than the one at hand
  Serve serve;                                                             // the page, until the process is told to stop
};

using Action = std::function<int(World&)>;

struct CommandTree {
  CLI::App root{"What is left before each limit of one paramotor, its pilot and the day.", "headroom"};
  SharedOptions shared;
  Action action;  // set by the command that the arguments name
};

void add_debrief(CommandTree& tree);
void add_brief(CommandTree& tree);
void add_enter(CommandTree& tree);
void add_due(CommandTree& tree);
void add_book(CommandTree& tree);
void add_calc(CommandTree& tree);
void add_units(CommandTree& tree);
void add_demo(CommandTree& tree);
void add_field(CommandTree& tree);
void add_serve(CommandTree& tree);

// Exit codes: 0 done, 1 the tool failed or the book is damaged, newer or locked, 2 the input or the call is wrong, 3 done
// and some margin is short.
inline constexpr int kDone = 0, kFailed = 1, kWrongCall = 2, kShort = 3;
[[nodiscard]] int exit_code(ErrorKind kind);

// Says the error on standard error (and as JSON on standard output under --json) and gives its exit code.
int report(const World& world, const Error& error);

void print(std::string_view text);  // to standard output, harmless to a terminal
// What wipes a line of progress off the terminal, called before anything is said there; set once, before the first command.
void set_wipe_progress(std::function<void()> wipe);
// Whether print() shows what is strong or underlined as such; set once, before the first command. Off until then.
void set_marks_shown(bool shown);

}  // namespace headroom
