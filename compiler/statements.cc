#include "compiler/statements.hpp"

#include <algorithm>
#include <numeric>

#include "compiler/boxes.hpp"

namespace lacestay::compiler {
namespace {

using Set = Diagrams::Node;

// Players for whom one outcome becomes another.
struct Change {
  std::uint32_t pair;
  std::vector<Box> boxes;
  Set set;
};

class Telling {
 public:
  Telling(const Tables& tables, Diagrams& store, const OutcomePairs& pairs, Witnesses& witnesses,
          const DifferenceBudget& budget, AnswerChange& change)
      : tables_(tables), store_(store), pairs_(pairs), witnesses_(witnesses), budget_(budget), change_(change) {}

  void run(Set changes) {
    collect(changes);
    auto all = store_.nobody();
    for (auto& each : changes_) all = store_.either(all, each.set);
    const auto boxes = boxes_of(all);
    for (const auto& group : groups(boxes)) {
      std::vector<Box> members;
      for (const auto i : group) members.push_back(boxes[i]);
      tell_group(members);
    }
    auto& told = change_.statements;
    std::stable_sort(told.begin(), told.end(), [](const auto& a, const auto& b) { return a.share > b.share; });
    if (told.size() > budget_.shown) {
      change_.left_out += told.size() - budget_.shown;
      told.resize(budget_.shown);
    }
  }

 private:
  // By pair, the boxes somebody may be in.
  void collect(Set changes) {
    std::map<std::uint32_t, std::vector<Box>> by_pair;
    std::size_t boxes = 0;
    store_.each_path(changes, [&](const Box& box, std::uint32_t pair) {
      by_pair[pair].push_back(box);
      return ++boxes <= budget_.boxes;
    });
    if (boxes > budget_.boxes) throw Diagrams::OverBudget{};
    for (auto& [pair, held] : by_pair) {
      join_boxes(tables_, held);
      std::erase_if(held, [&](const Box& box) { return nobody_in(box); });
      if (!held.empty()) changes_.push_back({pair, held, any_of(held)});
    }
  }

  bool nobody_in(const Box& box) {
    return !on_asked_alone(tables_, box) && witnesses_.find(box).kind == Search::Kind::none;
  }

  Set any_of(const std::vector<Box>& boxes) {
    std::vector<const Box*> each;
    for (const auto& box : boxes) each.push_back(&box);
    return store_.any_of(std::move(each));
  }

  std::vector<Box> boxes_of(Set set) {
    std::vector<Box> boxes;
    store_.each_box(set, [&](const Box& box) {
      boxes.push_back(box);
      return boxes.size() <= budget_.boxes;
    });
    if (boxes.size() > budget_.boxes) throw Diagrams::OverBudget{};
    join_boxes(tables_, boxes);
    return boxes;
  }

  // Boxes that lie apart touch where they do so in one column alone, at neighbouring places.
  [[nodiscard]] bool touch(const Box& a, const Box& b) const {
    std::size_t apart = 0;
    for (auto x = a.begin(), y = b.begin(); x != a.end() && y != b.end();) {
      if (x->column != y->column) {
        x->column < y->column ? ++x : ++y;
        continue;
      }
      const bool meet = first_shared(x->places, y->places).has_value();
      if (!meet && (++apart > 1 || (!tables_.has_members(x->column) && !neighbours(x->places, y->places))))
        return false;
      ++x, ++y;
    }
    return true;
  }
  static bool neighbours(const Places& a, const Places& b) {
    return std::any_of(a.begin(), a.end(), [&](const PlaceRange& x) {
      return std::any_of(b.begin(), b.end(),
                         [&](const PlaceRange& y) { return x.last + 1 == y.first || y.last + 1 == x.first; });
    });
  }

  // Boxes that touch, directly or by way of others.
  [[nodiscard]] std::vector<std::vector<std::size_t>> groups(const std::vector<Box>& boxes) const {
    constexpr std::size_t most_grouped = 2'000;  // past this many, each stands for itself
    std::vector<std::size_t> leader(boxes.size());
    std::iota(leader.begin(), leader.end(), 0);
    const auto find = [&](std::size_t i) {
      while (leader[i] != i) i = leader[i] = leader[leader[i]];
      return i;
    };
    for (std::size_t i = 0; i < boxes.size() && boxes.size() <= most_grouped; ++i)
      for (std::size_t k = 0; k < i; ++k)
        if (find(i) != find(k) && touch(boxes[i], boxes[k])) leader[find(i)] = find(k);
    std::map<std::size_t, std::vector<std::size_t>> by_leader;
    for (std::size_t i = 0; i < boxes.size(); ++i) by_leader[find(i)].push_back(i);
    std::vector<std::vector<std::size_t>> out;
    for (auto& [first, group] : by_leader) out.push_back(std::move(group));
    return out;
  }

