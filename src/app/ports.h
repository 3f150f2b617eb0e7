#pragma once
// The outside world as app sees it. Each port has one real adapter and one double in tests/support.
#include <array>
#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/book/entry.h"
#include "core/result.h"
#include "core/time.h"

namespace headroom {

// The last entry of each writer's chain known to a book, sorted by writer.
struct Head {
  WriterId writer;
  std::uint64_t number = 0;
  Hash hash;
  auto operator<=>(const Head&) const = default;
};
using Heads = std::vector<Head>;

struct NamedBlob {
  Hash hash;
  std::string_view bytes;  // must outlive the call
};

// Entries and blobs handed over one at a time, so that a large book passes through a small memory. What is returned must
// hold until the next call. An error from here ends the append, and nothing is kept.
class Inflow {
 public:
  virtual ~Inflow() = default;
  [[nodiscard]] virtual Result<const EncodedEntry*> next_entry() = 0;  // null after the last
  [[nodiscard]] virtual Result<std::optional<NamedBlob>> next_blob() = 0;
};

// One book. Every call is atomic: it happens whole or not at all, and after an error the book is as it was. Each call sees
// the book as it is at that moment; who needs two calls to agree compares contents() before and after.
class Store {
 public:
  virtual ~Store() = default;
  // The writer's highest number; of a fork at the top, the smaller hash.
  [[nodiscard]] virtual Result<Heads> heads() = 0;
  // Appends entries (already chained and hashed) and blobs in one transaction. `expected` are the heads the caller
  // computed from; ErrorKind::conflict when the book has moved on. An entry already there (same hash) is skipped, save that
  // a part it lacked is filled in; a blob already there is skipped. The same writer and number with another hash is a fork:
  // both are kept. An entry whose hashes do not fit its bytes is refused as bad_input; blobs are taken at their word.
  [[nodiscard]] virtual Result<void> append_from(Inflow& inflow, const Heads& expected) = 0;
  [[nodiscard]] Result<void> append(std::span<const EncodedEntry> entries, std::span<const NamedBlob> blobs,
                                    const Heads& expected);
  // Calls `each` for every entry in order of arrival after the first `skip`; stops early when it returns false. The entry
  // holds until `each` returns. `each` must not call the store.
  [[nodiscard]] virtual Result<void> read(std::uint64_t skip, const std::function<bool(const EncodedEntry&)>& each) = 0;
  [[nodiscard]] virtual Result<std::uint64_t> entry_count() = 0;
  // A fingerprint of the set of entries and of which parts are there: equal sets give equal fingerprints whatever the order
  // of arrival. All zero for an empty book. Costs no scan. For cache keys, not for proof.
  [[nodiscard]] virtual Result<Hash> contents() = 0;
  [[nodiscard]] virtual Result<std::optional<std::string>> blob(const Hash& hash) = 0;
  [[nodiscard]] virtual Result<std::vector<Hash>> blob_hashes() = 0;  // sorted
  // What the store itself can say of its health, apart from the chain: one sentence a fault.
  [[nodiscard]] virtual Result<std::vector<std::string>> self_check() = 0;
};

// A deletable side file: analysis and the folded state, keyed by the hash of every input. Losing it costs time only.
class Cache {
 public:
  virtual ~Cache() = default;
  [[nodiscard]] virtual std::optional<std::string> get(std::string_view key) = 0;
  virtual void put(std::string_view key, std::string_view bytes) = 0;  // failure is silent: it is a cache
};

class Clock {
 public:
  virtual ~Clock() = default;
  [[nodiscard]] virtual UtcTime now() = 0;
  // Minutes east of UTC at `t` in the owner's zone (an IANA name; empty: the system's).
  [[nodiscard]] virtual Result<int> offset_minutes(UtcTime t, std::string_view zone) = 0;
};

class Random {
 public:
  virtual ~Random() = default;
  virtual void fill(std::span<std::uint8_t> bytes) = 0;
};

// A file being written; it stands at its path, whole, only after finish().
class FileWriter {
 public:
  virtual ~FileWriter() = default;  // without finish(): nothing is left behind
  [[nodiscard]] virtual Result<void> write(std::string_view bytes) = 0;
  [[nodiscard]] virtual Result<void> finish() = 0;
};

class LineReader {
 public:
  virtual ~LineReader() = default;
  // The next line without its end (LF or CR LF), valid until the next call; nothing after the last.
  [[nodiscard]] virtual Result<std::optional<std::string_view>> next() = 0;
};

class Files {
 public:
  virtual ~Files() = default;
  // The whole file into `into` (its capacity is reused). Refuses what is larger than `most` bytes.
  [[nodiscard]] virtual Result<void> read(const std::string& path, std::string& into, std::uint64_t most) = 0;
  // At most the first `most` bytes.
  [[nodiscard]] virtual Result<void> read_start(const std::string& path, std::string& into, std::uint64_t most) = 0;
  // The lines one by one through a bounded memory. A line of more than `most` bytes is bad_input.
  [[nodiscard]] virtual Result<std::unique_ptr<LineReader>> lines(const std::string& path, std::uint64_t most) = 0;
  [[nodiscard]] virtual Result<void> write(const std::string& path, std::string_view bytes) = 0;  // whole or not at all
  [[nodiscard]] virtual Result<std::unique_ptr<FileWriter>> create(const std::string& path) = 0;
  [[nodiscard]] virtual Result<void> make_folder(const std::string& path) = 0;                 // and those above it
  [[nodiscard]] virtual Result<std::vector<std::string>> list(const std::string& folder) = 0;  // sorted paths of regular files
  [[nodiscard]] virtual bool is_folder(const std::string& path) = 0;
};

// What a pen can draw on, named by what is drawn.
struct FlightPlot;
class Paper {
 public:
  virtual ~Paper() = default;
  // An SVG document. An error when nothing here can draw.
  [[nodiscard]] virtual Result<std::string> draw(const FlightPlot& plot) = 0;
};

class Progress {
 public:
  virtual ~Progress() = default;
  virtual void step(std::string_view what, std::uint64_t done, std::uint64_t of) = 0;
  [[nodiscard]] virtual bool stop_requested() const { return false; }
};

}  // namespace headroom
