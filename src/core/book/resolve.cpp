#include "core/book/resolve.h"

#include <algorithm>
#include <map>
#include <numeric>
#include <tuple>

namespace headroom {

namespace {

using Index = std::uint32_t;
constexpr Index kNone = ~Index{0};

const Amended* as_amended(const Entry& e) {
  return std::get_if<Amended>(&e.facts);
}
const Voided* as_voided(const Entry& e) {
  const auto* plain = std::get_if<PlainFacts>(&e.facts);
  return plain ? std::get_if<Voided>(plain) : nullptr;
}
const PlainFacts* plain_facts(const Entry& e) {
  return std::get_if<PlainFacts>(&e.facts);
}

auto place(const Entry& e) {
  return std::tie(e.header.written, e.header.id);
}

// What holds for one entry once the corrections that name it are settled.
struct Outcome {
  bool voided = false;
  const UtcTime* at = nullptr;
  const PlainFacts* facts = nullptr;
  const std::string* reason = nullptr;
  std::uint32_t holding = 0;
};

// One amendment or void on its way through the graph; each names exactly one entry.
struct Node {
  Index entry = kNone, target = kNone;  // target kNone: not in this book
  std::uint32_t waiting = 0;            // corrections of this one not settled yet
  bool settled = false, in_force = false, holds = false, contested = false;
  const UtcTime* at = nullptr;
  const PlainFacts* facts = nullptr;
  const std::string* reason = nullptr;
  bool voids = false;
};

class Resolver {
 public:
  explicit Resolver(const std::vector<Entry>& entries) : entries_(entries) {}

  Resolved run() {
    sort_by_id();
    find_forks();
    find_corrections();
    settle_corrections();
    take_standing();
    list_corrections();
    return std::move(out_);
  }

 private:
  const Entry& at(Index i) const { return entries_[i]; }

  void warn(StateWarning::Kind kind, const EntryId& id, Sentence text) { out_.warnings.push_back({kind, id, std::move(text)}); }

  void sort_by_id() {
    by_id_.resize(entries_.size());
    std::iota(by_id_.begin(), by_id_.end(), Index{0});
    const auto before = [&](Index a, Index b) {
      const auto &x = at(a).header, &y = at(b).header;
      return std::tie(x.id, x.written, x.writer, x.number, at(a).hash) <
             std::tie(y.id, y.written, y.writer, y.number, at(b).hash);
    };
    if (!std::is_sorted(by_id_.begin(), by_id_.end(), before)) std::sort(by_id_.begin(), by_id_.end(), before);
    std::size_t kept = 0;
    for (std::size_t i = 0; i < by_id_.size(); ++i) {
      if (kept > 0 && at(by_id_[i]).header.id == at(by_id_[kept - 1]).header.id) {
        if (at(by_id_[i]).hash != at(by_id_[kept - 1]).hash)
          warn(StateWarning::Kind::same_id, at(by_id_[i]).header.id,
               "Two different entries carry the same id; the one written first counts.");
        continue;
      }
      by_id_[kept++] = by_id_[i];
    }
    by_id_.resize(kept);
    out_.entries = kept;
  }

  Index find(const EntryId& id) const {
    const auto it = std::lower_bound(by_id_.begin(), by_id_.end(), id,
                                     [&](Index i, const EntryId& wanted) { return at(i).header.id < wanted; });
    return it != by_id_.end() && at(*it).header.id == id ? *it : kNone;
  }

  void find_forks() {
    by_chain_ = by_id_;
    const auto before = [&](Index a, Index b) {
      const auto &x = at(a).header, &y = at(b).header;
      return std::tie(x.writer, x.number, x.written, x.id) < std::tie(y.writer, y.number, y.written, y.id);
    };
    if (!std::is_sorted(by_chain_.begin(), by_chain_.end(), before)) std::sort(by_chain_.begin(), by_chain_.end(), before);
    for (std::size_t i = 1; i < by_chain_.size(); ++i) {
      const auto &x = at(by_chain_[i - 1]).header, &y = at(by_chain_[i]).header;
      if (x.writer != y.writer || x.number != y.number) continue;
      if (forked_.empty() || forked_.back() != y.writer) {
        forked_.push_back(y.writer);
        warn(
            StateWarning::Kind::fork, y.id,
            Sentence("Two entries of one installation carry number {0}: a copy of it wrote on its own from there. Both are kept.",
                     {exact_amount(Dimension::none, static_cast<double>(y.number))}));
      }
    }
  }

