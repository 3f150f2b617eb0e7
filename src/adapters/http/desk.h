#pragma once
// One book as the routes use it: one request at a time, the folded state kept while the book stays as it is.
#include <chrono>
#include <functional>
#include <memory>
#include <mutex>
#include <optional>
#include <string>

#include "app/session.h"

namespace headroom::http {

// Ports of one thread's own.
struct OwnPorts {
  std::unique_ptr<BookAccess> book;
  std::unique_ptr<Cache> cache;
  std::unique_ptr<Clock> clock;
  std::unique_ptr<Random> random;
  std::unique_ptr<Files> files;
};
// `place`: of the book; empty: the default one.
using MakePorts = std::function<OwnPorts(const std::string& place)>;

class Desk {
 public:
  Desk(std::string place, const MakePorts& make_ports, SessionChoice choice);

  // Held for as long as one request uses the desk.
  class Sitting {
   public:
    explicit Sitting(Desk& desk) : lock_(desk.mutex_), desk_(desk) {}
    [[nodiscard]] Ports& ports() { return desk_.ports_; }
    // The whole state; folded anew only when the book has changed.
    [[nodiscard]] Result<const Session*> session() { return desk_.fresh_session(); }
    // A fingerprint of the book that the last session() was folded from, for ETag: never newer than that state.
    [[nodiscard]] const Hash& folded_from() const { return desk_.session_of_; }
    // The book has been written to: the next look is at the file.
    void forget() { desk_.looked_at_.reset(); }

   private:
    std::unique_lock<std::mutex> lock_;
    Desk& desk_;
  };
  [[nodiscard]] Sitting sit() { return Sitting(*this); }
  // A job has written to the book through ports of its own.
  void forget() { sit().forget(); }
  // Ports of their own for a job, which goes on beside the requests.
  [[nodiscard]] OwnPorts own_ports() const { return make_ports_(place_); }
  [[nodiscard]] const std::string& place() const { return place_; }
  [[nodiscard]] const SessionChoice& choice() const { return choice_; }

 private:
  // What another program writes is seen this much later at the most; what is written through the server, at once.
  static constexpr auto kLookEvery = std::chrono::milliseconds(200);
  [[nodiscard]] Result<const Session*> fresh_session();
  [[nodiscard]] Result<Hash> fresh_contents();

  std::mutex mutex_;
  std::string place_;
  MakePorts make_ports_;
  SessionChoice choice_;
  OwnPorts own_;
  class NoProgress final : public Progress {
   public:
    void step(std::string_view, std::uint64_t, std::uint64_t) override {}
  } progress_;
  Ports ports_;
  std::optional<Session> session_;
  Hash session_of_, contents_;
  std::optional<std::chrono::steady_clock::time_point> looked_at_;
};

}  // namespace headroom::http
