#pragma once
// The HTTP server (RFC 9110, 9112): sockets, threads and bodies. Everything it is asked is answered by answer_request().
#include <functional>
#include <memory>
#include <string>

#include "adapters/http/routes.h"

namespace headroom::http {

// Bounds on what one request and all of them together may take.
struct ServerBounds {
  std::uint64_t json_body = 1U << 20;
  std::uint64_t bytes_body = 128U << 20;
  std::size_t connections = 48;                                       // at work at once; as many again wait
  int read_seconds = 10, write_seconds = 30, keep_alive_seconds = 2;  // without a byte
  int body_seconds = 600;                                             // a whole body
  int head_seconds = 10;                                              // a whole head, however it comes
  std::size_t kept_here = 8, per_peer = 12;                           // Connections::Bounds
  std::uint64_t all_bodies = 512U << 20;                              // bodies of bytes that are on the disk at one time
};

class Server {
 public:
  Server(Site& site, ServerBounds bounds = {});
  ~Server();
  Server(const Server&) = delete;
  Server& operator=(const Server&) = delete;

  // The port it listens at; `port` 0 picks one. Errors: refused when the port is taken, with what to do.
  [[nodiscard]] Result<int> bind(const std::string& host, int port);
  // Names under which it may be asked, without the port; after bind().
  void answer_to(const std::vector<std::string>& hosts);
  // Until stop() is called from another thread. Requests at work are finished first.
  void run();
  void stop();

 private:
  struct Parts;
  std::unique_ptr<Parts> parts_;
};

}  // namespace headroom::http
