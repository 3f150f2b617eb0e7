// Pieces of the owner's map.
#include <array>

#include "adapters/http/map_file.h"
#include "adapters/http/routes.h"

namespace headroom::http {

namespace {

Answer map_bytes(Site& site, const Request& request) {
  const auto& file = site.options().map_file;
  if (file.empty()) return error_answer({ErrorKind::not_found, "no map of your own was named when the program was started", ""});
  const auto offset = number_asked(request, "offset", 0), length = number_asked(request, "length", kMostMapBytes);
  if (!offset) return error_answer(offset.error());
  if (!length) return error_answer(length.error());
  auto piece = read_map_piece(file, *offset, *length);
  if (!piece) {
    // The place of a file on this machine is nobody's business.
    if (piece.error().where == file) piece.error().where.clear();
    return error_answer(piece.error());
  }
  Answer out;
  out.type = "application/octet-stream";
  const std::string tag = "\"" + piece->tag + "-" + std::to_string(*offset) + "-" + std::to_string(*length) + "\"";
  out.headers.emplace_back("Cache-Control", "private, no-cache");
  out.headers.emplace_back("ETag", tag);
  if (request.header("if-none-match") == tag) {
    out.status = 304;
    return out;
  }
  out.body = std::move(piece->bytes);
  return out;
}

constexpr std::array kMapRoutes = {
    Route{Method::get, "/api/map/bytes", map_bytes},
};

}  // namespace

std::span<const Route> map_routes() {
  return kMapRoutes;
}

}  // namespace headroom::http
