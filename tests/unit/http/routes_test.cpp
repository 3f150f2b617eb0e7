#include "adapters/http/routes.h"

#include <gtest/gtest.h>

#include <chrono>
#include <set>
#include <thread>

#include "adapters/http/qr.h"
#include "core/typed.h"
#include "unit/http/test_site.h"

namespace headroom::http {
namespace {

const Route* route_of(Method method, const std::string& path, std::vector<std::string>* captured = nullptr,
                      bool* other = nullptr) {
  Request request;
  request.method = method;
  request.path = path;
  bool other_method = false;
  const auto* found = find_route(request, other_method);
  if (captured != nullptr) *captured = request.captured;
  if (other != nullptr) *other = other_method;
  return found;
}

TEST(HttpRoutes, AreFoundByMethodAndPath) {
  std::vector<std::string> captured;
  const auto* shown = route_of(Method::get, "/api/own/entries/0123abcd", &captured);
  ASSERT_NE(shown, nullptr);
  EXPECT_EQ(shown->pattern, "/api/{book}/entries/{id}");
  EXPECT_EQ(captured, (std::vector<std::string>{"own", "0123abcd"}));
  const auto* voided = route_of(Method::post, "/api/season/entries/7/void", &captured);
  ASSERT_NE(voided, nullptr);
  EXPECT_EQ(captured, (std::vector<std::string>{"season", "7"}));
  EXPECT_EQ(route_of(Method::head, "/api/hello"), route_of(Method::get, "/api/hello"));
  for (const char* path : {"/api/own/entries/", "/api//entries", "/api/own/entries/1/2", "/api/own/entries/1/void/", "/api/ow",
                           "/api", "", "/", "api/hello", "/API/hello"})
    EXPECT_EQ(route_of(Method::get, path), nullptr) << path;
}

TEST(HttpRoutes, AnotherMethodIsKnownAsSuch) {
  bool other = false;
  EXPECT_EQ(route_of(Method::remove, "/api/own/entries", nullptr, &other), nullptr);
  EXPECT_TRUE(other);
  EXPECT_EQ(route_of(Method::remove, "/api/nothing", nullptr, &other), nullptr);
  EXPECT_FALSE(other);
}

// A row that another one hides would never be asked.
TEST(HttpRoutes, NoneHidesAnother) {
  for (const auto& route : all_routes()) {
    std::string path(route.pattern);
    for (auto at = path.find('{'); at != std::string::npos; at = path.find('{', at + 1))
      path.replace(at, path.find('}', at) - at + 1, "x");
    EXPECT_EQ(route_of(route.method, path), &route) << route.pattern;
    EXPECT_EQ(route.takes != Takes::nothing, route.method == Method::post) << route.pattern;
  }
}

TEST(HttpRoutes, AnUnknownBookIsNotFound) {
  TestSite world;
  EXPECT_EQ(world.get("/api/other/entries").status, 404);
  EXPECT_EQ(world.get("/api/season/entries").status, 404) << "it is not made";
}

// --- what a browser may keep (RFC 9110, sections 8.8.3 and 13.1.2): one tag, one answer

// 304 when `path` is asked with the tag it had.
int status_with(Site& site, const TestSite& world, const std::string& path, const std::string& tag) {
  auto again = world.request(Method::get, path);
  again.headers["if-none-match"] = tag;
  return answer_request(site, again, world.rules).status;
}

TEST(HttpRoutes, ATagChangesWithTheOwnersDay) {
  TestSite world;
  // Two hours ahead of UTC the day ends at 22:00 UTC.
  world.clock->offset_min = 120;
  world.clock->time = utc(2026, 11, 25, 21, 30);
  const auto tag = header_of(world.get("/api/own/entries"), "ETag");
  ASSERT_FALSE(tag.empty());
  world.clock->time = utc(2026, 11, 25, 21, 59);
  EXPECT_EQ(status_with(*world.site, world, "/api/own/entries", tag), 304);
  world.clock->time = utc(2026, 11, 25, 22, 1);
  EXPECT_EQ(status_with(*world.site, world, "/api/own/entries", tag), 200);
  world.clock->time = utc(2026, 11, 25, 21, 30);
  EXPECT_EQ(status_with(*world.site, world, "/api/own/entries", tag), 304);
  world.clock->offset_min = 60;
  EXPECT_EQ(status_with(*world.site, world, "/api/own/entries", tag), 200);
}

TEST(HttpRoutes, ATagOfTheDayAtHandChangesWithTheHour) {
  TestSite world;
  world.clock->time = utc(2026, 11, 25, 12, 5);
  for (const char* path : {"/api/own/now", "/api/own/shed"}) {
    world.clock->time = utc(2026, 11, 25, 12, 5);
    const auto tag = header_of(world.get(path), "ETag");
    ASSERT_FALSE(tag.empty()) << path;
    world.clock->time = utc(2026, 11, 25, 12, 55);
    EXPECT_EQ(status_with(*world.site, world, path, tag), 304) << path;
    world.clock->time = utc(2026, 11, 25, 13, 5);
    EXPECT_EQ(status_with(*world.site, world, path, tag), 200) << path;
  }
}

TEST(HttpRoutes, ATagKnowsUnitsAndZoneChosenAtStart) {
  TestSite world;
  const auto tag = header_of(world.get("/api/own/now"), "ETag");
  ASSERT_FALSE(tag.empty());
  auto options = world.site->options();
  Site same(options);
  EXPECT_EQ(status_with(same, world, "/api/own/now", tag), 304);
  options.choice.zone = "Europe/Lisbon";  // the clock of the test has the same offset everywhere
  Site elsewhere(options);
  EXPECT_EQ(status_with(elsewhere, world, "/api/own/now", tag), 200);
  options.choice.zone.clear();
  options.choice.units = "us";
  Site gallons(options);
  EXPECT_EQ(status_with(gallons, world, "/api/own/now", tag), 200);
}

// The tag was made from another look at the book, after the state: a browser kept the old answer under the new tag.
TEST(HttpRoutes, ATagIsNeverNewerThanItsAnswer) {
  TestSite world;
  int looks = 0;
  FileBook::before_read = [&] {
    constexpr int kFold = 2, kAfter = 3;
    if (++looks == kFold) std::this_thread::sleep_for(std::chrono::milliseconds(250));  // a state that takes long to fold
    if (looks != kAfter) return;
    Site other(world.site->options());
    auto note = world.request(Method::post, "/api/own/entries");
    note.body = R"({"entries":[{"kind":"note","text":"written by another program"}]})";
    EXPECT_EQ(answer_request(other, note, world.rules).status, 201);
  };
  const auto first = world.get("/api/own/now");
  while (looks < 3) FileBook::before_read();
  FileBook::before_read = nullptr;
  std::this_thread::sleep_for(std::chrono::milliseconds(250));
  ASSERT_EQ(json_of(first)["entries"], 0);
  EXPECT_EQ(status_with(*world.site, world, "/api/own/now", header_of(first, "ETag")), 200);
}

TEST(HttpMessage, EveryKindOfErrorHasItsStatus) {
  // RFC 9110, section 15.
  const std::pair<ErrorKind, int> all[] = {
      {ErrorKind::bad_input, 400}, {ErrorKind::out_of_range, 400},  {ErrorKind::not_found, 404},
      {ErrorKind::refused, 409},   {ErrorKind::conflict, 409},      {ErrorKind::locked, 503},
      {ErrorKind::damaged, 500},   {ErrorKind::newer_version, 500}, {ErrorKind::io, 500}};
  std::set<std::string> names;
  for (const auto& [kind, status] : all) {
    const auto answer = error_answer({kind, "what it is", "--wind-aloft"});
    EXPECT_EQ(answer.status, status);
    EXPECT_EQ(where_of(answer), "wind_aloft");
    names.insert(json_of(answer)["error"]["kind"].get<std::string>());
  }
  EXPECT_EQ(names.size(), std::size(all));
  EXPECT_EQ(where_of(error_answer({ErrorKind::bad_input, "x", "entries.2.value"})), "entries.2.value");
}

TEST(HttpMessage, WhatIsTypedOnTheCommandLineDoesNotReachThePage) {
  EXPECT_EQ(json_of(error_answer({ErrorKind::bad_input, "Name it" + typed(": --name X") + ".", ""}))["error"]["what"],
            "Name it.");
}

TEST(HttpMessage, BodiesAreReadWithCare) {
  Request request;
  for (const char* bad : {"", "{", "[]", "1", "\"x\"", "null", "{} {}", "{\"a\":}"}) {
    request.body = bad;
    EXPECT_FALSE(body_of(request)) << bad;
  }
  request.body = R"({"text":"x","number":1,"flag":true,"nothing":null,"long":")" + std::string(200, 'x') + "\"}";
  const auto body = body_of(request);
  ASSERT_TRUE(body);
  EXPECT_EQ(*text_of(*body, "text"), "x");
  EXPECT_EQ(*text_of(*body, "nothing"), "");
  EXPECT_EQ(*text_of(*body, "not there"), "");
  EXPECT_EQ(text_of(*body, "number").error().where, "number");
  EXPECT_EQ(text_of(*body, "long", 199).error().kind, ErrorKind::out_of_range);
  EXPECT_TRUE(text_of(*body, "long", 200));
  EXPECT_TRUE(*flag_of(*body, "flag"));
  EXPECT_FALSE(*flag_of(*body, "nothing"));
  EXPECT_EQ(flag_of(*body, "text").error().where, "text");
}

TEST(HttpMessage, NumbersOfTheQueryAreWholeOnes) {
  Request request;
  request.query = {{"a", "12"}, {"b", "-1"}, {"c", "1x"}, {"d", "99999999999999999999"}, {"e", ""}, {"f", " 1"}};
  EXPECT_EQ(*number_asked(request, "a", 5), 12U);
  EXPECT_EQ(*number_asked(request, "e", 5), 5U);
  EXPECT_EQ(*number_asked(request, "z", 5), 5U);
  for (const char* bad : {"b", "c", "d", "f"}) EXPECT_EQ(number_asked(request, bad, 5).error().where, bad);
}

// ISO/IEC 18004:2015, sections 6.3.1 (17 + 4 x version modules a side), 6.3.3 (finder patterns) and 6.3.5 (timing).
TEST(HttpQr, HasTheShapeOfACode) {
  for (const auto& text : {std::string("x"), std::string("http://192.168.1.20:8093/#/pair/12345678"), std::string(300, 'a')}) {
    const auto code = qr_code(text);
    EXPECT_EQ((code.size - 17) % 4, 0);
    const int version = (code.size - 17) / 4;
    EXPECT_GE(version, 1);
    EXPECT_LE(version, 40);
    ASSERT_EQ(code.dark.size(), static_cast<std::size_t>(code.size));
    const auto dark = [&](int x, int y) { return code.dark[static_cast<std::size_t>(y)].at(static_cast<std::size_t>(x)); };
    const int far = code.size - 7;
    for (const auto& [left, top] : {std::pair{0, 0}, std::pair{far, 0}, std::pair{0, far}})
      for (int y = 0; y < 7; ++y)
        for (int x = 0; x < 7; ++x) {
          const int ring = std::max(std::abs(x - 3), std::abs(y - 3));
          EXPECT_EQ(dark(left + x, top + y), ring != 2) << left << " " << top;
        }
    for (int i = 8; i < code.size - 8; ++i) {
      EXPECT_EQ(dark(i, 6), i % 2 == 0);
      EXPECT_EQ(dark(6, i), i % 2 == 0);
    }
    EXPECT_TRUE(code.svg_path().starts_with("M0 0h7v1h-7z"));
  }
}

}  // namespace
}  // namespace headroom::http
