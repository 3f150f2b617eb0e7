// The server as it stands on a port: what goes over the wire.
#include "adapters/http/server.h"

#include <arpa/inet.h>
#include <gtest/gtest.h>
#include <sys/socket.h>
#include <unistd.h>

#include <chrono>
#include <thread>

#include "adapters/http/connection.h"
#include "unit/http/test_site.h"

namespace headroom::http {
namespace {

using std::chrono::milliseconds;
using std::chrono::steady_clock;

// One connection, spoken to byte by byte.
class Wire {
 public:
  explicit Wire(int port) : socket_(::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0)) {
    sockaddr_in to{};
    to.sin_family = AF_INET;
    to.sin_port = htons(static_cast<std::uint16_t>(port));
    to.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    EXPECT_EQ(::connect(socket_, reinterpret_cast<sockaddr*>(&to), sizeof to), 0);
    const timeval wait{5, 0};
    setsockopt(socket_, SOL_SOCKET, SO_RCVTIMEO, &wait, sizeof wait);
  }
  Wire(const Wire&) = delete;
  Wire& operator=(const Wire&) = delete;
  ~Wire() { ::close(socket_); }

  void say(std::string_view bytes) {
    while (!bytes.empty()) {
      const auto n = ::send(socket_, bytes.data(), bytes.size(), MSG_NOSIGNAL);
      if (n <= 0) return;
      bytes.remove_prefix(static_cast<std::size_t>(n));
    }
  }
  // Up to the end of one answer, by its Content-Length (RFC 9112, section 6.2); `head`: of an answer without a body.
  std::string answer(bool head = false) {
    while (buffer_.find("\r\n\r\n") == std::string::npos)
      if (!more()) break;
    const auto end = buffer_.find("\r\n\r\n");
    if (end == std::string::npos) return std::exchange(buffer_, {});
    std::size_t length = 0;
    if (const auto at = buffer_.find("Content-Length: "); !head && at < end) length = std::stoul(buffer_.substr(at + 16));
    while (buffer_.size() < end + 4 + length)
      if (!more()) break;
    auto out = buffer_.substr(0, end + 4 + length);
    buffer_.erase(0, out.size());
    return out;
  }
  // All that comes until the other end closes, or five seconds pass.
  std::string rest() {
    while (more()) {
    }
    return std::exchange(buffer_, {});
  }

 private:
  bool more() {
    char piece[4096];
    const auto n = ::recv(socket_, piece, sizeof piece, 0);
    if (n <= 0) return false;
    buffer_.append(piece, static_cast<std::size_t>(n));
    return true;
  }
  int socket_;
  std::string buffer_;
};

int status_of(const std::string& answer) {
  return answer.starts_with("HTTP/1.1 ") ? std::stoi(answer.substr(9, 3)) : 0;
}

struct Running {
  TestSite world;
  Server server;
  int port = 0;
  std::thread thread;
  std::string host;

