#pragma once
// A phone is paired by a code that is good for one phone and ten minutes, and knows itself by a token from then on. Kept are the
// hashes of the tokens, in a file of the installation, never in the book.
#include <chrono>
#include <mutex>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "app/ports.h"

namespace headroom::http {

inline constexpr auto kTokenLasts = std::chrono::hours(24 * 365);

class Pairing {
 public:
  // `file`: where the hashes are kept; one that is not there holds none. What is in one that cannot be read, or in a line that is
  // not understood, is nobody's token and stays as it is.
  Pairing(std::string file, Files& files, Random& random);

  // The code to show: eight digits, the one that is still good, or a new one.
  [[nodiscard]] std::string code(UtcTime now);
  [[nodiscard]] std::string new_code(UtcTime now);
  // The token for a code; nothing when it is wrong or out of date. Five wrong ones end a code. io when the token cannot be kept,
  // also because the file could not be read: it is never written over then.
  [[nodiscard]] Result<std::optional<std::string>> redeem(std::string_view code, UtcTime now);
  // A token is good for a year, as its cookie is.
  [[nodiscard]] bool knows(std::string_view token, UtcTime now) const;

  struct Phone {
    std::string mark;  // names it for forget()
    UtcTime since{};
  };
  [[nodiscard]] std::vector<Phone> phones(UtcTime now) const;
  [[nodiscard]] Result<void> forget(std::string_view mark);

 private:
  struct Kept {
    Hash hash;
    UtcTime since{};
  };
  [[nodiscard]] Result<void> keep(const std::vector<Kept>& kept);
  void make_code(UtcTime now);

  mutable std::mutex mutex_;
  std::string file_;
  Files& files_;
  Random& random_;
  std::vector<Kept> kept_;
  std::string not_understood_;  // lines of the file, as they stand
  std::optional<Error> unreadable_;
  std::string code_;
  UtcTime good_until_{};
  int wrong_ = 0;
};

}  // namespace headroom::http
