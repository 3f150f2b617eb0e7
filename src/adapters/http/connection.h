#pragma once
// One accepted connection (RFC 9112, section 9): bytes in and out with a deadline for each part of a request, and who may hold
// how many of them open.
#include <sys/types.h>

#include <atomic>
#include <chrono>
#include <cstddef>
#include <map>
#include <mutex>
#include <set>
#include <string>
#include <string_view>
#include <vector>

namespace headroom::http {

// How long is waited, in seconds.
struct Waits {
  int keep_alive = 2;  // for the next request
  int head = 10;       // for the whole head of one, however it comes
  int read = 10;       // for the next byte of a body
  int write = 30;      // for the other end to take more
  int answer = 900;    // for it to take the whole answer; a stream of events is opened anew by its reader then
  int after_stop = 2;  // for the rest of an answer when the program is ending
};

class Connection {
 public:
  // Takes the socket and closes it at the end. `stopping`: the program is ending; outlives this.
  Connection(int socket, Waits waits, const std::atomic<bool>& stopping);
  Connection(const Connection&) = delete;
  Connection& operator=(const Connection&) = delete;
  ~Connection();

  // Until the first byte of a request is there. False: nobody asks any more.
  [[nodiscard]] bool wait_for_request();
  void head_is_read();

  // As read(2): 0 at the end, -1 when a deadline has passed or the connection broke.
  ssize_t read(char* into, std::size_t size);
  // Small pieces are kept together until flush() or wait_writable().
  ssize_t write(const char* bytes, std::size_t size);
  bool flush();
  [[nodiscard]] bool has_bytes() const { return at_ < buffer_.size(); }
  // False: the other end is gone, or takes nothing more in time.
  bool wait_writable();
  // No more is read, what waits for bytes ends at once; an answer at work is still sent. From any thread.
  void stop_reading() const;
  // The last words, and the end: what was sent is taken a moment longer, so that they arrive (RFC 9112, section 9.6).
  void end_with(std::string_view bytes);

  [[nodiscard]] int socket() const { return socket_; }
  [[nodiscard]] const std::string& peer() const { return peer_; }
  [[nodiscard]] int peer_port() const { return peer_port_; }

 private:
  using Instant = std::chrono::steady_clock::time_point;
  bool wait(short events, Instant until) const;
  bool send_all(std::string_view bytes);

  int socket_;
  Waits waits_;
  const std::atomic<bool>& stopping_;
  std::string peer_;
  int peer_port_ = 0;
  bool in_head_ = false;
  Instant head_until_, answer_until_;
  std::vector<char> buffer_;
  std::size_t at_ = 0;
  std::string pending_;
};

// Who is connected. The machine itself always finds a free place, and no other has more than its share.
class Connections {
 public:
  // Of `places` in all, others than this machine take at most `places - kept_here`, each address at most `per_peer`.
  struct Bounds {
    std::size_t places = 48, kept_here = 8, per_peer = 12;
  };
  explicit Connections(Bounds bounds) : bounds_(bounds) {}

  // Whether this one is taken in; then leave() must follow.
  [[nodiscard]] bool enter(const std::string& peer);
  void leave(const std::string& peer);
  void follow(const Connection& connection);
  void forget(const Connection& connection);
  void stop_reading();

 private:
  Bounds bounds_;
  std::mutex mutex_;
  std::map<std::string, std::size_t> of_peer_;
  std::size_t others_ = 0;
  std::set<const Connection*> open_;
  bool stopped_ = false;
};

}  // namespace headroom::http
