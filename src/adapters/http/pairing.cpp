#include "adapters/http/pairing.h"

#include <algorithm>
#include <array>

#include "formats/hash.h"

namespace headroom::http {

namespace {

constexpr auto kCodeLasts = std::chrono::minutes(10);
constexpr int kMostWrong = 5;
constexpr std::uint64_t kMostFile = 64U << 10;

std::string hex_of(std::span<const std::uint8_t> bytes) {
  constexpr std::string_view kDigits = "0123456789abcdef";
  std::string out;
  for (const auto b : bytes) (out += kDigits[b >> 4]) += kDigits[b & 15];
  return out;
}

}  // namespace

Pairing::Pairing(std::string file, Files& files, Random& random) : file_(std::move(file)), files_(files), random_(random) {
  std::string text;
  if (auto read = files_.read(file_, text, kMostFile); !read) {
    if (read.error().kind != ErrorKind::not_found) unreadable_ = read.error();
    return;
  }
  for (std::string_view rest = text; !rest.empty();) {
    const auto end = std::min(rest.find('\n'), rest.size());
    const auto line = rest.substr(0, end);
    rest.remove_prefix(std::min(end + 1, rest.size()));
    const auto hash = line.size() < 66 ? std::nullopt : Hash::parse(line.substr(0, 64));
    const auto since = line.size() < 66 ? std::nullopt : parse_rfc3339(line.substr(65));
    if (hash && since)
      kept_.push_back({*hash, *since});
    else if (!line.empty())
      not_understood_.append(line).append("\n");
  }
}

void Pairing::make_code(UtcTime now) {
  // A number below 10^8 without a lean to any: what does not divide evenly is drawn again.
  constexpr std::uint32_t kCodes = 100'000'000, kEven = (0xFFFFFFFFU / kCodes) * kCodes;
  std::uint32_t n = kEven;
  while (n >= kEven) {
    std::array<std::uint8_t, 4> bytes{};
    random_.fill(bytes);
    n = static_cast<std::uint32_t>(bytes[0]) << 24 | static_cast<std::uint32_t>(bytes[1]) << 16 |
        static_cast<std::uint32_t>(bytes[2]) << 8 | bytes[3];
  }
  code_ = std::to_string(n % kCodes);
  code_.insert(0, 8 - code_.size(), '0');
  good_until_ = now + kCodeLasts;
  wrong_ = 0;
}

std::string Pairing::code(UtcTime now) {
  const std::lock_guard lock(mutex_);
  if (code_.empty() || now >= good_until_) make_code(now);
  return code_;
}

std::string Pairing::new_code(UtcTime now) {
  const std::lock_guard lock(mutex_);
  make_code(now);
  return code_;
}

Result<void> Pairing::keep(const std::vector<Kept>& kept) {
  if (unreadable_)
    return fail(ErrorKind::io, "the list of paired phones cannot be read, and is not written over: " + unreadable_->what);
  std::string text = not_understood_;
  for (const auto& k : kept) text += k.hash.text() + " " + rfc3339(k.since) + "\n";
  // On a machine where nothing else was kept yet the folder is not there.
  const auto folder = file_.substr(0, file_.find_last_of('/') == std::string::npos ? 0 : file_.find_last_of('/'));
  if (!folder.empty() && !files_.is_folder(folder)) {
    if (auto made = files_.make_folder(folder); !made) return made;
  }
  return files_.write(file_, text);
}

Result<std::optional<std::string>> Pairing::redeem(std::string_view code, UtcTime now) {
  const std::lock_guard lock(mutex_);
  if (code_.empty() || now >= good_until_) return std::optional<std::string>{};
  std::string digits;
  for (const char c : code)
    if (c >= '0' && c <= '9') digits += c;
  if (digits != code_) {
    if (++wrong_ >= kMostWrong) code_.clear();
    return std::optional<std::string>{};
  }
  std::array<std::uint8_t, 32> bytes{};
  random_.fill(bytes);
  auto token = hex_of(bytes);
  auto kept = kept_;
  std::erase_if(kept, [&](const Kept& k) { return k.since + kTokenLasts <= now; });
  kept.push_back({sha256(token), now});
  if (auto written = keep(kept); !written) return tl::unexpected<Error>(written.error());
  kept_ = std::move(kept);
  code_.clear();
  return std::optional<std::string>(std::move(token));
}

bool Pairing::knows(std::string_view token, UtcTime now) const {
  if (token.empty()) return false;
  const auto hash = sha256(token);
  const std::lock_guard lock(mutex_);
  return std::any_of(kept_.begin(), kept_.end(), [&](const Kept& k) { return k.hash == hash && now < k.since + kTokenLasts; });
}

std::vector<Pairing::Phone> Pairing::phones(UtcTime now) const {
  const std::lock_guard lock(mutex_);
  std::vector<Phone> out;
  for (const auto& k : kept_)
    if (now < k.since + kTokenLasts) out.push_back({k.hash.text().substr(0, 12), k.since});
  return out;
}

Result<void> Pairing::forget(std::string_view mark) {
  const std::lock_guard lock(mutex_);
  auto kept = kept_;
  std::erase_if(kept, [&](const Kept& k) { return k.hash.text().substr(0, 12) == mark; });
  if (kept.size() == kept_.size()) return fail(ErrorKind::not_found, "no such phone is paired");
  if (auto written = keep(kept); !written) return written;
  kept_ = std::move(kept);
  return {};
}

}  // namespace headroom::http
