#include "cli/command.h"

#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include "cli/text.h"

namespace headroom {

int exit_code(ErrorKind kind) {
  switch (kind) {
    case ErrorKind::bad_input:
    case ErrorKind::out_of_range:
    case ErrorKind::not_found:
    case ErrorKind::refused:
      return kWrongCall;
    case ErrorKind::conflict:
    case ErrorKind::locked:
    case ErrorKind::damaged:
    case ErrorKind::newer_version:
    case ErrorKind::io:
      return kFailed;
  }
  return kFailed;
}

namespace {

std::string_view error_kind_name(ErrorKind kind) {
  switch (kind) {
    case ErrorKind::bad_input:
      return "bad_input";
    case ErrorKind::out_of_range:
      return "out_of_range";
    case ErrorKind::not_found:
      return "not_found";
    case ErrorKind::refused:
      return "refused";
    case ErrorKind::conflict:
      return "conflict";
    case ErrorKind::locked:
      return "locked";
    case ErrorKind::damaged:
      return "damaged";
    case ErrorKind::newer_version:
      return "newer_version";
    case ErrorKind::io:
      return "io";
  }
  return "failed";
}

bool marks_shown = false;
std::function<void()> wipe_progress = [] {};

}  // namespace

void set_wipe_progress(std::function<void()> wipe) {
  wipe_progress = std::move(wipe);
}

int report(const World& world, const Error& error) {
  wipe_progress();
  const auto text = error.where.empty() ? error.what : error.where + ": " + error.what;
  std::fputs(wrapped(with_marks(harmless("headroom: " + text), false), world.shared.width, 2, 0).c_str(), stderr);
  if (world.shared.json) {
    const nlohmann::ordered_json answer = {
        {"error", {{"kind", error_kind_name(error.kind)}, {"what", error.what}, {"where", error.where}}}};
    print(answer.dump(2, ' ', false, nlohmann::json::error_handler_t::replace) + "\n");
  }
  return exit_code(error.kind);
}

void set_marks_shown(bool shown) {
  marks_shown = shown;
}

void print(std::string_view text) {
  wipe_progress();
  const auto clean = with_marks(harmless(text), marks_shown);
  std::fwrite(clean.data(), 1, clean.size(), stdout);
}

}  // namespace headroom
