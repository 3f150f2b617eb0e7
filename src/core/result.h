#pragma once
// Errors as values. The one place that names tl::expected (see docs/decisions/0002-expected.md).
#include <string>
#include <tl/expected.hpp>
#include <utility>

namespace headroom {

// What went wrong, coarsely enough to branch on; cli and http map it to an exit code or a status.
enum class ErrorKind {
  bad_input,      // the file or the call is wrong: exit 2
  out_of_range,   // a model was asked beyond its range: exit 2
  not_found,      // named thing is not there: exit 2
  refused,        // well formed, but against a rule of the book: exit 2
  conflict,       // the book moved on meanwhile: exit 1 after retries
  locked,         // another process holds the book: exit 1
  damaged,        // the book does not verify or cannot be read: exit 1
  newer_version,  // the book was written by a newer program: exit 1
  io,             // the disk, a permission, a full device: exit 1
};

struct Error {
  ErrorKind kind = ErrorKind::bad_input;
  std::string what;   // a sentence for the person: what is wrong and what to do
  std::string where;  // the file, line, option or entry; may be empty
};

template <class T>
using Result = tl::expected<T, Error>;

inline tl::unexpected<Error> fail(ErrorKind kind, std::string what, std::string where = {}) {
  return tl::unexpected<Error>(Error{kind, std::move(what), std::move(where)});
}

}  // namespace headroom