  // One statement with exceptions where that is no longer than a statement for each box.
  void tell_group(const std::vector<Box>& boxes) {
    if (boxes.size() > 1) {
      auto hull = around(tables_, boxes);
      const auto set = any_of(boxes);
      auto except = boxes_of(store_.without(store_.box(hull), set));
      std::erase_if(except, [&](const Box& box) { return nobody_in(box); });
      if (except.size() + 1 <= boxes.size()) {
        tell_one(std::move(hull), std::move(except), set);
        return;
      }
    }
    for (const auto& box : boxes) tell_one(box, {}, store_.box(box));
  }

  // Where two worked-out details rest on one that is asked, such as one that each edition works out in its own way,
  // they may hold together only for some of its values: what a shop asks says more than the two do. So that is stated
  // as well.
  Box with_what_follows(Box who) {
    std::map<std::uint16_t, std::size_t> resting;  // by asked detail: how many worked-out ones rest on it
    for (const auto& cell : who) {
      const auto& column = tables_.columns[cell.column];
      if (!column.worked_out) continue;
      for (const auto input : tables_.worked_out[column.detail].inputs) ++resting[input];
    }
    for (const auto& [detail, count] : resting) {
      const ColumnId column = detail;
      if (count < 2 || places_in(who, column)) continue;
      Cell held{column, {}};
      for (std::uint32_t place = 0; place < tables_.columns[column].places; ++place)
        if (!nobody_in(shared_box(who, {{column, {{place, place}}}}))) append(held.places, {place, place});
      const bool any = !held.places.empty();  // else the statement is dropped for having no player
      if (any && held.places != Places{{0, tables_.columns[column].places - 1}})
        who = shared_box(who, {std::move(held)});
    }
    return who;
  }

  void tell_one(Box who, std::vector<Box> but_not, Set set) {
    Statement statement{with_what_follows(std::move(who)), std::move(but_not), {}, 0};
    for (auto& box : statement.but_not) leave_out(statement.who, box);
    for (const auto& each : changes_) {
      const auto held = store_.both(each.set, set);
      if (held == store_.nobody()) continue;
      auto becomes = becoming(each, held, set);
      if (!becomes) continue;
      for (auto& box : becomes->where) leave_out(statement.who, box);
      statement.share += becomes->share;
      statement.becomes.push_back(std::move(*becomes));
    }
    if (statement.becomes.empty()) return;  // its parts have nobody in them
    std::stable_sort(statement.becomes.begin(), statement.becomes.end(),
                     [](const auto& a, const auto& b) { return a.share > b.share; });
    change_.statements.push_back(std::move(statement));
  }

  // Nothing where the change has players elsewhere, but none in this statement.
  std::optional<Becomes> becoming(const Change& each, Set held, Set statement) {
    Becomes becomes;
    std::tie(becomes.before, becomes.after) = pairs_.of(each.pair);
    auto boxes = boxes_of(held);
    std::vector<std::pair<double, const Box*>> by_share;
    for (const auto& box : boxes) by_share.emplace_back(share_of(tables_, box), &box);
    std::stable_sort(by_share.begin(), by_share.end(), [](const auto& a, const auto& b) { return a.first > b.first; });
    auto found = Search::Kind::none;
    for (const auto& [share, box] : by_share) {
      becomes.share += share;
      if (found == Search::Kind::found) continue;
      const auto search = witnesses_.find(*box);
      if (search.kind != Search::Kind::none) found = search.kind;
      if (search.kind == Search::Kind::found) becomes.player = search.player;
    }
    if (found == Search::Kind::none) return std::nullopt;
    becomes.settled = found == Search::Kind::found;
    change_.settled = change_.settled && becomes.settled;
    // Among the statement's players, those in the box around are often just these.
    auto hull = around(tables_, boxes);
    if (store_.without(store_.both(store_.box(hull), statement), held) == store_.nobody()) boxes = {std::move(hull)};
    becomes.where = std::move(boxes);
    return becomes;
  }

  // Conditions that the statement states already.
  static void leave_out(const Box& stated, Box& box) {
    std::erase_if(box, [&](const Cell& cell) {
      const auto* known = places_in(stated, cell.column);
      return known && *known == cell.places;
    });
  }

  const Tables& tables_;
  Diagrams& store_;
  const OutcomePairs& pairs_;
  Witnesses& witnesses_;
  const DifferenceBudget& budget_;
  AnswerChange& change_;
  std::vector<Change> changes_;
};

}  // namespace

std::uint32_t OutcomePairs::id(const Outcome& before, const Outcome& after) {
  const std::pair pair{before, after};
  const auto known = std::find(pairs_.begin(), pairs_.end(), pair);
  if (known != pairs_.end()) return static_cast<std::uint32_t>(known - pairs_.begin()) + 1;
  pairs_.push_back(pair);
  return static_cast<std::uint32_t>(pairs_.size());
}

void tell(const Tables& tables, Diagrams& store, Diagrams::Node changes, const OutcomePairs& pairs,
          Witnesses& witnesses, const DifferenceBudget& budget, AnswerChange& change) {
  Telling(tables, store, pairs, witnesses, budget, change).run(changes);
}

}  // namespace lacestay::compiler
