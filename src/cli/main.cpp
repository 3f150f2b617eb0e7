// headroom: reads the arguments, hands the one named command its world, and gives its exit code. The only file that names
// concrete adapters; each is made when a command first asks for it.
#include <fmt/format.h>
#include <malloc.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <chrono>
#include <csignal>
#include <cstdlib>
#include <filesystem>
#include <memory>
#include <optional>

#ifdef HEADROOM_SERVES
#include "adapters/http/page_assets.h"
#include "adapters/http/serve.h"
#endif
#include "adapters/paper/flight_plot.h"
#include "adapters/sqlite/store.h"
#include "adapters/system/cache.h"
#include "adapters/system/clock.h"
#include "adapters/system/files.h"
#include "adapters/system/places.h"
#include "adapters/system/random.h"
#include "cli/book_state.h"
#include "cli/command.h"
#include "cli/docs.h"
#include "cli/page.h"
#include "cli/text.h"
#include "cli/version.h"

namespace headroom {

namespace {

volatile std::sig_atomic_t stop_signal = 0;

// Says where a long job is, on standard error of a terminal, from its second second on.
class TerminalProgress final : public Progress {
 public:
  void step(std::string_view what, std::uint64_t done, std::uint64_t of) override {
    if (isatty(STDERR_FILENO) == 0) return;
    const auto now = std::chrono::steady_clock::now();
    if (now - begun_ < std::chrono::seconds(1) || now - said_ < std::chrono::milliseconds(200)) return;
    said_ = now;
    shown_ = true;
    // One line of it: what wraps could not be wiped away again.
    auto line = fmt::format("{} of {}: {}", done, of, harmless(what));
    if (line.size() >= width_) line.resize(width_ - 1);
    std::fprintf(stderr, "\r\033[K%s", line.c_str());
  }
  explicit TerminalProgress(std::size_t width) : width_(width) {}
  [[nodiscard]] bool stop_requested() const override { return stop_signal != 0; }
  void wipe() {
    if (shown_) std::fputs("\r\033[K", stderr);
    shown_ = false;
  }
  ~TerminalProgress() override { wipe(); }

 private:
  std::chrono::steady_clock::time_point begun_ = std::chrono::steady_clock::now(), said_{};
  std::size_t width_;
  bool shown_ = false;
};

class SystemBook final : public BookAccess {
 public:
  explicit SystemBook(std::string named) : named_(std::move(named)) {}
  [[nodiscard]] Result<Store*> to_read() override { return store(); }
  [[nodiscard]] Result<Store*> to_write() override { return store(); }
  [[nodiscard]] Result<WriterId> writer() override { return writer_id(state_folder(), clock_, random_); }
  [[nodiscard]] std::string place() const override { return named_.empty() ? default_book_path() : named_; }

