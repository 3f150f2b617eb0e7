#pragma once
// What is asked of the server that carries the page, and what it says when it stands.
#include <functional>
#include <string>

#include "core/result.h"

namespace headroom {

struct ServeRequest {
  int port = 8093;     // 0: any that is free
  bool share = false;  // for other devices on the network too, once paired
  std::string map;     // the owner's PMTiles file; empty: none
};

struct ServeReady {
  std::string address;                          // on this machine: "http://127.0.0.1:8093/"
  std::string shared_address, code, qr_blocks;  // with `share`: for a phone
};

// Serves until the process is told to stop. Errors: refused when the port is taken.
using Serve = std::function<Result<void>(const ServeRequest&, const std::function<void(const ServeReady&)>& ready)>;

}  // namespace headroom
