#include "compiler/compare/statements.hpp"

#include <algorithm>

#include "compiler/tables/boxes.hpp"

namespace lacestay::compiler {
namespace {

// Past so many boxes each is a statement by itself: grouping is quadratic, and nobody would follow the exceptions.
constexpr std::size_t most_grouped = 2'000;
// The budget of edges for trying whether one statement with exceptions is shorter.
constexpr std::size_t most_edges_tried = 50'000;

bool neighbours(const Places& a, const Places& b) {
  return std::any_of(a.begin(), a.end(), [&](const PlaceRange& x) {
    return std::any_of(b.begin(), b.end(),
                       [&](const PlaceRange& y) { return x.last + 1 == y.first || y.last + 1 == x.first; });
  });
}

// Drops conditions that the statement already makes.
void leave_out(const Box& stated, Box& box) {
  std::erase_if(box, [&](const Cell& cell) {
    const auto* known = places_in(stated, cell.column);
    return known && *known == cell.places;
  });
}

Diagrams::Node any_of(Diagrams& store, const std::vector<Box>& boxes) {
  std::vector<const Box*> each;
  for (const auto& box : boxes) each.push_back(&box);
  return store.any_of(each);
}

}  // namespace

std::uint32_t OutcomePairs::id(const Outcome& before, const Outcome& after) {
  const std::pair pair{before, after};
  const auto known = std::find(pairs_.begin(), pairs_.end(), pair);
  if (known != pairs_.end()) return static_cast<std::uint32_t>(known - pairs_.begin()) + 1;
  pairs_.push_back(pair);
  return static_cast<std::uint32_t>(pairs_.size());
}

void Telling::add(const std::vector<Box>& where, const Diagram& diagram) {
  auto edges = budget_.edges;
  for (const auto& group : groups_of(where, meet)) {
    Boxes boxes;
    for (const auto at : group) boxes.push_back(where[at]);
    try {
      Diagrams store(tables_.place_counts(), edges);
      add(store, diagram(store, boxes));
      edges -= std::min(edges, store.work());
    } catch (const Diagrams::OverBudget&) {
      told_.settled = false;
    }
  }
}

// Nothing of a diagram is kept that is over the budget.
void Telling::add(Diagrams& store, Set changes) {
  std::map<std::uint32_t, Boxes> by_number;
  store.each_path(changes, [&](const Box& box, std::uint32_t number) {
    by_number[number].push_back(box);
    return ++paths_ <= budget_.boxes;
  });
  if (paths_ > budget_.boxes) throw Diagrams::OverBudget{};
  auto all = store.nobody();
  for (auto& [number, held] : by_number) {
    join_boxes(tables_, held);
    std::erase_if(held, [&](const Box& box) { return nobody_in(box); });
    all = store.either(all, any_of(store, held));
  }
  auto boxes = boxes_of(store, all);
  all_.insert(all_.end(), boxes.begin(), boxes.end());
  for (auto& [number, held] : by_number) by_number_[number].insert(by_number_[number].end(), held.begin(), held.end());
}

void Telling::tell() {
  for (auto& [number, held] : by_number_) join_boxes(tables_, held);
  join_boxes(tables_, all_);
  const bool grouped = all_.size() <= most_grouped;
  for (const auto& group : groups_of(all_, [&](const Box&a, const Box&b) { return grouped && touch(a, b); })) {
    Boxes members;
    for (const auto i : group) members.push_back(all_[i]);
    tell_group(members);
  }
  auto& told = told_.statements;
  std::stable_sort(told.begin(), told.end(), [](const auto& a, const auto& b) { return a.share > b.share; });
  if (told.size() > budget_.shown) {
    told_.left_out += told.size() - budget_.shown;
    told.resize(budget_.shown);
  }
}

bool Telling::nobody_in(const Box& box) const {
  return !plainly_somebody(tables_, box) && witnesses_.find(box).kind == Search::Kind::none;
}

Telling::Boxes Telling::boxes_of(Diagrams& store, Set set) const {
  Boxes boxes;
  store.each_box(set, [&](const Box& box) {
    boxes.push_back(box);
    return boxes.size() <= budget_.boxes;
  });
  if (boxes.size() > budget_.boxes) throw Diagrams::OverBudget{};
  join_boxes(tables_, boxes);
  return boxes;
}

// Disjoint boxes touch where exactly one column separates them, and there at neighbouring places (any two members are).
bool Telling::touch(const Box& a, const Box& b) const {
  std::size_t apart = 0;
  for (auto x = a.begin(), y = b.begin(); x != a.end() && y != b.end();) {
    if (x->column != y->column) {
      x->column < y->column ? ++x : ++y;
      continue;
    }
    const bool meet = first_shared(x->places, y->places).has_value();
    if (!meet && (++apart > 1 || (!tables_.has_members(x->column) && !neighbours(x->places, y->places)))) return false;
    ++x, ++y;
  }
  return true;
}

// Tells touching boxes as one statement with exceptions where that takes no more boxes than a statement for each.
void Telling::tell_group(const Boxes& boxes) {
  if (boxes.size() > 1 && told_as_one(boxes)) return;
  for (const auto& box : boxes) {
    try {
      Diagrams store(tables_.place_counts(), budget_.edges);
      tell_one(box, {}, {box}, store, store.box(box));
    } catch (const Diagrams::OverBudget&) {
      told_.settled = false;
    }
  }
}

bool Telling::told_as_one(const Boxes& boxes) {
  try {
    Diagrams store(tables_.place_counts(), most_edges_tried);
    const auto set = any_of(store, boxes);
    auto hull = around(tables_, boxes);
    auto except = boxes_of(store, store.without(store.box(hull), set));
    std::erase_if(except, [&](const Box& box) { return nobody_in(box); });
    if (except.size() + 1 > boxes.size()) return false;
    tell_one(std::move(hull), std::move(except), boxes, store, set);
    return true;
  } catch (const Diagrams::OverBudget&) {
    return false;
  }
}

// Conditions on two worked-out details that rest on one asked detail (as where each edition computes one in its own
// way) restrict that detail too: only some of its places have a player. A reader can't see that from the two
// conditions, so the asked detail's places are stated as well.
Box Telling::with_what_follows(Box who) const {
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
    if (any && held.places != Places{{0, tables_.columns[column].places - 1}}) who = shared_box(who, {std::move(held)});
  }
  return who;
}

