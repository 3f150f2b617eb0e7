#pragma once
// Work that takes longer than a request: done by one thread, in the order it came, its progress told to who listens.
#include <atomic>
#include <condition_variable>
#include <deque>
#include <functional>
#include <map>
#include <memory>
#include <mutex>
#include <string>
#include <thread>

#include "adapters/http/message.h"
#include "app/ports.h"

namespace headroom::http {

// What a job ends with: an answer or an error.
using JobWork = std::function<Result<AnswerJson>(Progress&)>;

class Jobs {
 public:
  Jobs();
  ~Jobs();  // asks the running job to stop and waits for it; those that wait are dropped
  Jobs(const Jobs&) = delete;
  Jobs& operator=(const Jobs&) = delete;

  // The job's id. refused when kMostWaiting wait already.
  [[nodiscard]] Result<std::string> start(JobWork work);
  // Writes what has happened of the job and what happens, as server-sent events (HTML, section 9.2): "step" {what, done, of},
  // then one "done" {answer} or "failed" {error}. not_found for a job that is not known; the last hundred are.
  [[nodiscard]] Result<std::function<void(const StreamWrite&)>> follow(const std::string& id);
  void stop();
  [[nodiscard]] bool stopping() const { return stopping_; }

  static constexpr std::size_t kMostWaiting = 64, kMostKept = 100;

 private:
  struct Job;
  void work();

  std::mutex mutex_;
  std::condition_variable changed_;
  std::map<std::string, std::shared_ptr<Job>> jobs_;
  std::deque<std::shared_ptr<Job>> waiting_;
  std::deque<std::string> order_;
  std::uint64_t next_ = 1;
  std::atomic<bool> stopping_{false};
  std::thread thread_;
};

}  // namespace headroom::http
