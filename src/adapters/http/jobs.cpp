#include "adapters/http/jobs.h"

#include <chrono>
#include <optional>

namespace headroom::http {

struct Jobs::Job {
  std::string id;
  JobWork work;
  std::uint64_t version = 0;  // counts what has happened
  std::string what;
  std::uint64_t done = 0, of = 0;
  std::optional<std::string> end;  // the last event, ready to be sent
};

namespace {

// Tells a job's steps to those who listen, not more often than they can be read.
class JobProgress final : public Progress {
 public:
  JobProgress(std::function<void(std::string_view, std::uint64_t, std::uint64_t)> tell, const std::atomic<bool>& stopping)
      : tell_(std::move(tell)), stopping_(stopping) {}
  void step(std::string_view what, std::uint64_t done, std::uint64_t of) override {
    const auto now = std::chrono::steady_clock::now();
    if (now - told_ < std::chrono::milliseconds(100)) return;
    told_ = now;
    tell_(what, done, of);
  }
  [[nodiscard]] bool stop_requested() const override { return stopping_; }

 private:
  std::function<void(std::string_view, std::uint64_t, std::uint64_t)> tell_;
  const std::atomic<bool>& stopping_;
  std::chrono::steady_clock::time_point told_{};
};

std::string event_text(const char* name, const AnswerJson& data) {
  return std::string("event: ") + name + "\ndata: " + answer_text_for_page(data) + "\n\n";
}

}  // namespace

Jobs::Jobs() : thread_([this] { work(); }) {}

Jobs::~Jobs() {
  stop();
}

void Jobs::stop() {
  {
    const std::lock_guard lock(mutex_);
    stopping_ = true;
  }
  changed_.notify_all();
  if (thread_.joinable()) thread_.join();
}

Result<std::string> Jobs::start(JobWork work) {
  const std::lock_guard lock(mutex_);
  if (stopping_) return fail(ErrorKind::refused, "the program is stopping; nothing was begun");
  if (waiting_.size() >= kMostWaiting) return fail(ErrorKind::refused, "too much is waiting already; try again in a moment");
  auto job = std::make_shared<Job>();
  job->id = std::to_string(next_++);
  job->work = std::move(work);
  jobs_[job->id] = job;
  order_.push_back(job->id);
  while (order_.size() > kMostKept + kMostWaiting) {
    jobs_.erase(order_.front());
    order_.pop_front();
  }
  waiting_.push_back(job);
  changed_.notify_all();
  return job->id;
}

void Jobs::work() {
  std::unique_lock lock(mutex_);
  while (true) {
    changed_.wait(lock, [&] { return stopping_ || !waiting_.empty(); });
    if (stopping_) return;
    const auto job = waiting_.front();
    waiting_.pop_front();
    auto doing = std::move(job->work);
    lock.unlock();
    JobProgress progress(
        [&](std::string_view what, std::uint64_t done, std::uint64_t of) {
          const std::lock_guard inner(mutex_);
          job->what = what;
          job->done = done;
          job->of = of;
          ++job->version;
          changed_.notify_all();
        },
        stopping_);
    std::string end;
    try {
      const auto answer = doing(progress);
      end = answer ? event_text("done", {{"answer", *answer}}) : event_text("failed", {{"error", error_json(answer.error())}});
    } catch (const std::exception& e) {
      end = event_text("failed",
                       {{"error", {{"kind", "failed"}, {"what", std::string("a mistake of ours: ") + e.what()}, {"where", ""}}}});
    }
    doing = nullptr;  // gives up what the job held, an uploaded file, before it is told as done
    lock.lock();
    job->end = std::move(end);
    ++job->version;
    changed_.notify_all();
  }
}

Result<std::function<void(const StreamWrite&)>> Jobs::follow(const std::string& id) {
  const std::lock_guard lock(mutex_);
  const auto found = jobs_.find(id);
  if (found == jobs_.end()) return fail(ErrorKind::not_found, "that work is not known any more");
  return [this, job = found->second](const StreamWrite& write) {
    std::uint64_t seen = 0;
    while (true) {
      std::string event;
      bool last = false;
      {
        std::unique_lock inner(mutex_);
        // A comment now and then finds out whether anybody listens still.
        (void)changed_.wait_for(inner, std::chrono::seconds(2), [&] { return stopping_ || job->version != seen; });
        if (stopping_ && !job->end) return;
        if (job->version == seen) {
          event = ":\n\n";
        } else {
          seen = job->version;
          last = job->end.has_value();
          event = last ? *job->end : event_text("step", {{"what", job->what}, {"done", job->done}, {"of", job->of}});
        }
      }
      if (!write(event) || last) return;
    }
  };
}

}  // namespace headroom::http