 private:
  Store* store() {
    if (!store_) store_ = std::make_unique<SqliteStore>(place());
    return store_.get();
  }
  std::string named_;
  std::unique_ptr<SqliteStore> store_;
  SystemClock clock_;
  SystemRandom random_;
};

// A reader's columns: what COLUMNS says (POSIX, environment variables), else the terminal's own, else 80. Nothing is laid out
// for fewer than 38.
std::size_t terminal_width() {
  constexpr std::size_t kLeast = 38, kMost = 80;
  if (const char* columns = std::getenv("COLUMNS"); columns != nullptr) {
    const int n = std::atoi(columns);
    if (n > 0) return std::clamp<std::size_t>(static_cast<std::size_t>(n), kLeast, kMost);
  }
  winsize size{};
  if (isatty(STDOUT_FILENO) != 0 && ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0)
    return std::clamp<std::size_t>(size.ws_col, kLeast, kMost);
  return kMost;
}

bool terminal_wants_marks() {
  const char* no_color = std::getenv("NO_COLOR");
  const char* term = std::getenv("TERM");
  return isatty(STDOUT_FILENO) != 0 && (no_color == nullptr || *no_color == '\0') && term != nullptr && *term != '\0' &&
         std::string_view(term) != "dumb";
}

std::string version_text() {
#if defined(__clang__)
  const std::string compiler = "clang " + std::string(__clang_version__);
#else
  const std::string compiler = "g++ " + std::string(__VERSION__);
#endif
  return std::string("headroom ") + kVersion + "\nBuild: " + HEADROOM_BUILD_TYPE + ", " +
         compiler.substr(0, compiler.find_last_not_of(' ') + 1) + ",\nSQLite " + sqlite_version() + "\n";
}

void declare_commands(CommandTree& tree, std::size_t width) {
  auto& root = tree.root;
  root.formatter(std::make_shared<HelpFormatter>(width));
  root.set_help_flag("-h,--help", "This text, or that of the command before it");
  root.add_option("--book", tree.shared.book, "The book (default: headroom/book.db in your data folder)")->type_name("FILE");
  root.add_option("--units", tree.shared.units, "Units for this call: us, uk, metric, or e.g. temperature=F,speed=kt")
      ->type_name("UNITS");
  root.add_option("--zone", tree.shared.zone, "Time zone for this call by its IANA name, e.g. Europe/Lisbon")->type_name("ZONE");
  root.add_flag("--json", tree.shared.json, "Answer as JSON for programs, in SI units and UTC");
  root.add_flag_callback(
      "--version", [] { throw CLI::CallForVersion(version_text(), 0); }, "The version, and how it was built");
  root.fallthrough();
  add_debrief(tree);
  add_brief(tree);
  add_enter(tree);
  add_due(tree);
  add_book(tree);
  add_calc(tree);
  add_units(tree);
  add_demo(tree);
  add_field(tree);
  add_serve(tree);
  add_docs(tree);
  root.require_subcommand(0, 1);
  root.footer(
      "Examples:\n"
      "  headroom\n"
      "  headroom debrief flight.igc\n"
      "  headroom brief\n"
      "  headroom enter left \"2.5 L\"\n"
      "Alone it says what state the book is in and what to enter next. After a flight: debrief. Before the next: brief. "
      "headroom COMMAND --help explains a command.");
}

// The innermost command that the arguments named.
const CLI::App& named_command(const CLI::App& root) {
  const auto* at = &root;
  while (!at->get_subcommands().empty()) at = at->get_subcommands().front();
  return *at;
}

// What is wrong with the call, in our words; what CLI11 says is kept where it is about a value.
std::string call_error(const CLI::App& root, const CLI::ParseError& error) {
  const auto& command = named_command(root);
  const auto page = page_of(command);
  const auto left = root.remaining(true);
  const std::string more = " Run " + page.name() + " --help for more.";
  // The message begins with the program's name already.
  const auto name = page.path.size() == 1 ? page.name() : page.name().substr(page.path.front().size() + 1);
  std::string commands;
  for (const auto& c : page.commands) commands += (commands.empty() ? "" : ", ") + c.path.back();
  const bool unknown_word = !left.empty() && !left.front().starts_with('-');
  if (!commands.empty() && unknown_word)
    return fmt::format("'{}' is no command{}; there are {}.{}", left.front(), &command == &root ? std::string() : " of " + name,
                       commands, more);
  if (dynamic_cast<const CLI::ExtrasError*>(&error) != nullptr && !left.empty())
    return fmt::format("'{}' is {} {}.{}", left.front(), left.front().starts_with('-') ? "no option of" : "one word too many for",
                       name, more);
  if (dynamic_cast<const CLI::RequiredError*>(&error) != nullptr) {
    std::string missing;
    for (const auto* a : page.listed(true)) {
      const auto* option = command.get_option_no_throw(a->name);
      for (const auto* o : command.get_options())
        if (o->get_positional() && CLI::detail::to_lower(o->get_name(true)) == CLI::detail::to_lower(a->name)) option = o;
      if (a->required && option != nullptr && option->count() == 0) missing += (missing.empty() ? "" : " and ") + a->name;
    }
    for (const auto* a : page.listed(false))
      if (a->required && command.get_option(a->name)->count() == 0)
        missing += (missing.empty() ? "" : " and ") + a->name + " " + a->value;
    if (!missing.empty()) return fmt::format("{} wants {}.{}", name, missing, more);
    if (!commands.empty()) return fmt::format("{} wants one of: {}.{}", name, commands, more);
  }
  return std::string(error.what()) + "." + more;
}

#ifdef HEADROOM_SERVES

// This program has the server in it.
Serve serving(const SharedOptions& shared, char**) {
  return [&shared](const ServeRequest& request, const std::function<void(const ServeReady&)>& ready) {
    http::SiteOptions options;
    options.version = kVersion;
    options.book = shared.book;
    options.season_folder = cache_folder() + "/season";
    options.upload_folder = cache_folder() + "/uploads-" + std::to_string(getpid());
    options.phones_file = state_folder() + "/phones";
    options.choice = {shared.zone, shared.units};
    options.assets = http::page_assets();
    options.make_ports = [](const std::string& place) {
      return http::OwnPorts{std::make_unique<SystemBook>(place), std::make_unique<FolderCache>(cache_folder()),
                            std::make_unique<SystemClock>(), std::make_unique<SystemRandom>(), std::make_unique<SystemFiles>()};
    };
    return http::serve(request, std::move(options), ready, [] { return stop_signal != 0; });
  };
}

#else

// The server stands in a program of its own beside this one, so that no other command pays for its libraries: this process
// becomes it.
Serve serving(const SharedOptions&, char** argv) {
  return [argv](const ServeRequest&, const std::function<void(const ServeReady&)>&) -> Result<void> {
    std::error_code wrong;
    const auto self = std::filesystem::read_symlink("/proc/self/exe", wrong);
    const auto other = self.parent_path() / "headroom-serve";
    if (!wrong) execv(other.c_str(), argv);
    return fail(ErrorKind::io, "the program that serves the page could not be started", other.string());
  };
}

#endif

int run(int argc, char** argv) {
  CommandTree tree;
  tree.shared.width = terminal_width();
  set_marks_shown(terminal_wants_marks());
  declare_commands(tree, tree.shared.width);
  tree.action = run_book_state;  // without a command
  std::optional<Error> wrong_call;
  try {
    tree.root.parse(argc, argv);
  } catch (const CLI::CallForHelp&) {
    print(help_text(page_of(named_command(tree.root)), tree.shared.width));
    return kDone;
  } catch (const CLI::CallForVersion& version) {
    print(version.what());
    return kDone;
  } catch (const CLI::ParseError& e) {
    for (int i = 1; i < argc; ++i) tree.shared.json = tree.shared.json || std::string_view(argv[i]) == "--json";
    wrong_call = Error{ErrorKind::bad_input, call_error(tree.root, e), {}};
  }

  SystemBook book(tree.shared.book);
  FolderCache cache(cache_folder());
  SystemClock clock;
  SystemRandom random;
  SystemFiles files;
  CairoPaper paper;
  TerminalProgress progress(tree.shared.width);
  set_wipe_progress([&progress] { progress.wipe(); });
  World world{{book, cache, clock, random, files, progress},
              tree.shared,
              paper,
              [](const std::string& place) { return std::make_unique<SystemBook>(place); },
              serving(tree.shared, argv)};
  if (wrong_call) return report(world, *wrong_call);
  const auto stop = [](int signal) {
    constexpr int kBySignal = 128;  // as a shell tells it
    // Asked twice it ends at once: the book is written in transactions.
    if (stop_signal != 0) _exit(kBySignal + signal);
    stop_signal = 1;
  };
  std::signal(SIGINT, stop);
  std::signal(SIGTERM, stop);
  // The terminal is gone; who started it to outlive that (nohup) has it ignored.
  if (std::signal(SIGHUP, stop) == SIG_IGN) std::signal(SIGHUP, SIG_IGN);
  const int code = tree.action(world);
  if (std::fflush(stdout) != 0 || std::ferror(stdout) != 0) {
    // A reader that went away (`| head`) has had enough; anything else is a loss.
    if (errno == EPIPE) return code;
    std::fputs("headroom: the answer could not be written whole; what was entered is in the book\n", stderr);
    return kFailed;
  }
  return code;
}

}  // namespace

}  // namespace headroom

int main(int argc, char** argv) {
  std::signal(SIGPIPE, SIG_IGN);
#if defined(__GLIBC__)
  // Buffers of one recording are used again for the next step instead of being given back and asked for anew.
  mallopt(M_MMAP_THRESHOLD, 4 << 20);
  mallopt(M_TRIM_THRESHOLD, 32 << 20);
  mallopt(M_TOP_PAD, 2 << 20);
#endif
  try {
    return headroom::run(argc, argv);
  } catch (const std::bad_alloc&) {
    std::fputs("headroom: out of memory; nothing was written\n", stderr);
  } catch (const std::exception& e) {
    std::fprintf(stderr, "headroom: a mistake of ours: %s\n", e.what());
  }
  return headroom::kFailed;
}
