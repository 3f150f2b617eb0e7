// Files from the page: recordings to be debriefed, and what becomes of a job.
#include <array>

#include "adapters/http/routes.h"
#include "app/debrief.h"
#include "app/debrief_json.h"

namespace headroom::http {

namespace {

// What a browser calls a file, without what could be taken for a folder.
std::string plain_name(std::string_view name) {
  std::string out(name.substr(name.find_last_of("/\\") == std::string_view::npos ? 0 : name.find_last_of("/\\") + 1));
  constexpr std::size_t kMostName = 200;
  if (out.size() > kMostName) out.resize(kMostName);
  return out.empty() ? "recording" : out;
}

Answer take_recording(Site& site, const Request& request) {
  const auto desk = site.desk(request.captured.front());
  if (!desk) return error_answer(desk.error());
  if (request.body_bytes == 0) return error_answer({ErrorKind::bad_input, "the file is empty", ""});
  const auto job = site.jobs().start([desk = *desk, hold = request.hold, path = request.body_file,
                                      name = plain_name(request.asked("name"))](Progress& progress) -> Result<AnswerJson> {
    auto own = desk->own_ports();
    Ports ports{*own.book, *own.cache, *own.clock, *own.random, *own.files, progress};
    const auto session = open_session(ports, desk->choice(), false);
    if (!session) return tl::unexpected<Error>(session.error());
    progress.step(name, 0, 1);
    DebriefRequest asked;
    asked.paths = {path};
    asked.names = {name};
    if (const auto offset = ports.clock.offset_minutes(ports.clock.now(), session->zone)) asked.offset_min = *offset;
    const auto answer = debrief(asked, ports);
    desk->forget();
    if (!answer) return tl::unexpected<Error>(answer.error());
    // One file that was refused is a failure; of an archive the others stand.
    if (answer->files.size() == 1 && answer->files.front().error) return tl::unexpected<Error>(*answer->files.front().error);
    return debrief_json(*answer, session->units);
  });
  if (!job) return error_answer(job.error());
  return json_answer({{"job", *job}}, 202);
}

Answer follow_job(Site& site, const Request& request) {
  auto stream = site.jobs().follow(request.captured.front());
  if (!stream) return error_answer(stream.error());
  Answer out;
  out.type = "text/event-stream";
  out.headers.emplace_back("Cache-Control", "no-store");
  out.stream = std::move(*stream);
  return out;
}

constexpr std::array kRecordingRoutes = {
    Route{Method::post, "/api/{book}/recordings", take_recording, Takes::bytes},
    Route{Method::get, "/api/jobs/{id}/events", follow_job},
};

}  // namespace

std::span<const Route> recording_routes() {
  return kRecordingRoutes;
}

}  // namespace headroom::http
