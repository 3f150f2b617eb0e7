#include "adapters/http/jobs.h"

#include <gtest/gtest.h>

#include <future>
#include <thread>

namespace headroom::http {
namespace {

using std::chrono::milliseconds;

// All that one listener hears of a job, to its end.
std::string heard(Jobs& jobs, const std::string& id) {
  const auto stream = jobs.follow(id);
  EXPECT_TRUE(stream);
  std::string out;
  if (stream)
    (*stream)([&](std::string_view piece) {
      out += piece;
      return true;
    });
  return out;
}

TEST(HttpJobs, AreDoneOneAfterTheOtherInTheirOrder) {
  Jobs jobs;
  std::string order;
  std::promise<void> go;
  auto gone = go.get_future().share();
  std::vector<std::string> ids;
  for (const char c : {'a', 'b', 'c'}) {
    const auto id = jobs.start([&order, c, gone](Progress&) -> Result<AnswerJson> {
      gone.wait();
      order += c;
      return AnswerJson{{"done", std::string(1, c)}};
    });
    ASSERT_TRUE(id);
    ids.push_back(*id);
  }
  go.set_value();
  EXPECT_NE(heard(jobs, ids[2]).find("event: done\ndata: {\"answer\":{\"done\":\"c\"}}\n\n"), std::string::npos);
  EXPECT_EQ(order, "abc");
}

// HTML Standard, section 9.2.6: an event is lines of "field: value" and ends with an empty one.
TEST(HttpJobs, TellTheirProgressAsEvents) {
  Jobs jobs;
  std::promise<void> go;
  const auto id = jobs.start([&, gone = go.get_future().share()](Progress& progress) -> Result<AnswerJson> {
    gone.wait();
    progress.step("reading \"one\"\nof two", 1, 2);
    std::this_thread::sleep_for(milliseconds(60));
    return AnswerJson{{"n", 1}};
  });
  ASSERT_TRUE(id);
  std::string out;
  const auto stream = jobs.follow(*id);
  ASSERT_TRUE(stream);
  std::thread listener([&] {
    (*stream)([&](std::string_view piece) {
      out += piece;
      return true;
    });
  });
  go.set_value();
  listener.join();
  EXPECT_NE(out.find("event: step\ndata: {\"what\":\"reading \\\"one\\\"\\nof two\",\"done\":1,\"of\":2}\n\n"), std::string::npos)
      << out;
  EXPECT_TRUE(out.ends_with("event: done\ndata: {\"answer\":{\"n\":1}}\n\n")) << out;
}

TEST(HttpJobs, AFailureIsTold) {
  Jobs jobs;
  const auto failed =
      jobs.start([](Progress&) -> Result<AnswerJson> { return fail(ErrorKind::bad_input, "not so", "--wind-aloft"); });
  const auto thrown = jobs.start([](Progress&) -> Result<AnswerJson> { throw std::runtime_error("broken"); });
  const auto after = jobs.start([](Progress&) -> Result<AnswerJson> { return AnswerJson{{"n", 2}}; });
  ASSERT_TRUE(failed && thrown && after);
  EXPECT_NE(
      heard(jobs, *failed)
          .find("event: failed\ndata: {\"error\":{\"kind\":\"bad_input\",\"what\":\"not so\",\"where\":\"wind_aloft\"}}\n\n"),
      std::string::npos);
  EXPECT_NE(heard(jobs, *thrown).find("event: failed"), std::string::npos);
  EXPECT_NE(heard(jobs, *after).find("event: done"), std::string::npos) << "the next one is done all the same";
}

TEST(HttpJobs, CanBeFollowedAfterTheEnd) {
  Jobs jobs;
  const auto id = jobs.start([](Progress&) -> Result<AnswerJson> { return AnswerJson{{"n", 1}}; });
  ASSERT_TRUE(id);
  const auto first = heard(jobs, *id), again = heard(jobs, *id);
  EXPECT_EQ(again, "event: done\ndata: {\"answer\":{\"n\":1}}\n\n");
  EXPECT_TRUE(first.ends_with(again));
  EXPECT_FALSE(jobs.follow("nothing"));
}

TEST(HttpJobs, AListenerThatIsGoneIsNoMoreWrittenTo) {
  Jobs jobs;
  const auto id = jobs.start([](Progress&) -> Result<AnswerJson> { return AnswerJson{{"n", 1}}; });
  ASSERT_TRUE(id);
  (void)heard(jobs, *id);
  const auto stream = jobs.follow(*id);
  int written = 0;
  (*stream)([&](std::string_view) {
    ++written;
    return false;
  });
  EXPECT_EQ(written, 1);
}

TEST(HttpJobs, StopEndsTheRunningOneAndItsListeners) {
  Jobs jobs;
  std::promise<void> begun;
  const auto running = jobs.start([&](Progress& progress) -> Result<AnswerJson> {
    begun.set_value();
    while (!progress.stop_requested()) std::this_thread::sleep_for(milliseconds(1));
    return fail(ErrorKind::refused, "stopped");
  });
  bool ran = false;
  const auto waiting = jobs.start([&](Progress&) -> Result<AnswerJson> {
    ran = true;
    return AnswerJson{};
  });
  ASSERT_TRUE(running && waiting);
  begun.get_future().wait();
  std::thread listener([&] { (void)heard(jobs, *waiting); });
  jobs.stop();
  listener.join();
  EXPECT_FALSE(ran);
  EXPECT_FALSE(jobs.start([](Progress&) -> Result<AnswerJson> { return AnswerJson{}; }));
}

TEST(HttpJobs, DoNotPileUp) {
  Jobs jobs;
  std::promise<void> go;
  auto gone = go.get_future().share();
  std::size_t taken = 0;
  for (std::size_t i = 0; i < Jobs::kMostWaiting + 10; ++i)
    if (jobs.start([gone](Progress&) -> Result<AnswerJson> {
          gone.wait();
          return AnswerJson{};
        }))
      ++taken;
  go.set_value();
  EXPECT_GE(taken, Jobs::kMostWaiting);
  EXPECT_LE(taken, Jobs::kMostWaiting + 1) << "one may run beside those that wait";
}

}  // namespace
}  // namespace headroom::http
