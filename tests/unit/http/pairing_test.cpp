#include "adapters/http/pairing.h"

#include <gtest/gtest.h>

#include "support/fake_random.h"
#include "support/memory_files.h"
#include "unit/http/test_site.h"

namespace headroom::http {
namespace {

const UtcTime kNow = utc(2026, 11, 25, 12);

struct World {
  MemoryFiles files;
  FakeRandom random{3};
  Pairing pairing{"phones", files, random};
};

std::string wrong_of(std::string code) {
  code[0] = code[0] == '9' ? '0' : static_cast<char>(code[0] + 1);
  return code;
}

TEST(HttpPairing, ACodeIsGoodOnce) {
  World world;
  const auto code = world.pairing.code(kNow);
  ASSERT_EQ(code.size(), 8U);
  EXPECT_EQ(code.find_first_not_of("0123456789"), std::string::npos);
  EXPECT_EQ(world.pairing.code(kNow), code) << "it is shown again while it is good";
  const auto token = world.pairing.redeem(code.substr(0, 4) + " " + code.substr(4), kNow);
  ASSERT_TRUE(token && *token);
  EXPECT_EQ((*token)->size(), 64U);
  EXPECT_TRUE(world.pairing.knows(**token, kNow));
  EXPECT_FALSE(world.pairing.knows((*token)->substr(1), kNow));
  EXPECT_FALSE(world.pairing.knows("", kNow));
  const auto again = world.pairing.redeem(code, kNow);
  ASSERT_TRUE(again);
  EXPECT_FALSE(*again);
  EXPECT_NE(world.pairing.code(kNow), code);
}

TEST(HttpPairing, ACodeLastsTenMinutes) {
  World world;
  const auto code = world.pairing.code(kNow);
  const auto last = kNow + std::chrono::minutes(10);
  const auto late = world.pairing.redeem(code, last);
  ASSERT_TRUE(late);
  EXPECT_FALSE(*late);
  const auto other = world.pairing.new_code(kNow);
  const auto in_time = world.pairing.redeem(other, last - std::chrono::milliseconds(1));
  ASSERT_TRUE(in_time);
  EXPECT_TRUE(*in_time);
}

TEST(HttpPairing, FiveWrongOnesEndACode) {
  World world;
  const auto code = world.pairing.code(kNow);
  for (int i = 0; i < 4; ++i) EXPECT_FALSE(*world.pairing.redeem(wrong_of(code), kNow));
  World other;
  const auto same = other.pairing.code(kNow);
  for (int i = 0; i < 5; ++i) EXPECT_FALSE(*other.pairing.redeem(wrong_of(same), kNow));
  EXPECT_TRUE(*world.pairing.redeem(code, kNow)) << "four are forgiven";
  EXPECT_FALSE(*other.pairing.redeem(same, kNow)) << "five are not";
}

TEST(HttpPairing, NoCodeIsGoodBeforeOneIsShown) {
  World world;
  for (const char* tried : {"", "0", "00000000"}) EXPECT_FALSE(*world.pairing.redeem(tried, kNow));
}

TEST(HttpPairing, APhoneIsKnownAfterARestartAndCanBeForgotten) {
  World world;
  const auto token = world.pairing.redeem(world.pairing.code(kNow), kNow);
  ASSERT_TRUE(token && *token);
  EXPECT_EQ(world.files.files["phones"].find(**token), std::string::npos) << "only its hash is kept";
  Pairing later("phones", world.files, world.random);
  EXPECT_TRUE(later.knows(**token, kNow));
  ASSERT_EQ(later.phones(kNow).size(), 1U);
  EXPECT_EQ(later.phones(kNow)[0].since, kNow);
  EXPECT_FALSE(later.forget("nothing"));
  EXPECT_TRUE(later.forget(later.phones(kNow)[0].mark));
  EXPECT_FALSE(later.knows(**token, kNow));
  EXPECT_FALSE(Pairing("phones", world.files, world.random).knows(**token, kNow));
}

TEST(HttpPairing, WhatCannotBeKeptIsNotPaired) {
  World world;
  const auto code = world.pairing.code(kNow);
  world.files.writes_left = 0;
  const auto full = world.pairing.redeem(code, kNow);
  ASSERT_FALSE(full);
  EXPECT_EQ(full.error().kind, ErrorKind::io);
  EXPECT_TRUE(world.pairing.phones(kNow).empty());
  world.files.writes_left = 10;
  EXPECT_TRUE(*world.pairing.redeem(code, kNow)) << "the code was not used up";
}

TEST(HttpPairing, AFileOfNonsenseHoldsNoPhone) {
  World world;
  world.files.files["phones"] = "hello\n\n" + std::string(70, 'a') + "\n" + std::string(64, 'f') + " yesterday\n";
  EXPECT_TRUE(Pairing("phones", world.files, world.random).phones(kNow).empty());
}

// A disk that did not answer once made every phone a stranger: the next pairing wrote a list of one.
TEST(HttpPairing, AListThatCannotBeReadIsNotWrittenOver) {
  World world;
  const std::string large(70000, 'a');
  world.files.files["phones"] = large;
  Pairing later("phones", world.files, world.random);
  const auto code = later.code(kNow);
  const auto refused = later.redeem(code, kNow);
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().kind, ErrorKind::io);
  EXPECT_EQ(world.files.files["phones"], large);
}

TEST(HttpPairing, ALineThatIsNotUnderstoodStays) {
  World world;
  const std::string line = std::string(64, 'f') + " in a form of later versions";
  world.files.files["phones"] = line + "\n";
  Pairing later("phones", world.files, world.random);
  ASSERT_TRUE(*later.redeem(later.code(kNow), kNow));
  EXPECT_NE(world.files.files["phones"].find(line), std::string::npos);
  EXPECT_EQ(Pairing("phones", world.files, world.random).phones(kNow).size(), 1U);
}

TEST(HttpPairing, ATokenLastsAYear) {
  World world;
  const auto token = world.pairing.redeem(world.pairing.code(kNow), kNow);
  ASSERT_TRUE(token && *token);
  const auto last = kNow + std::chrono::hours(24 * 365);
  EXPECT_TRUE(world.pairing.knows(**token, last - std::chrono::milliseconds(1)));
  EXPECT_FALSE(world.pairing.knows(**token, last));
  EXPECT_TRUE(world.pairing.phones(last).empty());
}

TEST(HttpPairing, OverHttpACookieIsGivenAndCodesAreShownHereOnly) {
  TestSite world(true);
  world.rules.share = true;
  const auto shown = json_of(world.get("/api/pairing"));
  const auto code = shown["code"].get<std::string>();
  auto phone = world.request(Method::post, "/api/pair");
  phone.peer = "192.168.1.33";
  phone.headers["origin"] = "http://127.0.0.1:8093";
  phone.body = AnswerJson{{"code", code}}.dump();
  const auto paired = world.ask(phone);
  ASSERT_EQ(paired.status, 204);
  const auto cookie = header_of(paired, "Set-Cookie");
  // RFC 6265, section 4.1.2.6; SameSite: RFC 6265bis, section 4.1.2.7.
  for (const char* part : {"headroom_phone=", "; HttpOnly", "; SameSite=Strict", "; Path=/"})
    EXPECT_NE(cookie.find(part), std::string::npos) << cookie;
  auto reads = world.request(Method::get, "/api/own/entries");
  reads.peer = phone.peer;
  EXPECT_EQ(world.ask(reads).status, 401);
  reads.headers["cookie"] = cookie.substr(0, cookie.find(';'));
  EXPECT_EQ(world.ask(reads).status, 200);
  reads.path = "/api/pairing";
  EXPECT_EQ(world.ask(reads).status, 409) << "a phone lets no other in";
  reads.peer = "127.0.0.1";
  EXPECT_EQ(world.ask(reads).status, 200);
  reads.headers["x-forwarded-for"] = phone.peer;
  EXPECT_EQ(world.ask(reads).status, 409) << "nor does it through a forwarder on this machine";
}

}  // namespace
}  // namespace headroom::http