  void find_corrections() {
    for (const Index i : by_id_) {
      const Entry& e = at(i);
      Node n;
      n.entry = i;
      EntryId of;
      if (const auto* amended = as_amended(e)) {
        of = amended->entry;
        n.at = amended->at ? &*amended->at : nullptr;
        n.facts = std::holds_alternative<UnknownFacts>(amended->facts) ? nullptr : &amended->facts;
        n.reason = &amended->private_reason;
      } else if (const auto* voided = as_voided(e)) {
        of = voided->entry;
        n.reason = &voided->private_reason;
        n.voids = true;
      } else {
        continue;
      }
      n.target = find(of);
      if (n.target == kNone)
        warn(StateWarning::Kind::missing_subject, e.header.id,
             "This correction names an entry that is not in this copy of the book; it waits until that entry arrives.");
      nodes_.push_back(n);
    }
    std::sort(nodes_.begin(), nodes_.end(), [&](const Node& a, const Node& b) {
      return a.target != b.target ? a.target < b.target : place(at(a.entry)) < place(at(b.entry));
    });
    node_of_.reserve(nodes_.size());
    for (Index k = 0; k < nodes_.size(); ++k) node_of_.emplace_back(nodes_[k].entry, k);
    std::sort(node_of_.begin(), node_of_.end());
    for (const Node& n : nodes_)
      if (const Index k = node(n.target); k != kNone) ++nodes_[k].waiting;
  }

  Index node(Index entry) const {
    const auto it = std::lower_bound(node_of_.begin(), node_of_.end(), std::pair{entry, Index{0}});
    return it != node_of_.end() && it->first == entry ? it->second : kNone;
  }

  std::pair<Index, Index> correctors(Index target) const {
    const auto first =
        std::lower_bound(nodes_.begin(), nodes_.end(), target, [](const Node& n, Index t) { return n.target < t; });
    auto last = first;
    while (last != nodes_.end() && last->target == target) ++last;
    return {static_cast<Index>(first - nodes_.begin()), static_cast<Index>(last - nodes_.begin())};
  }

  // True when `replacement` says the same kind of thing as `own`, the facts it is to stand for.
  static bool same_kind(const PlainFacts* own, const PlainFacts* replacement) {
    return !own || std::holds_alternative<UnknownFacts>(*own) || own->index() == replacement->index();
  }

  // Corrections of `target` are all settled: which of them hold, and what do they say?
  Outcome settle(Index target, const PlainFacts* own) {
    Outcome outcome;
    const auto [first, last] = correctors(target);
    Index holder = kNone, at_from = kNone, facts_from = kNone, void_from = kNone;
    for (Index k = first; k < last; ++k) {
      Node& n = nodes_[k];
      if (!n.in_force) continue;
      if (n.voids) {
        holder = void_from = k;
        outcome.voided = true;
        continue;
      }
      if (n.facts && !same_kind(own, n.facts)) {
        warn(StateWarning::Kind::bad_correction, at(n.entry).header.id,
             "This amendment says another kind of thing than the entry it names; it is kept and not applied.");
        n.in_force = false;
        continue;
      }
      holder = k;
      outcome.voided = false;
      if (n.at) at_from = k, outcome.at = n.at;
      if (n.facts) facts_from = k, outcome.facts = n.facts;
      outcome.reason = n.reason;
    }
    if (outcome.voided) {
      nodes_[void_from].holds = true;
    } else {
      for (const Index k : {at_from, facts_from, holder})
        if (k != kNone) nodes_[k].holds = true;
    }
    for (Index k = first; k < last; ++k) {
      if (nodes_[k].in_force && nodes_[k].holds) ++outcome.holding;
      if (k == holder || !nodes_[k].in_force || knows(nodes_[holder].entry, nodes_[k].entry)) continue;
      nodes_[k].contested = nodes_[holder].contested = true;
      warn(StateWarning::Kind::contested, at(target).header.id,
           "Two corrections of this entry were written without knowledge of each other; the later one holds. Void the wrong one "
           "to settle it.");
    }
    return outcome;
  }

  // Was `earlier` in the book its writer saw when `later` was written? Provable only along one writer's chain.
  bool knows(Index later, Index earlier) const {
    const auto &x = at(later).header, &y = at(earlier).header;
    if (x.writer != y.writer || x.number <= y.number) return false;
    if (!std::binary_search(forked_.begin(), forked_.end(), x.writer)) return true;
    // A forked chain is a tree: walk from the later entry down by the hash of the one before.
    Index here = later;
    while (here != kNone && at(here).header.number > y.number) {
      const Hash& wanted = at(here).header.before;
      const auto key = std::pair{x.writer, at(here).header.number - 1};
      auto it = std::lower_bound(by_chain_.begin(), by_chain_.end(), key, [&](Index i, const auto& k) {
        return std::tie(at(i).header.writer, at(i).header.number) < std::tie(k.first, k.second);
      });
      here = kNone;
      for (; it != by_chain_.end() && at(*it).header.writer == key.first && at(*it).header.number == key.second; ++it)
        if (at(*it).hash == wanted) here = *it;
    }
    return here == earlier;
  }

