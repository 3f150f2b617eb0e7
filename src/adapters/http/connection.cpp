#include "adapters/http/connection.h"

#include <netdb.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <charconv>

#include "adapters/http/guard.h"

namespace headroom::http {

namespace {

using std::chrono::milliseconds;
using std::chrono::seconds;
using std::chrono::steady_clock;

constexpr std::size_t kReadAhead = 4096;
// Below this an answer's head and body leave in one piece.
constexpr std::size_t kTogether = 32U << 10;

}  // namespace

Connection::Connection(int socket, Waits waits, const std::atomic<bool>& stopping)
    : socket_(socket), waits_(waits), stopping_(stopping) {
  sockaddr_storage address{};
  socklen_t size = sizeof address;
  std::array<char, NI_MAXHOST> host{};
  std::array<char, NI_MAXSERV> port{};
  if (getpeername(socket_, reinterpret_cast<sockaddr*>(&address), &size) == 0 &&
      getnameinfo(reinterpret_cast<sockaddr*>(&address), size, host.data(), host.size(), port.data(), port.size(),
                  NI_NUMERICHOST | NI_NUMERICSERV) == 0) {
    peer_ = host.data();
    const std::string_view digits = port.data();
    std::from_chars(digits.data(), digits.data() + digits.size(), peer_port_);
  }
}

Connection::~Connection() {
  ::shutdown(socket_, SHUT_RDWR);
  ::close(socket_);
}

// In slices, so that an end of the program is not waited for longer than its own patience.
bool Connection::wait(short events, Instant until) const {
  constexpr auto kSlice = milliseconds(250);
  auto last = until;
  bool told = false;
  while (true) {
    const auto now = steady_clock::now();
    if (stopping_ && !told) {
      told = true;
      last = std::min(last, now + seconds(waits_.after_stop));
    }
    const auto left = std::chrono::ceil<milliseconds>(last - now);
    if (left <= milliseconds(0)) return false;
    pollfd asked{socket_, events, 0};
    const auto n = ::poll(&asked, 1, static_cast<int>(std::min(left, milliseconds(kSlice)).count()));
    if (n > 0) return true;
    if (n < 0 && errno != EINTR) return false;
  }
}

bool Connection::wait_for_request() {
  // What came behind the last request unasked is either hurry, which may ask again, or hidden in something: never executed.
  if (has_bytes() || stopping_) return false;
  if (!wait(POLLIN, steady_clock::now() + seconds(waits_.keep_alive))) return false;
  const auto now = steady_clock::now();
  in_head_ = true;
  head_until_ = now + seconds(waits_.head);
  answer_until_ = head_until_;
  return true;
}

void Connection::head_is_read() {
  in_head_ = false;
  answer_until_ = steady_clock::now() + seconds(waits_.answer);
}

ssize_t Connection::read(char* into, std::size_t size) {
  if (size == 0) return 0;
  if (!has_bytes()) {
    buffer_.resize(kReadAhead);
    at_ = 0;
    const auto until = in_head_ ? head_until_ : std::min(steady_clock::now() + seconds(waits_.read), answer_until_);
    ssize_t n = -1;
    if (steady_clock::now() < until) {
      while ((n = ::recv(socket_, buffer_.data(), buffer_.size(), MSG_DONTWAIT)) < 0) {
        if (errno == EINTR) continue;
        if ((errno != EAGAIN && errno != EWOULDBLOCK) || !wait(POLLIN, until)) break;
      }
    }
    buffer_.resize(n > 0 ? static_cast<std::size_t>(n) : 0);
    if (n <= 0) return n;
  }
  const auto taken = std::min(size, buffer_.size() - at_);
  std::copy_n(buffer_.data() + at_, taken, into);
  at_ += taken;
  return static_cast<ssize_t>(taken);
}

bool Connection::send_all(std::string_view bytes) {
  while (!bytes.empty()) {
    const auto n = ::send(socket_, bytes.data(), bytes.size(), MSG_NOSIGNAL | MSG_DONTWAIT);
    if (n > 0) {
      bytes.remove_prefix(static_cast<std::size_t>(n));
    } else if (errno != EINTR) {
      if (errno != EAGAIN && errno != EWOULDBLOCK) return false;
      if (!wait(POLLOUT, std::min(steady_clock::now() + seconds(waits_.write), answer_until_))) return false;
    }
  }
  return true;
}

bool Connection::flush() {
  const bool sent = send_all(pending_);
  pending_.clear();
  return sent;
}

ssize_t Connection::write(const char* bytes, std::size_t size) {
  if (pending_.size() + size <= kTogether) {
    pending_.append(bytes, size);
    return static_cast<ssize_t>(size);
  }
  if (!flush() || !send_all({bytes, size})) return -1;
  return static_cast<ssize_t>(size);
}

bool Connection::wait_writable() {
  if (!flush()) return false;
  char one = 0;
  if (::recv(socket_, &one, 1, MSG_PEEK | MSG_DONTWAIT) == 0 && !stopping_) return false;
  return wait(POLLOUT, std::min(steady_clock::now() + seconds(waits_.write), answer_until_));
}

void Connection::stop_reading() const {
  ::shutdown(socket_, SHUT_RD);
}

void Connection::end_with(std::string_view bytes) {
  answer_until_ = steady_clock::now() + seconds(1);
  if (!send_all(bytes)) return;
  ::shutdown(socket_, SHUT_WR);
  std::array<char, kReadAhead> dropped{};
  const auto until = steady_clock::now() + milliseconds(100);
  while (wait(POLLIN, until) && ::recv(socket_, dropped.data(), dropped.size(), MSG_DONTWAIT) > 0) {
  }
}

bool Connections::enter(const std::string& peer) {
  if (is_loopback(peer)) return true;
  const std::lock_guard lock(mutex_);
  const auto most = bounds_.places - std::min(bounds_.kept_here, bounds_.places);
  const auto found = of_peer_.find(peer);
  if (others_ >= most || (found != of_peer_.end() && found->second >= bounds_.per_peer)) return false;
  ++of_peer_[peer];
  ++others_;
  return true;
}

void Connections::leave(const std::string& peer) {
  if (is_loopback(peer)) return;
  const std::lock_guard lock(mutex_);
  const auto found = of_peer_.find(peer);
  if (found == of_peer_.end()) return;
  --others_;
  if (--found->second == 0) of_peer_.erase(found);
}

void Connections::follow(const Connection& connection) {
  const std::lock_guard lock(mutex_);
  open_.insert(&connection);
  if (stopped_) connection.stop_reading();
}

void Connections::forget(const Connection& connection) {
  const std::lock_guard lock(mutex_);
  open_.erase(&connection);
}

void Connections::stop_reading() {
  const std::lock_guard lock(mutex_);
  stopped_ = true;
  for (const auto* c : open_) c->stop_reading();
}

}  // namespace headroom::http
