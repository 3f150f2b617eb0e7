#include "adapters/http/message.h"

#include "formats/say.h"

namespace headroom::http {

std::string_view Request::header(std::string_view name) const {
  const auto found = headers.find(name);
  return found == headers.end() ? std::string_view() : std::string_view(found->second);
}

std::string_view Request::asked(std::string_view name) const {
  const auto found = query.find(name);
  return found == query.end() ? std::string_view() : std::string_view(found->second);
}

namespace {

struct KindOfError {
  const char* name;
  int status;
};
KindOfError kind_of_error(ErrorKind kind) {
  switch (kind) {
    case ErrorKind::bad_input:
      return {"bad_input", 400};
    case ErrorKind::out_of_range:
      return {"out_of_range", 400};
    case ErrorKind::not_found:
      return {"not_found", 404};
    case ErrorKind::refused:
      return {"refused", 409};
    case ErrorKind::conflict:
      return {"conflict", 409};
    case ErrorKind::locked:
      return {"locked", 503};
    case ErrorKind::damaged:
      return {"damaged", 500};
    case ErrorKind::newer_version:
      return {"newer_version", 500};
    case ErrorKind::io:
      return {"io", 500};
  }
  return {"failed", 500};
}

// "--wind-aloft" is the box "wind_aloft"; anything else is a place as it stands.
std::string box_of(std::string where) {
  if (!where.starts_with("--")) return where;
  where.erase(0, 2);
  for (char& c : where)
    if (c == '-') c = '_';
  return where;
}

}  // namespace

Answer json_answer(const AnswerJson& answer, int status) {
  Answer out;
  out.status = status;
  out.body = answer_text_for_page(answer);
  out.headers.emplace_back("Cache-Control", "no-cache");
  return out;
}

AnswerJson error_json(const Error& error) {
  return {{"kind", kind_of_error(error.kind).name}, {"what", error.what}, {"where", box_of(error.where)}};
}

Answer error_answer(const Error& error) {
  return json_answer({{"error", error_json(error)}}, kind_of_error(error.kind).status);
}

}  // namespace headroom::http
