// headroom: reads the arguments, hands the one named command its world, and gives its exit code. The only file that names
// concrete adapters; each is made when a command first asks for it.
#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <chrono>
#include <csignal>
#include <memory>

#include "adapters/sqlite/store.h"
#include "adapters/system/cache.h"
#include "adapters/system/clock.h"
#include "adapters/system/files.h"
#include "adapters/system/places.h"
#include "adapters/system/random.h"
#include "cli/command.h"
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
    std::fprintf(stderr, "\r\033[K%llu of %llu: %.*s", static_cast<unsigned long long>(done), static_cast<unsigned long long>(of),
                 static_cast<int>(std::min<std::size_t>(what.size(), 60)), what.data());
  }
  [[nodiscard]] bool stop_requested() const override { return stop_signal != 0; }
  ~TerminalProgress() override {
    if (shown_) std::fputs("\r\033[K", stderr);
  }

 private:
  std::chrono::steady_clock::time_point begun_ = std::chrono::steady_clock::now(), said_{};
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

std::size_t terminal_width() {
  winsize size{};
  if (isatty(STDOUT_FILENO) != 0 && ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0)
    return std::clamp<std::size_t>(size.ws_col, 38, 80);
  return 80;
}

int run(int argc, char** argv) {
  CommandTree tree;
  tree.root.add_option("--book", tree.shared.book, "The book (default: headroom/book.db in your data folder)");
  tree.root.add_option("--units", tree.shared.units, "Units for this call: us, uk, metric, or e.g. temperature=F,speed=kt");
  tree.root.add_option("--zone", tree.shared.zone, "Time zone for this call, by its IANA name");
  tree.root.add_flag("--json", tree.shared.json, "Answer as JSON, in SI and UTC");
  tree.root.set_version_flag("--version", std::string("headroom ") + kVersion);
  tree.root.fallthrough();
  add_debrief(tree);
  add_brief(tree);
  add_enter(tree);
  add_due(tree);
  add_book(tree);
  add_units(tree);
  add_demo(tree);
  tree.root.require_subcommand(1);
  tree.root.footer("After a flight: headroom debrief FILE. Before the next: headroom brief. By hand: headroom enter --help.");
  try {
    tree.root.parse(argc, argv);
  } catch (const CLI::RequiredError& e) {
    const auto left = tree.root.remaining(true);
    if (left.empty()) return tree.root.exit(e) == 0 ? kDone : kWrongCall;
    std::string commands;
    for (const auto* c : tree.root.get_subcommands({})) commands += (commands.empty() ? "" : ", ") + c->get_name();
    const auto text = "headroom: '" + left.front() + "' is no command; there are " + commands + ". Run headroom --help for more.";
    std::fputs(wrapped(harmless(text), terminal_width(), 2, 0).c_str(), stderr);
    return kWrongCall;
  } catch (const CLI::ParseError& e) {
    return tree.root.exit(e) == 0 ? kDone : kWrongCall;
  }
  tree.shared.width = terminal_width();

  SystemBook book(tree.shared.book);
  FolderCache cache(cache_folder());
  SystemClock clock;
  SystemRandom random;
  SystemFiles files;
  TerminalProgress progress;
  World world{{book, cache, clock, random, files, progress}, tree.shared, [](const std::string& place) {
                return std::make_unique<SystemBook>(place);
              }};
  std::signal(SIGINT, [](int) { stop_signal = 1; });
  std::signal(SIGTERM, [](int) { stop_signal = 1; });
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
  try {
    return headroom::run(argc, argv);
  } catch (const std::bad_alloc&) {
    std::fputs("headroom: out of memory; nothing was written\n", stderr);
  } catch (const std::exception& e) {
    std::fprintf(stderr, "headroom: a mistake of ours: %s\n", e.what());
  }
  return headroom::kFailed;
}