  void settle_corrections() {
    std::vector<Index> ready;
    for (Index k = 0; k < nodes_.size(); ++k)
      if (nodes_[k].waiting == 0) ready.push_back(k);
    while (!ready.empty()) {
      const Index k = ready.back();
      ready.pop_back();
      Node& n = nodes_[k];
      n.settled = true;
      apply_own_corrections(k);
      if (const Index above = node(n.target); above != kNone && --nodes_[above].waiting == 0) ready.push_back(above);
    }
    for (const Node& n : nodes_)
      if (!n.settled)
        warn(StateWarning::Kind::bad_correction, at(n.entry).header.id,
             "These corrections name one another in a circle; they are kept and not applied.");
  }

  void apply_own_corrections(Index k) {
    Node& n = nodes_[k];
    const Entry& e = at(n.entry);
    const PlainFacts* own = n.voids ? plain_facts(e) : n.facts;
    const Outcome outcome = settle(n.entry, own);
    n.in_force = n.target != kNone && n.target != n.entry && !outcome.voided;
    if (outcome.at && !n.voids) n.at = outcome.at;
    if (!outcome.facts) return;
    if (!n.voids) {
      n.facts = outcome.facts;
    } else if (const auto* other = std::get_if<Voided>(outcome.facts); other && other->entry == as_voided(e)->entry) {
      n.reason = &other->private_reason;
    } else {
      warn(StateWarning::Kind::bad_correction, e.header.id,
           "A void cannot be moved to another entry by an amendment; void it and write a new one.");
    }
  }

  void take_standing() {
    out_.standing.reserve(by_id_.size());
    std::map<std::string, std::pair<std::uint64_t, EntryId>> unknown;
    std::uint64_t facts_left_out = 0, private_left_out = 0;
    EntryId first_facts, first_private;
    for (const Index i : by_id_) {
      const Entry& e = at(i);
      if (e.facts_missing && facts_left_out++ == 0) first_facts = e.header.id;
      if (e.private_missing && private_left_out++ == 0) first_private = e.header.id;
      if (as_amended(e) || as_voided(e)) continue;
      const PlainFacts* facts = plain_facts(e);
      Standing s{e.header.at, &e.header, facts, facts, e.private_missing, 0};
      if (!nodes_.empty()) {
        const auto outcome = settle(i, facts);
        if (outcome.voided) continue;
        if (outcome.at) s.at = *outcome.at;
        if (outcome.facts) s.facts = outcome.facts;
        s.corrected_by = outcome.holding;
      }
      if (!s.facts || std::holds_alternative<UnknownFacts>(*s.facts)) {
        if (e.facts_missing) continue;
        auto& seen = unknown[e.header.kind_text.empty() ? std::string(kind_name(e.header.kind)) : e.header.kind_text];
        if (seen.first++ == 0) seen.second = e.header.id;
        continue;
      }
      out_.standing.push_back(s);
    }
    for (const auto& [kind, seen] : unknown)
      warn(StateWarning::Kind::unknown_kind, seen.second,
           Sentence("{0} entries of the kind \"{1}\" were written by a newer program: they are kept and not counted.",
                    {exact_amount(Dimension::count, static_cast<double>(seen.first)), kind}));
    if (facts_left_out > 0)
      warn(StateWarning::Kind::left_out, first_facts,
           Sentence("The facts of {0} entries were left out of this copy: what they say is not counted.",
                    {exact_amount(Dimension::count, static_cast<double>(facts_left_out))}));
    if (private_left_out > 0)
      warn(StateWarning::Kind::left_out, first_private,
           Sentence("The private part of {0} entries was left out of this copy.",
                    {exact_amount(Dimension::count, static_cast<double>(private_left_out))}));
    const auto before = [](const Standing& a, const Standing& b) {
      return std::tie(a.at, a.header->id) < std::tie(b.at, b.header->id);
    };
    if (!std::is_sorted(out_.standing.begin(), out_.standing.end(), before))
      std::sort(out_.standing.begin(), out_.standing.end(), before);
  }

  void list_corrections() {
    for (const Node& n : nodes_) {
      const Entry& e = at(n.entry);
      Correction c;
      c.by = e.header.id;
      c.of = n.voids ? as_voided(e)->entry : as_amended(e)->entry;
      c.written = e.header.written;
      c.voids = n.voids;
      c.holds = n.in_force && n.holds;
      c.contested = n.contested;
      if (n.reason) c.reason = *n.reason;
      out_.corrections.push_back(std::move(c));
    }
    std::sort(out_.corrections.begin(), out_.corrections.end(),
              [](const Correction& a, const Correction& b) { return std::tie(a.written, a.by) < std::tie(b.written, b.by); });
  }

  const std::vector<Entry>& entries_;
  std::vector<Index> by_id_, by_chain_;
  std::vector<WriterId> forked_;
  std::vector<Node> nodes_;
  std::vector<std::pair<Index, Index>> node_of_;  // entry, node
  Resolved out_;
};

}  // namespace

Resolved resolve(const std::vector<Entry>& entries) {
  return Resolver(entries).run();
}

}  // namespace headroom
