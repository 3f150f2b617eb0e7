#include "app/next_entry.h"

#include <algorithm>

namespace headroom {

namespace {

using What = NextEntry::What;

bool is_unknown(const Brief& brief, std::string_view id) {
  return std::any_of(brief.margins.begin(), brief.margins.end(),
                     [&](const Margin& m) { return m.id == id && m.state == MarginState::unknown; });
}

// The shortest way to name an open finding: the longest word of it that no other open one has; else its id.
std::string word_for(const FindingState& finding, const State& state) {
  std::string best;
  std::string word;
  const auto take = [&] {
    const bool only = std::none_of(state.findings.begin(), state.findings.end(), [&](const FindingState& other) {
      return other.id != finding.id && !other.closed && other.text.find(word) != std::string::npos;
    });
    if (only && word.size() > best.size()) best = word;
    word.clear();
  };
  for (const char c : finding.text) {
    if ((c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'))
      word += c;
    else
      take();
  }
  take();
  return best.empty() ? finding.id.text() : best;
}

}  // namespace

NextEntry next_entry(const State& state, const Brief& brief) {
  if (!state.machine) return {What::first_recording};
  for (const auto& f : state.findings)
    if (f.grounding && !f.closed) return {What::close_finding, word_for(f, state), f.text};
  if (is_unknown(brief, "fuel")) return {What::fuel_left};
  if (is_unknown(brief, "fuel_mix")) return {What::fuel_mixed};
  for (const auto* part : state.fitted_parts(*state.machine))
    if (part->role == "engine" && !part->life.running.known()) return {What::hours};
  if (state.flights.empty()) return {What::flights};
  for (const auto& m : brief.margins)
    if (m.kind == MarginKind::reserve_repack && m.state == MarginState::unknown)
      return {What::service, "reserve_repack", m.title};
  if (is_unknown(brief, "service:reserve_life")) return {What::part_made};
  if (is_unknown(brief, "reserve_drill")) return {What::drill};
  for (const auto& p : state.pilots)
    if (p.assumed && state.pilot == p.id) return {What::pilot};
  for (const auto& m : brief.margins) {
    if (m.state != MarginState::unknown || !m.id.starts_with("service:")) continue;
    auto key = m.id.substr(std::string_view("service:").size());
    const auto line = key.substr(0, key.find(':'));
    const auto done = std::find_if(state.services.begin(), state.services.end(), [&](const ServiceState& s) {
      return s.line == line && !(s.since.running.known() && s.since.air.known() && s.since.launches.known());
    });
    if (done == state.services.end()) return {What::service, line, m.title};
    const auto* part = state.part(done->part);
    return {What::use_since, line, m.title, done->at, part != nullptr && part->role == "wing"};
  }
  for (const auto& m : state.machines)
    if (m.assumed && state.machine == m.id) return {What::machine};
  return {};
}

}  // namespace headroom
