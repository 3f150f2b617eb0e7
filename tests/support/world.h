#pragma once
// All the ports a use case is handed, as doubles.
#include "app/access.h"
#include "support/fake_clock.h"
#include "support/fake_random.h"
#include "support/memory_files.h"
#include "support/memory_store.h"
#include "support/quiet_progress.h"

namespace headroom {

class MemoryBook final : public BookAccess {
 public:
  Result<Store*> to_read() override { return &store; }
  Result<Store*> to_write() override { return &store; }
  Result<WriterId> writer() override { return id; }
  std::string place() const override { return "memory"; }
  MemoryStore store;
  WriterId id{};
};

class MemoryCache final : public Cache {
 public:
  std::optional<std::string> get(std::string_view key) override {
    const auto found = kept.find(std::string(key));
    return found == kept.end() ? std::nullopt : std::optional<std::string>(found->second);
  }
  void put(std::string_view key, std::string_view bytes) override { kept[std::string(key)] = bytes; }
  std::map<std::string, std::string> kept;
};

struct MemoryWorld {
  MemoryBook book;
  MemoryCache cache;
  FakeClock clock{utc(2026, 6, 20, 12), 0};
  FakeRandom random{11};
  MemoryFiles files;
  QuietProgress progress;
  Ports ports{book, cache, clock, random, files, progress};
  MemoryWorld() { random.fill(book.id.bytes); }
};

}  // namespace headroom
