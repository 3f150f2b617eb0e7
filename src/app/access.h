#pragma once
// What every use case is handed: the ports, and a book that is opened only when needed and only as far as needed.
#include "app/ports.h"

namespace headroom {

// One book somewhere. Reading a book that is not there sees an empty one and makes no file; writing makes it.
class BookAccess {
 public:
  virtual ~BookAccess() = default;
  [[nodiscard]] virtual Result<Store*> to_read() = 0;
  [[nodiscard]] virtual Result<Store*> to_write() = 0;
  [[nodiscard]] virtual Result<WriterId> writer() = 0;  // this installation; made when first asked
  [[nodiscard]] virtual std::string place() const = 0;  // for messages
};

struct Ports {
  BookAccess& book;
  Cache& cache;
  Clock& clock;
  Random& random;
  Files& files;
  Progress& progress;
};

}  // namespace headroom