void Telling::tell_one(Box who, Boxes but_not, const Boxes& boxes, Diagrams& store, Set set) {
  StatementOf<Numbered> statement{with_what_follows(std::move(who)), std::move(but_not), {}, 0};
  for (auto& box : statement.but_not) leave_out(statement.who, box);
  for (const auto& [number, held] : by_number_) {
    Boxes here;
    for (const auto& box : held)
      if (std::any_of(boxes.begin(), boxes.end(), [&](const Box& other) { return meet(box, other); }))
        here.push_back(box);
    if (here.empty()) continue;
    auto becomes = becoming(number, here, store, set);
    if (!becomes) continue;
    for (auto& box : becomes->where) leave_out(statement.who, box);
    statement.share += becomes->share;
    statement.becomes.push_back(std::move(*becomes));
  }
  if (statement.becomes.empty()) return;  // no player is in any of them
  std::stable_sort(statement.becomes.begin(), statement.becomes.end(),
                   [](const auto& a, const auto& b) { return a.share > b.share; });
  told_.statements.push_back(std::move(statement));
}

// The change of this number among the statement's players; nothing where it has none there.
std::optional<Numbered> Telling::becoming(std::uint32_t number, const Boxes& around_here, Diagrams& store,
                                          Set statement) {
  const auto held = store.both(any_of(store, around_here), statement);
  Numbered becomes;
  becomes.number = number;
  auto boxes = boxes_of(store, held);
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
  told_.settled = told_.settled && becomes.settled;
  // Where the players of the statement that lie in the hull of the boxes are just these, the hull says it in one box.
  auto hull = around(tables_, boxes);
  if (store.without(store.both(store.box(hull), statement), held) == store.nobody()) boxes = {std::move(hull)};
  becomes.where = std::move(boxes);
  return becomes;
}

}  // namespace lacestay::compiler
