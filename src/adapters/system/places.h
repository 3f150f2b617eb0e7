#pragma once
// Where things live, by the XDG Base Directory Specification 0.8: data, state and cache folders, each from its variable if
// that is an absolute path, else below HOME.
#include <string>

#include "app/ports.h"

namespace headroom {

[[nodiscard]] std::string default_book_path();  // XDG_DATA_HOME/headroom/book.db
[[nodiscard]] std::string state_folder();       // XDG_STATE_HOME/headroom
[[nodiscard]] std::string cache_folder();       // XDG_CACHE_HOME/headroom

// The id of this installation, kept in `folder`/writer and made when first asked for. It is not in the book, so that a book
// copied to another computer goes on in a chain of its own. Two processes that make it at once agree on one.
[[nodiscard]] Result<WriterId> writer_id(const std::string& folder, Clock& clock, Random& random);

}  // namespace headroom