  explicit Running(ServerBounds bounds = {}) : server(*world.site, bounds) {
    const auto bound = server.bind("127.0.0.1", 0);
    EXPECT_TRUE(bound);
    port = bound ? *bound : 0;
    host = "127.0.0.1:" + std::to_string(port);
    server.answer_to({"127.0.0.1"});
    thread = std::thread([this] { server.run(); });
  }
  Running(const Running&) = delete;
  Running& operator=(const Running&) = delete;
  ~Running() {
    if (!thread.joinable()) return;
    server.stop();
    thread.join();
  }
  void stop() {
    server.stop();
    thread.join();
  }
  [[nodiscard]] std::string head(const std::string& line, const std::string& more = {}) const {
    return line + " HTTP/1.1\r\nHost: " + host + "\r\n" + more + "\r\n";
  }
  [[nodiscard]] std::string with_body(const std::string& line, const std::string& body, const std::string& more = {}) const {
    return head(line, more + "Content-Length: " + std::to_string(body.size()) + "\r\n") + body;
  }
  std::string ask(const std::string& bytes) {
    Wire wire(port);
    wire.say(bytes);
    return wire.answer();
  }
  // A request that writes a note, as the page sends it.
  [[nodiscard]] std::string a_note() const {
    return with_body("POST /api/own/entries", R"({"entries":[{"kind":"note","text":"smuggled in"}]})",
                     "Content-Type: application/json\r\n");
  }
  [[nodiscard]] std::uint64_t entries() { return json_of(world.get("/api/own/entries"))["total"].get<std::uint64_t>(); }
};

constexpr const char* kJson = "Content-Type: application/json\r\n";

TEST(HttpServer, AnswersGetAndKeepsTheConnection) {
  Running running;
  Wire wire(running.port);
  for (int i = 0; i < 3; ++i) {
    wire.say(running.head("GET /api/hello"));
    const auto answer = wire.answer();
    EXPECT_EQ(status_of(answer), 200);
    EXPECT_NE(answer.find("X-Content-Type-Options: nosniff"), std::string::npos);
  }
}

// A list of entries took half a second to compress for a browser on the same machine; the page's own files were compressed twice.
TEST(HttpServer, NothingIsCompressedForThisMachineAndNothingTwice) {
  Running running;
  const std::string accepts = "Accept-Encoding: gzip, deflate, br\r\n";
  ASSERT_EQ(status_of(running.ask(running.a_note())), 201);
  const auto made = running.ask(running.head("GET /api/own/entries", accepts));
  EXPECT_EQ(status_of(made), 200);
  EXPECT_EQ(made.find("Content-Encoding"), std::string::npos);
  const auto page = running.ask(running.head("GET /", accepts));
  EXPECT_EQ(status_of(page), 200);
  const auto first = page.find("Content-Encoding: gzip\r\n");
  EXPECT_NE(first, std::string::npos);
  EXPECT_EQ(page.find("Content-Encoding", first + 1), std::string::npos);
  EXPECT_NE(page.find("Content-Security-Policy: default-src 'none'"), std::string::npos);
  EXPECT_TRUE(page.ends_with("stands for a page that is compressed"));
}

// RFC 9110, section 9.3.2: HEAD is GET without the content.
TEST(HttpServer, HeadHasNoBody) {
  Running running;
  Wire wire(running.port);
  wire.say(running.head("HEAD /api/hello"));
  EXPECT_EQ(status_of(wire.answer(true)), 200);
  wire.say(running.head("GET /api/hello"));
  EXPECT_TRUE(wire.answer().starts_with("HTTP/1.1 200")) << "a body came after HEAD";
}

// RFC 9110, section 14.2: a server may ignore Range.
TEST(HttpServer, IgnoresRange) {
  Running running;
  const auto whole = running.ask(running.head("GET /api/hello"));
  for (const char* range : {"bytes=0-3", "bytes=5000-9000", "bytes=-1"}) {
    const auto answer = running.ask(running.head("GET /api/hello", std::string("Range: ") + range + "\r\n"));
    EXPECT_EQ(status_of(answer), 200) << range;
    EXPECT_EQ(answer.substr(answer.find("\r\n\r\n")), whole.substr(whole.find("\r\n\r\n")));
  }
}

// RFC 9110, sections 7.2 and 15.5.20. RFC 9112, section 3.2: of two Host lines none is believed.
TEST(HttpServer, AnotherHostIsMisdirected) {
  Running running;
  EXPECT_EQ(status_of(running.ask("GET /api/hello HTTP/1.1\r\nHost: evil.example\r\n\r\n")), 421);
  EXPECT_EQ(status_of(running.ask("GET /api/hello HTTP/1.1\r\n\r\n")), 421);
  EXPECT_EQ(status_of(running.ask("GET /api/hello HTTP/1.1\r\nHost: " + running.host + "\r\nHost: evil.example\r\n\r\n")), 421);
}

TEST(HttpServer, WhatIsForwardedNeedsPairing) {
  Running running;
  for (const char* header :
       {"Forwarded: for=192.0.2.60", "Via: 1.1 other", "X-Forwarded-For: 192.0.2.60", "x-real-ip: 192.0.2.60"})
    EXPECT_EQ(status_of(running.ask(running.head("GET /api/own/entries", std::string(header) + "\r\n"))), 401) << header;
}

TEST(HttpServer, ChangesOnlyForItsOwnPage) {
  Running running;
  const std::string body = R"({"entries":[{"kind":"note","text":"x"}]})", own = "Origin: http://" + running.host + "\r\n";
  const auto post = [&](const std::string& headers) {
    return status_of(running.ask(running.with_body("POST /api/own/entries", body, headers)));
  };
  EXPECT_EQ(post(std::string(kJson) + "Origin: http://evil.example\r\n"), 403);
  EXPECT_EQ(post(std::string(kJson) + "Origin: null\r\n"), 403);
  EXPECT_EQ(post(std::string(kJson) + own + "Origin: http://evil.example\r\n"), 403);
  EXPECT_EQ(post("Content-Type: text/plain\r\n" + own), 415);
  EXPECT_EQ(running.entries(), 0U);
  EXPECT_EQ(post(kJson + own), 201);
}

// RFC 9110, section 15.5.6: 405 comes with Allow.
TEST(HttpServer, AnotherMethodIsTold) {
  Running running;
  const auto answer = running.ask(running.with_body("PUT /api/own/entries", "{}", kJson));
  EXPECT_EQ(status_of(answer), 405);
  EXPECT_NE(answer.find("Allow: GET, HEAD, POST\r\n"), std::string::npos) << answer;
  EXPECT_EQ(status_of(running.ask(running.head("DELETE /api/hello"))), 405);
  EXPECT_EQ(status_of(running.ask(running.head("GET /api/nothing"))), 404);
}

// RFC 9112, section 6.3: a request without a length has no body. It is not waited for.
TEST(HttpServer, APostWithoutALengthHasNoBody) {
  Running running;
  const auto begun = steady_clock::now();
  EXPECT_EQ(status_of(running.ask(running.head("POST /api/own/verify", kJson))), 202);
  EXPECT_LT(steady_clock::now() - begun, milliseconds(1500));
}

TEST(HttpServer, ABodyThatIsTooLargeIsTold) {
  Running running({1000, 5000, 4, 10, 10, 2});
  const auto json = running.with_body("POST /api/own/entries", std::string(1001, ' '), kJson);
  EXPECT_EQ(status_of(running.ask(json)), 413);
  const std::string bytes = "Content-Type: application/octet-stream\r\n";
  EXPECT_EQ(status_of(running.ask(running.with_body("POST /api/own/recordings", std::string(5001, 'x'), bytes))), 413);
  // The same without a length told first (RFC 9112, section 7.1).
  std::string chunked = running.head("POST /api/own/recordings", bytes + "Transfer-Encoding: chunked\r\n");
  for (int i = 0; i < 6; ++i) chunked += "3e8\r\n" + std::string(1000, 'x') + "\r\n";
  EXPECT_EQ(status_of(running.ask(chunked + "0\r\n\r\n")), 413);
}

// A request hidden in what belongs to another one must never be read as one (RFC 9112, section 11.2): a foreign page may send
// plain text anywhere, with a body that holds a request of ours. 4096 bytes are read ahead, so that the hidden one begins at the
// next ones.
class HttpServerSmuggled : public ::testing::TestWithParam<const char*> {};

TEST_P(HttpServerSmuggled, IsNotExecuted) {
  Running running;
  const std::string how = GetParam();
  const std::string foreign = "Origin: http://evil.example\r\n", plain = "Content-Type: text/plain\r\n";
  std::string line = "POST /api/own/entries", more = plain + foreign;
  if (how == "foreign origin") more = kJson + foreign;
  if (how == "plain text") more = plain;
  if (how == "body of GET") line = "GET /api/hello";
  if (how == "body of HEAD") line = "HEAD /api/hello";
  if (how == "body of OPTIONS") line = "OPTIONS /api/hello";
  if (how == "over-long address") line += "?" + std::string(9000, 'a');
  if (how == "over-long header") more += "Referer: " + std::string(9000, 'a') + "\r\n";
  if (how == "unknown method") line = "BREW /api/own/entries";
  if (how == "unknown path") line = "POST /api/nothing";
  if (how == "length of no number") more += "Content-Length: x\r\n";
  constexpr std::size_t kReadAhead = 4096;
  std::string bytes, padding;
  do {
    bytes = running.with_body(line, padding + running.a_note(), more);
    padding += ' ';
  } while ((bytes.size() - running.a_note().size()) % kReadAhead != 0);
  Wire wire(running.port);
  wire.say(bytes);
  const auto all = wire.rest();
  EXPECT_EQ(running.entries(), 0U) << all.substr(0, 3000);
}

INSTANTIATE_TEST_SUITE_P(Ways, HttpServerSmuggled,
                         ::testing::Values("foreign origin", "plain text", "body of GET", "body of HEAD", "body of OPTIONS",
                                           "over-long address", "over-long header", "unknown method", "unknown path",
                                           "length of no number"));

TEST(HttpServer, StopsWhileAJobIsFollowed) {
  Running running;
  std::atomic<bool> ended{false};
  const auto job = running.world.site->jobs().start([&](Progress& progress) -> Result<AnswerJson> {
    while (!progress.stop_requested()) std::this_thread::sleep_for(milliseconds(5));
    ended = true;
    return fail(ErrorKind::refused, "stopped");
  });
  ASSERT_TRUE(job);
  Wire wire(running.port), idle(running.port);
  idle.say(running.head("GET /api/hello"));
  (void)idle.answer();
  wire.say(running.head("GET /api/jobs/" + *job + "/events"));
  EXPECT_EQ(status_of(wire.answer()), 200);
  const auto begun = steady_clock::now();
  running.stop();
  EXPECT_LT(steady_clock::now() - begun, milliseconds(3000));
  EXPECT_TRUE(ended);
}

// A stop that comes before the first request was waited for used to be lost, and the program went on for ever.
TEST(HttpServer, StopsBeforeItHasBegun) {
  for (int i = 0; i < 20; ++i) {
    TestSite world;
    Server server(*world.site);
    ASSERT_TRUE(server.bind("127.0.0.1", 0));
    std::thread thread([&] { server.run(); });
    if (i % 2 == 0) std::this_thread::sleep_for(std::chrono::microseconds(i * 50));
    server.stop();
    thread.join();
  }
}

TEST(HttpServer, AStreamThatFailsEndsItsConnectionAlone) {
  Running running;
  const auto job = running.world.site->jobs().start([](Progress&) -> Result<AnswerJson> { throw std::runtime_error("broken"); });
  ASSERT_TRUE(job);
  const auto answer = running.ask(running.head("GET /api/jobs/" + *job + "/events", "Connection: close\r\n"));
  EXPECT_EQ(status_of(answer), 200);
  EXPECT_EQ(status_of(running.ask(running.head("GET /api/hello"))), 200);
}

TEST(HttpServer, MoreConnectionsThanThreadsAreAnsweredInTurn) {
  Running running({1U << 20, 1U << 20, 2, 5, 5, 1});
  std::vector<std::thread> askers;
  std::atomic<int> answered{0};
  for (int i = 0; i < 12; ++i)
    askers.emplace_back([&] {
      const auto status = status_of(running.ask(running.head("GET /api/hello", "Connection: close\r\n")));
      if (status == 200 || status == 503) ++answered;
    });
  for (auto& t : askers) t.join();
  EXPECT_EQ(answered, 12);
}

// A head that comes a byte at a time used to hold its thread for as long as the bytes kept coming.
TEST(HttpServer, AHeadThatDoesNotEndIsNotWaitedFor) {
  ServerBounds bounds;
  bounds.head_seconds = 1;
  Running running(bounds);
  Wire wire(running.port);
  wire.say("GET /api/hello HTTP/1.1\r\nHost: ");
  std::atomic<bool> over{false};
  std::thread slow([&] {
    while (!over) {
      wire.say("a");
      std::this_thread::sleep_for(milliseconds(100));
    }
  });
  const auto begun = steady_clock::now();
  const auto all = wire.rest();
  const auto took = steady_clock::now() - begun;
  over = true;
  slow.join();
  EXPECT_EQ(all.find("HTTP/1.1 200"), std::string::npos);
  EXPECT_LT(took, milliseconds(4500)) << "five seconds are this test's own patience";
}

TEST(HttpServer, EndsAtOnceWhenItIsStoppedWithConnectionsOpen) {
  ServerBounds bounds;
  bounds.keep_alive_seconds = bounds.head_seconds = bounds.read_seconds = 60;
  Running running(bounds);
  Wire idle(running.port), half(running.port), body(running.port);
  idle.say(running.head("GET /api/hello"));
  EXPECT_EQ(status_of(idle.answer()), 200);
  half.say("GET /api/hel");
  body.say(running.head("POST /api/own/entries", std::string(kJson) + "Content-Length: 1000\r\n"));
  std::this_thread::sleep_for(milliseconds(100));
  const auto begun = steady_clock::now();
  running.stop();
  EXPECT_LT(steady_clock::now() - begun, milliseconds(3000));
}

TEST(HttpServer, AllBodiesTogetherHaveABound) {
  ServerBounds bounds;
  bounds.all_bodies = 6000;
  Running running(bounds);
  const std::string bytes = "Content-Type: application/octet-stream\r\n";
  Wire first(running.port);
  // Waits for the rest of its body: what has come of it is on the disk.
  first.say(running.head("POST /api/own/recordings", bytes + "Content-Length: 5000\r\n") + std::string(4900, 'x'));
  std::this_thread::sleep_for(milliseconds(200));
  const auto second = running.ask(running.with_body("POST /api/own/recordings", std::string(3000, 'x'), bytes));
  EXPECT_EQ(status_of(second), 503) << second;
  EXPECT_NE(second.find("Retry-After: "), std::string::npos);
  EXPECT_EQ(status_of(running.ask(running.head("GET /api/hello"))), 200);
}

TEST(HttpConnections, NoAddressTakesMoreThanItsShareAndThisMachineFindsAPlace) {
  Connections connections({10, 3, 4});
  for (int i = 0; i < 4; ++i) EXPECT_TRUE(connections.enter("192.0.2.1"));
  EXPECT_FALSE(connections.enter("192.0.2.1"));
  for (int i = 0; i < 3; ++i) EXPECT_TRUE(connections.enter("192.0.2.2"));
  EXPECT_FALSE(connections.enter("192.0.2.3")) << "seven of ten are taken, three are kept for this machine";
  for (int i = 0; i < 20; ++i) EXPECT_TRUE(connections.enter("127.0.0.1"));
  connections.leave("192.0.2.1");
  EXPECT_TRUE(connections.enter("192.0.2.3"));
  connections.leave("192.0.2.1");
  EXPECT_TRUE(connections.enter("192.0.2.1"));
}

TEST(HttpServer, ATakenPortIsToldWithWhatToDo) {
  Running running;
  TestSite world;
  Server second(*world.site);
  const auto bound = second.bind("127.0.0.1", running.port);
  ASSERT_FALSE(bound);
  EXPECT_EQ(bound.error().kind, ErrorKind::refused);
  EXPECT_NE(bound.error().what.find(std::to_string(running.port)), std::string::npos);
  EXPECT_NE(bound.error().what.find("--port"), std::string::npos);
}

}  // namespace
}  // namespace headroom::http
