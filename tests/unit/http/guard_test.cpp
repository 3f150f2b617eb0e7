#include "adapters/http/guard.h"

#include <gtest/gtest.h>

#include "unit/http/test_site.h"

namespace headroom::http {
namespace {

Request asked(Method method, std::map<std::string, std::string, std::less<>> headers, std::string peer = "127.0.0.1") {
  Request out;
  out.method = method;
  out.path = "/api/own/entries";
  out.peer = std::move(peer);
  out.headers = std::move(headers);
  return out;
}

const GuardRules kHere{{"127.0.0.1:8093", "localhost:8093"}, false};
const GuardRules kShared{{"127.0.0.1:8093", "192.168.1.20:8093"}, true};
constexpr const char* kPhone = "192.168.1.33";

// RFC 9110, section 7.2: the host asked for. Names are the same in capitals (section 4.2.3).
TEST(HttpGuard, AnswersToItsOwnNamesOnly) {
  const auto verdict = [](const char* host) { return judge(asked(Method::get, {{"host", host}}), kHere, false, false); };
  EXPECT_EQ(verdict("127.0.0.1:8093"), Verdict::allowed);
  EXPECT_EQ(verdict("LocalHost:8093"), Verdict::allowed);
  for (const char* host : {"", "127.0.0.1", "127.0.0.1:8094", "evil.example:8093", "127.0.0.1:8093.evil.example",
                           "127.0.0.1:8093, evil.example", "127.0.0.1:8093@evil.example"})
    EXPECT_EQ(verdict(host), Verdict::wrong_host) << host;
}

// RFC 6454, section 7: the origin of a change is this very address, scheme and port with it.
TEST(HttpGuard, AForeignOriginChangesNothing) {
  const auto verdict = [](const char* origin) {
    return judge(asked(Method::post, {{"host", "127.0.0.1:8093"}, {"origin", origin}, {"content-type", "application/json"}}),
                 kHere, false, false);
  };
  EXPECT_EQ(verdict("http://127.0.0.1:8093"), Verdict::allowed);
  for (const char* origin : {"null", "http://evil.example", "https://127.0.0.1:8093", "http://127.0.0.1",
                             "http://127.0.0.1:80930", "http://localhost:8093", "http://127.0.0.1:8093 http://evil.example"})
    EXPECT_EQ(verdict(origin), Verdict::foreign_origin) << origin;
  for (const auto method : {Method::remove, Method::other})
    EXPECT_EQ(judge(asked(method, {{"host", "127.0.0.1:8093"}, {"origin", "http://evil.example"}}), kHere, false, false),
              Verdict::foreign_origin);
}

// Fetch Metadata Request Headers (W3C), Sec-Fetch-Site. Another port of this machine is the same site, but not our page.
TEST(HttpGuard, WhatTheBrowserSaysOfTheSiteCounts) {
  const auto verdict = [](Method method, const char* site) {
    return judge(asked(method, {{"host", "127.0.0.1:8093"}, {"sec-fetch-site", site}, {"content-type", "application/json"}}),
                 kHere, false, false);
  };
  EXPECT_EQ(verdict(Method::post, "same-origin"), Verdict::allowed);
  for (const char* site : {"cross-site", "same-site", "none"}) EXPECT_EQ(verdict(Method::post, site), Verdict::foreign_origin);
  // Nor may another page make this one read: an address typed by hand may ("none").
  EXPECT_EQ(verdict(Method::get, "same-origin"), Verdict::allowed);
  EXPECT_EQ(verdict(Method::get, "none"), Verdict::allowed);
  EXPECT_EQ(verdict(Method::get, "cross-site"), Verdict::foreign_origin);
  EXPECT_EQ(verdict(Method::get, "same-site"), Verdict::foreign_origin);
}

// A link to the page itself, from anywhere, is followed.
TEST(HttpGuard, APageElsewhereMayLinkHere) {
  auto request = asked(Method::get, {{"host", "127.0.0.1:8093"}, {"sec-fetch-site", "cross-site"}});
  request.path = "/";
  EXPECT_EQ(judge(request, kHere, false, true), Verdict::allowed);
}

// Fetch Standard, "CORS-safelisted request-header": these three types a foreign form can send without asking.
TEST(HttpGuard, WhatAFormCanSendIsNotTaken) {
  const auto verdict = [](const char* type) {
    return judge(asked(Method::post, {{"host", "127.0.0.1:8093"}, {"content-type", type}}), kHere, false, false);
  };
  for (const char* type :
       {"", "text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x", "text/plain; application/json"})
    EXPECT_EQ(verdict(type), Verdict::wrong_type) << type;
  EXPECT_EQ(verdict("application/json"), Verdict::allowed);
  EXPECT_EQ(verdict("application/json; charset=utf-8"), Verdict::allowed);
  EXPECT_EQ(verdict("application/octet-stream"), Verdict::allowed);
}

TEST(HttpGuard, ANeighbourHasToBePaired) {
  const std::map<std::string, std::string, std::less<>> get = {{"host", "192.168.1.20:8093"}};
  auto post = get;
  post["content-type"] = "application/json";
  EXPECT_EQ(judge(asked(Method::get, get, kPhone), kShared, false, false), Verdict::not_paired);
  EXPECT_EQ(judge(asked(Method::get, get, kPhone), kShared, true, false), Verdict::allowed);
  EXPECT_EQ(judge(asked(Method::get, get, kPhone), kShared, false, true), Verdict::allowed);
  // Without an origin it is no browser, and not on this machine.
  EXPECT_EQ(judge(asked(Method::post, post, kPhone), kShared, true, false), Verdict::foreign_origin);
  post["origin"] = "http://192.168.1.20:8093";
  EXPECT_EQ(judge(asked(Method::post, post, kPhone), kShared, true, false), Verdict::allowed);
  auto alone = kShared;
  alone.share = false;
  EXPECT_EQ(judge(asked(Method::get, get, kPhone), alone, true, false), Verdict::not_paired);
}

// RFC 1122, section 3.2.1.3 (g): 127/8; RFC 4291, sections 2.5.3 and 2.5.5.2.
TEST(HttpGuard, KnowsItsOwnMachine) {
  for (const char* own : {"127.0.0.1", "127.8.9.1", "::1", "::ffff:127.0.0.1"}) EXPECT_TRUE(is_loopback(own)) << own;
  for (const char* other : {"", "128.0.0.1", "10.127.0.1", "::2", "::ffff:10.0.0.1", "12.7.0.1"})
    EXPECT_FALSE(is_loopback(other)) << other;
}

// RFC 7239, section 4; RFC 9110, section 7.6.3 (Via); the other two are common practice, no source.
TEST(HttpGuard, WhatIsForwardedIsNotHere) {
  for (const char* name : {"forwarded", "via", "x-forwarded-for", "x-real-ip"}) {
    auto request = asked(Method::get, {{"host", "127.0.0.1:8093"}, {name, ""}});
    EXPECT_EQ(judge(request, kShared, false, false), Verdict::not_paired) << name;
    EXPECT_EQ(judge(request, kShared, true, false), Verdict::allowed) << name;
    EXPECT_EQ(judge(request, kHere, true, false), Verdict::not_paired) << name;
    request.method = Method::post;
    request.headers["content-type"] = "application/json";
    EXPECT_EQ(judge(request, kShared, true, false), Verdict::foreign_origin) << name;
  }
}

// RFC 6265, section 4.2.1: pairs apart by "; ".
TEST(HttpGuard, ReadsOneCookieOfMany) {
  EXPECT_EQ(cookie_value("headroom_phone=abc", "headroom_phone"), "abc");
  EXPECT_EQ(cookie_value("a=1; headroom_phone=abc; b=2", "headroom_phone"), "abc");
  EXPECT_EQ(cookie_value("xheadroom_phone=abc", "headroom_phone"), "");
  EXPECT_EQ(cookie_value("a=headroom_phone=abc", "headroom_phone"), "");
  EXPECT_EQ(cookie_value("headroom_phone", "headroom_phone"), "");
  EXPECT_EQ(cookie_value("", "headroom_phone"), "");
  EXPECT_EQ(cookie_value(";;; ;headroom_phone=", "headroom_phone"), "");
}

}  // namespace
}  // namespace headroom::http
