#include "runtime/kit/state_graph.hpp"

#include <algorithm>
#include <bit>
#include <limits>
#include <optional>
#include <unordered_map>

#include "compiler/values/rational.hpp"

namespace lacestay::runtime {
namespace {

// The counts and allowances of a state packed into one number, each in as many bits as it takes.
using Counts = compiler::Int128;

// The pieces that others before them are linked to: what is left to them, in a state.
class Allowances {
 public:
  Allowances(const KitLinks& links, std::size_t pieces, int& bits) : links_(links), fields_(pieces) {
    for (std::size_t p = 0; p < pieces; ++p) {
      if (links.most_allowances(p) == 0) continue;
      const auto width = static_cast<int>(std::bit_width(links.most_allowances(p) - 1));
      if (bits + width > 127) throw KitWork::Ended{};
      fields_[p].emplace(Field{bits, ((Counts{1} << width) - 1) << bits, KitAllowances(), {}});
      bits += width;
    }
  }

  // An item of this class may be had in that state of the layer before its piece.
  [[nodiscard]] bool lets(std::size_t piece, std::uint32_t each, Counts state) const {
    const auto& field = fields_[piece];
    return !field || field->allowances.holds(field->in(state), each);
  }
  // The state once it is taken; false where nothing would be left to some piece. Called class by class: what becomes of
  // an allowance is kept until the next.
  void begin(std::size_t piece, std::uint32_t each, KitWork& work) {
    work_ = &work;
    left_ = &links_.leaves(piece, each);
    for (const auto& left : *left_) fields_[left.piece]->becomes.clear();
  }
  [[nodiscard]] bool take(std::size_t piece, Counts& state) {
    if (fields_[piece]) state &= ~fields_[piece]->mask;
    for (const auto& left : *left_) {
      auto& field = *fields_[left.piece];
      const auto now = field.in(state);
      const auto [then, fresh] = field.becomes.try_emplace(now, 0);
      if (fresh) {
        work_->spend(left.classes.size() + 1);
        then->second = field.allowances.narrowed(now, left.classes);
      }
      if (then->second == KitAllowances::empty) return false;
      if (then->second > static_cast<std::uint32_t>(field.mask >> field.shift)) throw KitWork::Ended{};
      state = (state & ~field.mask) | static_cast<Counts>(then->second) << field.shift;
    }
    return true;
  }

 private:
  struct Field {
    int shift;
    Counts mask;
    KitAllowances allowances;
    std::unordered_map<std::uint32_t, std::uint32_t> becomes;
    [[nodiscard]] std::uint32_t in(Counts state) const { return static_cast<std::uint32_t>((state & mask) >> shift); }
  };
  const KitLinks& links_;
  std::vector<std::optional<Field>> fields_;  // by piece
  const std::vector<KitLinks::Leaves>* left_ = nullptr;
  KitWork* work_ = nullptr;
};

// Numbers the states of a layer in the order in which they are met: an open-addressing hash table.
class Numbering {
 public:
  Numbering() { grow(64); }
  std::uint32_t number(Counts counts) {
    for (auto slot = slot_of(counts);; slot = (slot + 1) & (slots_.size() - 1)) {
      if (slots_[slot] == none) {
        if (met_.size() * 2 >= slots_.size()) {
          grow(slots_.size() * 2);
          return number(counts);
        }
        slots_[slot] = static_cast<std::uint32_t>(met_.size());
        met_.push_back(counts);
        return slots_[slot];
      }
      if (met_[slots_[slot]] == counts) return slots_[slot];
    }
  }
  const std::vector<Counts>& met() const { return met_; }

