#pragma once
// A site over a real book file in a folder of its own, with a clock that the test sets.
#include <functional>
#include <memory>
#include <string>

#include "adapters/http/routes.h"
#include "adapters/sqlite/store.h"
#include "adapters/system/files.h"
#include "support/fake_clock.h"
#include "support/fake_random.h"
#include "support/temp_folder.h"
#include "support/world.h"

namespace headroom::http {

class FileBook final : public BookAccess {
 public:
  explicit FileBook(std::string place) : place_(std::move(place)), store_(place_) { id_.bytes[0] = 7; }
  Result<Store*> to_read() override {
    if (before_read) before_read();
    return &store_;
  }
  Result<Store*> to_write() override { return &store_; }
  Result<WriterId> writer() override { return id_; }
  [[nodiscard]] std::string place() const override { return place_; }
  // What another program does just before this one looks.
  static inline std::function<void()> before_read;

 private:
  std::string place_;
  SqliteStore store_;
  WriterId id_{};
};

class SharedClock final : public Clock {
 public:
  explicit SharedClock(std::shared_ptr<FakeClock> shared) : shared_(std::move(shared)) {}
  UtcTime now() override { return shared_->now(); }
  Result<int> offset_minutes(UtcTime t, std::string_view zone) override { return shared_->offset_minutes(t, zone); }

 private:
  std::shared_ptr<FakeClock> shared_;
};

struct TestSite {
  TempFolder folder;
  std::shared_ptr<FakeClock> clock = std::make_shared<FakeClock>(utc(2026, 11, 25, 12), 0);
  std::unique_ptr<Site> site;
  GuardRules rules{{"127.0.0.1:8093"}, false};

  explicit TestSite(bool share = false, std::string map = {}) {
    SiteOptions options;
    options.version = "test";
    options.book = folder / "book.db";
    options.season_folder = folder / "season";
    options.upload_folder = folder.path();
    options.phones_file = folder / "phones";
    options.map_file = std::move(map);
    options.share = share;
    options.address = "http://192.168.1.20:8093";
    options.make_ports = [clock = clock, seed = std::make_shared<std::atomic<std::uint64_t>>(1)](const std::string& place) {
      return OwnPorts{std::make_unique<FileBook>(place), std::make_unique<MemoryCache>(), std::make_unique<SharedClock>(clock),
                      std::make_unique<FakeRandom>((*seed)++), std::make_unique<SystemFiles>()};
    };
    static const Asset kPage[] = {
        {"/index.html", "text/html; charset=utf-8", "stands for a page that is compressed", true, false}};
    options.assets = kPage;
    site = std::make_unique<Site>(std::move(options));
  }

  [[nodiscard]] Request request(Method method, const std::string& path) const {
    Request out;
    out.method = method;
    out.path = path;
    out.peer = "127.0.0.1";
    out.headers["host"] = "127.0.0.1:8093";
    if (method == Method::post) out.headers["content-type"] = "application/json";
    return out;
  }
  [[nodiscard]] Answer ask(Request request) { return answer_request(*site, request, rules); }
  [[nodiscard]] Answer get(const std::string& path) { return ask(request(Method::get, path)); }
  [[nodiscard]] Answer post(const std::string& path, const std::string& body) {
    auto asked = request(Method::post, path);
    asked.body = body;
    return ask(asked);
  }
  // A body of bytes, as the server hands it over.
  [[nodiscard]] Answer post_bytes(const std::string& path, const std::string& bytes,
                                  const std::map<std::string, std::string, std::less<>>& query = {}) {
    auto asked = request(Method::post, path);
    asked.headers["content-type"] = "application/octet-stream";
    asked.query = query;
    asked.body_file = folder / "body";
    asked.body_bytes = bytes.size();
    EXPECT_TRUE(SystemFiles().write(asked.body_file, bytes));
    return ask(asked);
  }
};

inline AnswerJson json_of(const Answer& answer) {
  auto parsed = AnswerJson::parse(answer.body, nullptr, false);
  EXPECT_FALSE(parsed.is_discarded()) << answer.body;
  return parsed;
}
inline std::string where_of(const Answer& answer) {
  return json_of(answer)["error"]["where"].get<std::string>();
}
inline std::string header_of(const Answer& answer, std::string_view name) {
  for (const auto& [key, value] : answer.headers)
    if (key == name) return value;
  return {};
}

}  // namespace headroom::http
