#include "adapters/http/desk.h"

namespace headroom::http {

Desk::Desk(std::string place, const MakePorts& make_ports, SessionChoice choice)
    : place_(std::move(place)),
      make_ports_(make_ports),
      choice_(std::move(choice)),
      own_(make_ports_(place_)),
      ports_{*own_.book, *own_.cache, *own_.clock, *own_.random, *own_.files, progress_} {}

Result<Hash> Desk::fresh_contents() {
  const auto now = std::chrono::steady_clock::now();
  if (looked_at_ && now - *looked_at_ < kLookEvery) return contents_;
  auto store = ports_.book.to_read();
  if (!store) return tl::unexpected<Error>(store.error());
  auto contents = (*store)->contents();
  if (contents) {
    contents_ = *contents;
    looked_at_ = now;
  }
  return contents;
}

Result<const Session*> Desk::fresh_session() {
  const auto contents = fresh_contents();
  if (!contents) return tl::unexpected<Error>(contents.error());
  if (!session_ || session_of_ != *contents) {
    auto session = open_session(ports_, choice_, true);
    if (!session) {
      session_.reset();
      return tl::unexpected<Error>(session.error());
    }
    session_ = std::move(*session);
    session_of_ = *contents;
  }
  return &*session_;
}

}  // namespace headroom::http