 private:
  static constexpr std::uint32_t none = 0xFFFF'FFFF;
  std::size_t slot_of(Counts counts) const {
    const auto mixed =
        (static_cast<std::uint64_t>(counts) ^ static_cast<std::uint64_t>(counts >> 64) * 0xC2B2AE3D27D4EB4Fu) *
        0x9E3779B97F4A7C15u;
    return (mixed >> 32) & (slots_.size() - 1);
  }
  void grow(std::size_t size) {
    slots_.assign(size, none);
    for (std::uint32_t i = 0; i < met_.size(); ++i) {
      auto slot = slot_of(met_[i]);
      while (slots_[slot] != none) slot = (slot + 1) & (size - 1);
      slots_[slot] = i;
    }
  }
  std::vector<std::uint32_t> slots_;
  std::vector<Counts> met_;
};

}  // namespace

KitStateGraph::KitStateGraph(const std::vector<Need>& needs, const std::vector<std::vector<Kind>>& kinds,
                             const KitLinks& links, std::int64_t at_most, KitWork& work) {
  const auto pieces = kinds.size();
  struct Field {
    int shift;
    Counts mask;
    std::vector<std::size_t> left;  // by piece: how many pieces from there on can lower it
  };
  struct Reached {
    std::int64_t cost, penalty;  // the least cost of a path to here; the multipliers of the lines still missing
  };
  std::vector<Field> fields;
  Counts start = 0;
  Reached at_start{0, 0};
  int bits = 0;
  for (std::size_t n = 0; n < needs.size(); ++n) {
    const auto width = static_cast<int>(std::bit_width(needs[n].lines));
    if (bits + width > 127 || n >= 64) throw KitWork::Ended{};
    fields.push_back({bits, ((Counts{1} << width) - 1) << bits, std::vector<std::size_t>(pieces + 1, 0)});
    start |= static_cast<Counts>(needs[n].lines) << bits;
    at_start.penalty += needs[n].multiplier * static_cast<std::int64_t>(needs[n].lines);
    bits += width;
    auto& left = fields.back().left;
    for (auto p = pieces; p-- > 0;) {
      const auto can = [&](const Kind& kind) { return (kind.lowers >> n & 1) != 0; };
      left[p] = left[p + 1] + (std::any_of(kinds[p].begin(), kinds[p].end(), can) ? 1 : 0);
    }
  }
  Allowances allowances(links, pieces, bits);
  // By piece: the Lagrangian bound of the pieces from there on, each at its least cost less the multipliers of what it
  // lowers.
  std::vector<std::int64_t> rest(pieces + 1, 0);
  for (auto p = pieces; p-- > 0;) {
    auto least = std::numeric_limits<std::int64_t>::max();
    for (const auto& kind : kinds[p]) {
      auto cost = kind.cost;
      for (auto lowers = kind.lowers; lowers != 0; lowers &= lowers - 1)
        cost -= needs[static_cast<std::size_t>(std::countr_zero(lowers))].multiplier;
      least = std::min(least, cost);
    }
    rest[p] = rest[p + 1] + least;
  }

  std::vector<Counts> here{start};
  std::vector<Reached> reached{at_start};
  first_ = {0, 1};
  after_.resize(pieces);
  std::vector<std::uint64_t> lacking, must;  // by state: needs not met yet; those that this piece has to lower
  for (std::size_t p = 0; p < pieces; ++p) {
    work.spend(here.size() * (fields.size() + 4 * kinds[p].size()));
    lacking.assign(here.size(), 0);
    must.assign(here.size(), 0);
    for (std::size_t state = 0; state < here.size(); ++state) {
      for (std::size_t n = 0; n < fields.size(); ++n) {
        const auto lines = static_cast<std::size_t>((here[state] & fields[n].mask) >> fields[n].shift);
        if (lines > 0) lacking[state] |= std::uint64_t{1} << n;
        if (lines > fields[n].left[p + 1]) must[state] |= std::uint64_t{1} << n;
        if (lines > fields[n].left[p]) lacking[state] = 0;  // can't be met: with `must` set, no kind of item is enough
      }
    }
    Numbering next;
    std::vector<Reached> then;
    after_[p].reserve(here.size() * kinds[p].size());
    for (const auto& kind : kinds[p]) {
      allowances.begin(p, kind.link_class, work);
      for (std::size_t state = 0; state < here.size(); ++state) {
        auto lowers = kind.lowers & lacking[state];
        auto counts = here[state];
        auto now = reached[state];
        now.cost += kind.cost;
        const bool enough =
            (must[state] & ~lowers) == 0 && allowances.lets(p, kind.link_class, counts) && allowances.take(p, counts);
        for (; enough && lowers != 0; lowers &= lowers - 1) {
          const auto n = static_cast<std::size_t>(std::countr_zero(lowers));
          counts -= Counts{1} << fields[n].shift;
          now.penalty -= needs[n].multiplier;
        }
        if (!enough || now.cost + now.penalty + rest[p + 1] > at_most) {
          after_[p].push_back(unmet);
          continue;
        }
        const auto number = next.number(counts);
        if (number == then.size()) then.push_back(now);
        then[number].cost = std::min(then[number].cost, now.cost);
        after_[p].push_back(number);
      }
    }
    here = next.met();
    reached = std::move(then);
    first_.push_back(first_.back() + here.size());
  }
}

}  // namespace lacestay::runtime
